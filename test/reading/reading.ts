import { type Zone, zoneNamed } from '../../src/calendar/zone.js';
import { InputError } from '../../src/errors.js';
import type { Span } from '../../src/log/span.js';
import type { LayoutOptions } from '../../src/reading/layout.js';
import { type LogReading, type Reading, readLogs } from '../../src/reading/logs.js';

export const NOTHING_SAID: LayoutOptions = {
  timeColumn: null,
  temperatureColumn: null,
  humidityColumn: null,
  loggerColumn: null,
  header: true,
  delimiter: null,
  decimal: null,
  dateOrder: null,
  temperatureUnit: null,
  humidityUnit: null,
};

export const LONDON = zoneNamed('Europe/London');
export const EVER: Span = { from: null, until: null };

export interface Said {
  readonly layout?: Partial<LayoutOptions>;
  readonly zone?: Zone;
  readonly window?: Span;
  /** Length of the pieces in which the input comes [bytes]. */
  readonly piece?: number;
}

export interface Heard extends Reading {
  /** Rejected lines as they were handed over. */
  readonly rejected: readonly string[];
}

async function* pieces(bytes: Buffer, length: number): AsyncGenerator<Buffer> {
  for (let at = 0; at < bytes.length; at += length) yield bytes.subarray(at, at + length);
}

/** Reads a text as if it came from standard input. */
export async function read(text: string | Buffer, said: Said = {}): Promise<Heard> {
  const bytes = typeof text === 'string' ? Buffer.from(text) : text;
  const rejected: string[] = [];
  const reading = await readLogs(
    [
      {
        path: '-',
        logger: 'shed',
        layout: { ...NOTHING_SAID, ...said.layout },
        zone: said.zone ?? LONDON,
      },
    ],
    said.window ?? EVER,
    pieces(bytes, said.piece ?? 1 << 16),
    (raw) => rejected.push(raw),
  );
  return { ...reading, rejected };
}

/** The only log of an input that can be read. */
export async function readOne(text: string | Buffer, said: Said = {}): Promise<LogReading> {
  const { logs, failures } = await read(text, said);
  if (failures.length > 0) throw failures[0]!;
  if (logs.length !== 1) throw new Error(`${logs.length} logs: ${logs.map(({ log }) => log.logger)}`);
  return logs[0]!;
}

/** The message for an input that cannot be read. */
export async function refusal(text: string | Buffer, said: Said = {}): Promise<InputError> {
  const { failures } = await read(text, said);
  if (!(failures[0] instanceof InputError)) throw new Error('it was read');
  return failures[0];
}

/** Time [ISO 8601 UTC to the minute], temperature and humidity of every reading. */
export function rowsOf({ log }: LogReading): [string, number, number][] {
  return [...log.time].map((time, row) => [
    new Date(time).toISOString().slice(0, 16),
    log.temperature[row]!,
    log.humidity[row]!,
  ]);
}
