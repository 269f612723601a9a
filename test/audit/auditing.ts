import { type Audit, type Audited, audit } from '../../src/audit/audit.js';
import type { AuditSettings } from '../../src/audit/check.js';
import { DEFAULT_LIMITS } from '../../src/audit/grossRange.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import type { Cleaned } from '../../src/cleaning/clean.js';
import type { CheckName, Finding } from '../../src/log/finding.js';
import { linesOf } from '../../src/log/lines.js';
import { type Log, sortByTime } from '../../src/log/log.js';
import { MINUTE } from '../../src/units.js';

export const START = Date.UTC(2025, 9, 1);
/** An instant so many minutes after the start. */
export const at = (minutes: number) => START + minutes * MINUTE;

/** One line of an input: minutes after the start, values, and the flags that it carries, if any. */
export interface Line {
  readonly minute: number;
  readonly temperature: number;
  readonly humidity: number;
  readonly flags?: readonly [temperature: number, humidity: number];
}

/** Lines at a steady pace from the start on; a value that is not given is one of ordinary air. */
export function steadily(
  cadence: number,
  values: { readonly temperature?: readonly number[]; readonly humidity?: readonly number[] },
  count = (values.temperature ?? values.humidity ?? []).length,
): Line[] {
  return Array.from({ length: count }, (_, i) => ({
    minute: i * cadence,
    temperature: values.temperature?.[i] ?? 15,
    // air that never changes at all is a finding of its own
    humidity: values.humidity?.[i] ?? 60 + Math.floor((i % 6) / 5) / 10,
  }));
}

/** The log of these inputs as reading makes it; the first line of each is its heading. */
export function readingOf(inputs: readonly (readonly Line[])[], newestFirst = false): Audited {
  const parts = inputs.map((lines, source) => {
    const numbered = lines.map((line, i) => ({ ...line, line: i + 2, source }));
    return newestFirst ? numbered.reverse() : numbered;
  });
  const rows = parts.flat();
  const flagged = rows.some(({ flags }) => flags !== undefined);
  const flagsAt = (i: 0 | 1) => Uint8Array.from(rows, ({ flags }) => flags?.[i] ?? 0);
  const inInput: Log = {
    logger: 'sail-loft',
    sources: inputs.map((_, i) => `part-${i + 1}.csv`),
    length: rows.length,
    time: Float64Array.from(rows, ({ minute }) => at(minute)),
    temperature: Float64Array.from(rows, ({ temperature }) => temperature),
    humidity: Float64Array.from(rows, ({ humidity }) => humidity),
    lines: linesOf(rows.map(({ line }) => line)),
    source: Uint16Array.from(rows, ({ source }) => source),
    inputFlags: flagged ? { temperature: flagsAt(0), humidity: flagsAt(1) } : null,
  };
  sortByTime(inInput);
  return {
    log: inInput,
    rejections: [],
    unreadable: [],
    parts: inputs.map(() => ({ newestFirst })),
  };
}

export const SETTINGS: AuditSettings = {
  cadence: null,
  from: null,
  until: null,
  limits: DEFAULT_LIMITS,
  sensorRange: { airTemperature: null, relativeHumidity: null },
  accuracy: { temperature: 0.5, humidity: 3 },
  toCelsius: (written) => written,
  zone: zoneNamed('Europe/London'),
};

/** A cleaned log read again: its flags are those that the input carries. */
export function readAgain({ log, flags }: Pick<Cleaned, 'log' | 'flags'>): Audited {
  return {
    log: {
      ...log,
      sources: ['clean.csv'],
      lines: linesOf(log.time.map((_, row) => row + 2)),
      source: new Uint16Array(log.length),
      inputFlags: flags,
    },
    rejections: [],
    unreadable: [],
    parts: [{ newestFirst: false }],
  };
}

/** The audit of one input. */
export function auditOf(
  lines: readonly Line[],
  settings: Partial<AuditSettings> = {},
  skip: readonly CheckName[] = [],
): Audit {
  return audit(readingOf([lines]), { ...SETTINGS, ...settings }, new Set(skip));
}

export const findingsOf = ({ findings }: Audit, check: CheckName): readonly Finding[] =>
  findings.filter((finding) => finding.check === check);

/** What is told of a finding in the tables: when, in minutes after the start, how often and in which lines. */
export function brief({ from, until, count, lines }: Finding): readonly (number | null | undefined)[] {
  const minute = (instant: number | null) => (instant === null ? null : (instant - START) / MINUTE);
  return [minute(from), minute(until), count, lines?.[0], lines?.[1]];
}

export const NaNs = (count: number): number[] => new Array<number>(count).fill(NaN);
