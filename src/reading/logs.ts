import { offsetText } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import { type LineAccount, type Rejection, sumOfAccounts, type UnreadableCell } from '../log/account.js';
import type { Flags, Log } from '../log/log.js';
import { pick, slice } from '../log/log.js';
import { ascendingOrder } from '../log/order.js';
import type { Instant, Milliseconds } from '../units.js';
import { textOf } from './dialect.js';
import type { Encoding } from './encoding.js';
import { type HumidityUnit, looksFahrenheit, looksFraction, type TemperatureUnit } from './layout.js';
import {
  type Input,
  type LoggerReading,
  type RejectListener,
  readSource,
  type SourceReading,
} from './read.js';
import { rejectedLines, rejectionsIn } from './rejections.js';
import { placeRepeatedHour } from './repeatedHour.js';
import { isNewestFirst, reverse, type Series } from './series.js';

/** Half-open stretch of time that is asked for; null is open. */
export interface Span {
  readonly from: Instant | null;
  readonly until: Instant | null;
}

/** How far readings outside the window are kept, for what reaches into it. */
export interface Margin {
  readonly before: Milliseconds;
  readonly after: Milliseconds;
}

/** What the reader took for granted about an input; null where it did not matter. */
export interface Assumed {
  readonly encoding: Encoding;
  readonly delimiter: string | null;
  readonly decimal: string | null;
  readonly header_line: number | null;
  readonly time: string | null;
  readonly zone_of_stamps: string | null;
  readonly columns: Readonly<Record<string, string>> | null;
  readonly temperature_unit: TemperatureUnit | null;
  readonly humidity_unit: HumidityUnit | null;
  readonly order: 'oldest first' | 'newest first';
}

/** One logger's log and how it came out of its inputs. */
export interface LogReading {
  /** The readings in the window that was asked for. */
  readonly log: Log;
  /** The same with the readings just outside, which join the window's ends to what lies beyond. */
  readonly around: Log;
  readonly lines: LineAccount;
  /** Rejected lines that lie in the window; `lines` counts all. */
  readonly rejections: readonly Rejection[];
  readonly unreadable: readonly UnreadableCell[];
  /** By source, in the order of `log.sources`. */
  readonly parts: readonly Pick<Part, 'assumed' | 'newestFirst' | 'dataLines'>[];
}

/** The lines of one input as a whole. */
export interface SourceAccount {
  readonly source: string;
  readonly lines: LineAccount;
  readonly assumed: Assumed;
}

export interface Reading {
  /** By name of the logger, in code point order. */
  readonly logs: readonly LogReading[];
  readonly sources: readonly SourceAccount[];
  /** Inputs that could not be read; the others were. */
  readonly failures: readonly InputError[];
}

/**
 * Reads inputs into logs, one for each logger, whatever the number of files that it is spread over.
 * An input that cannot be read is reported in `failures` and does not stop the others.
 */
export async function readLogs(
  inputs: readonly Input[],
  window: Span,
  margin: Margin,
  stdin: AsyncIterable<unknown>,
  onReject: RejectListener = () => {},
): Promise<Reading> {
  const parts = new Map<string, Part[]>();
  const sources: SourceAccount[] = [];
  const failures: InputError[] = [];
  for (const input of inputs) {
    try {
      const reading = await readSource(input, stdin, onReject);
      sources.push(takeSource(reading, input, { window, margin }, parts));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      failures.push(error);
    }
  }
  const names = [...parts.keys()].sort();
  return { logs: names.map((name) => join(name, parts.get(name)!, window)), sources, failures };
}

/** One logger in one source, in units and instants of our own. */
interface Part {
  readonly source: string;
  readonly series: Series;
  readonly lines: LineAccount;
  readonly rejections: readonly Rejection[];
  readonly unreadable: readonly UnreadableCell[];
  readonly assumed: Assumed;
  readonly newestFirst: boolean;
  /** Lines of the source that are no heading and not blank, of all its loggers and times. */
  readonly dataLines: number;
}

function takeSource(
  reading: SourceReading,
  input: Input,
  asked: { readonly window: Span; readonly margin: Margin },
  parts: Map<string, Part[]>,
): SourceAccount {
  const { source, encoding } = reading;
  const units = unitsOf(reading, input);
  let accepted = 0;
  let outside = 0;
  const lost = rejectedLines(reading.rejections);
  let rejected = lost;
  const backwards = new Set<string>();
  for (const [name, { series }] of reading.loggers) {
    convert(series, units);
    if (isNewestFirst(series)) {
      reverse(series);
      backwards.add(name);
    }
    placeRepeatedHour(series);
  }
  const all = [...reading.loggers.values()].map(({ series }) => series);
  const dataLines = dataLinesOf(reading);
  const common = rejectionsIn(asked.window, source, reading.rejections, all, backwards.size > 0);
  for (const [name, logger] of reading.loggers) {
    const { series } = logger;
    const newestFirst = backwards.has(name);
    const own = rejectedLines(logger.rejections);
    const rejections = rejectionsIn(asked.window, source, logger.rejections, [series], newestFirst);
    const outsideWindow = keepNear(series, asked);
    const inWindow = series.length - outsideWindow.near;
    const dropped = outsideWindow.near + outsideWindow.far;
    const lines = {
      header: reading.header,
      blank: reading.blank + logger.absent,
      accepted: inWindow,
      rejected: lost + own,
      outsideWindow: dropped,
    };
    const list = parts.get(name) ?? [];
    parts.set(name, list);
    list.push({
      source,
      series,
      lines: { total: totalOf(lines), ...lines },
      rejections: [...common, ...rejections],
      unreadable: unreadableOf(source, encoding, logger),
      assumed: assumptions(reading, units, newestFirst),
      newestFirst,
      dataLines,
    });
    rejected += own;
    accepted += inWindow;
    outside += dropped;
  }
  const { header, wide } = reading;
  let { blank } = reading;
  if (wide !== null) {
    // every line is counted once, whatever the number of loggers on it
    accepted = linesWithin([...reading.loggers.values()], asked.window);
    outside = wide.filled - accepted;
    blank += wide.empty;
  }
  const lines = { header, blank, accepted, rejected, outsideWindow: outside };
  return {
    source,
    lines: { total: totalOf(lines), ...lines },
    assumed: assumptions(reading, units, backwards.size > 0),
  };
}

/** Called before anything is taken out of the series of a source. */
function dataLinesOf({ loggers, rejections, wide }: SourceReading): number {
  let lines = rejectedLines(rejections);
  for (const logger of loggers.values()) {
    lines += rejectedLines(logger.rejections) + (wide === null ? logger.series.length : 0);
  }
  return lines + (wide === null ? 0 : wide.filled + wide.empty);
}

/** Lines on which any of the loggers has a reading in the window. */
function linesWithin(loggers: readonly LoggerReading[], { from, until }: Span): number {
  const lines = new Set<number>();
  for (const { series } of loggers) {
    for (let row = 0; row < series.length; row++) {
      const time = series.time[row]!;
      if (time >= (from ?? -Infinity) && time < (until ?? Infinity)) lines.add(series.line[row]!);
    }
  }
  return lines.size;
}

function totalOf(lines: Omit<LineAccount, 'total'>): number {
  return lines.header + lines.blank + lines.accepted + lines.rejected + lines.outsideWindow;
}

function unreadableOf(source: string, encoding: Encoding, logger: LoggerReading): UnreadableCell[] {
  return logger.unreadable.map(({ line, quantity, text }) => ({
    source,
    line,
    quantity,
    text: textOf(text, encoding),
  }));
}

interface Units {
  readonly temperature: TemperatureUnit | null;
  readonly humidity: HumidityUnit | null;
}

/** The units of a source: as told, else °C and per cent, unless the values speak against that. */
function unitsOf(reading: SourceReading, input: Input): Units {
  const { layout, source } = reading;
  if (layout === null) return { temperature: null, humidity: null };
  const all = [...reading.loggers.values()].map(({ series }) => series);
  if (
    layout.temperatureUnit === null &&
    all.some((series) => looksFahrenheit(filled(series.temperature, series)))
  ) {
    throw new InputError(
      'these temperatures are too hot for air in °C and would do for °F, and nothing in the file says which they are',
      { file: source },
      'say --temperature-unit degF or --temperature-unit degC',
    );
  }
  if (
    layout.humidityUnit === null &&
    input.layout.humidityUnit === null &&
    all.some((series) => looksFraction(filled(series.humidity, series)))
  ) {
    throw new InputError(
      'these humidities lie between 0 and 1 and may be fractions, and nothing in the file says so',
      { file: source },
      'say --humidity-unit fraction or --humidity-unit pct',
    );
  }
  return { temperature: layout.temperatureUnit ?? 'degC', humidity: layout.humidityUnit ?? 'pct' };
}

function filled(column: Float64Array, series: Series): Float64Array {
  return column.subarray(0, series.length);
}

/** Conversions are rounded here: 39.02 °F is 3.9 °C, not 3.9000000000000004. */
const CONVERTED_STEPS = 1e4;

/** The value in °C of a temperature as it was written. */
export function toCelsius(value: number, unit: TemperatureUnit | null): number {
  if (unit === 'degF') return Math.round(((value - 32) / 1.8) * CONVERTED_STEPS) / CONVERTED_STEPS;
  if (unit === 'K') return Math.round((value - 273.15) * CONVERTED_STEPS) / CONVERTED_STEPS;
  return value;
}

function toPercent(value: number, unit: HumidityUnit | null): number {
  return unit === 'fraction' ? Math.round(value * 100 * CONVERTED_STEPS) / CONVERTED_STEPS : value;
}

function convert(series: Series, units: Units): void {
  if (units.temperature === 'degF' || units.temperature === 'K') {
    for (let row = 0; row < series.length; row++) {
      series.temperature[row] = toCelsius(series.temperature[row]!, units.temperature);
    }
  }
  if (units.humidity === 'fraction') {
    for (let row = 0; row < series.length; row++)
      series.humidity[row] = toPercent(series.humidity[row]!, 'fraction');
  }
}

/** Takes the rows far outside the window out of a series; counts them, and those outside that are kept. */
function keepNear(
  series: Series,
  { window, margin }: { window: Span; margin: Margin },
): { near: number; far: number } {
  const from = window.from ?? -Infinity;
  const until = window.until ?? Infinity;
  if (from === -Infinity && until === Infinity) return { near: 0, far: 0 };
  let near = 0;
  let kept = 0;
  for (let row = 0; row < series.length; row++) {
    const time = series.time[row]!;
    if (time < from - margin.before || time >= until + margin.after) continue;
    if (time < from || time >= until) near++;
    series.time[kept] = time;
    series.temperature[kept] = series.temperature[row]!;
    series.humidity[kept] = series.humidity[row]!;
    series.line[kept] = series.line[row]!;
    if (series.flags !== null) {
      series.flags.temperature[kept] = series.flags.temperature[row]!;
      series.flags.humidity[kept] = series.flags.humidity[row]!;
    }
    kept++;
  }
  const far = series.length - kept;
  series.length = kept;
  return { near, far };
}

function assumptions(reading: SourceReading, units: Units, newestFirst: boolean): Assumed {
  const { layout, encoding } = reading;
  const heading = (column: number | null) =>
    column === null ? 'none' : layout?.headings[column] || `column ${column + 1}`;
  const pair = layout?.pairs[0];
  return {
    encoding,
    delimiter: layout?.punctuation.delimiter ?? null,
    decimal: layout?.decimal ?? null,
    header_line: layout?.headerLine ?? null,
    time: layout === null ? null : `${layout.style}${reading.zone === null ? '' : ' local'}`,
    zone_of_stamps: reading.zone?.name ?? (layout?.offset == null ? null : zoneOf(layout.offset)),
    columns:
      layout === null || pair === undefined
        ? null
        : {
            time: layout.time.map(heading).join('+'),
            temperature: layout.pairs.map((each) => heading(each.temperature)).join(', '),
            humidity: layout.pairs.map((each) => heading(each.humidity)).join(', '),
            ...(layout.logger === null ? {} : { logger: heading(layout.logger) }),
          },
    temperature_unit: units.temperature,
    humidity_unit: units.humidity,
    order: newestFirst ? 'newest first' : 'oldest first',
  };
}

function zoneOf(offset: Milliseconds): string {
  return offset === 0 ? 'UTC' : offsetText(offset);
}

/** The parts of one logger as one log, in order of time. */
function join(logger: string, parts: readonly Part[], window: Span): LogReading {
  const length = parts.reduce((sum, { series }) => sum + series.length, 0);
  const single = parts.length === 1 ? parts[0]!.series : null;
  const flagged = parts.some(({ series }) => series.flags !== null);
  const joined: Log = {
    logger,
    sources: parts.map(({ source }) => source),
    length,
    time: single ? filled(single.time, single) : gather(parts, length, 'time'),
    temperature: single ? filled(single.temperature, single) : gather(parts, length, 'temperature'),
    humidity: single ? filled(single.humidity, single) : gather(parts, length, 'humidity'),
    line: single ? single.line.subarray(0, length) : lines(parts, length),
    source: sourceColumn(parts, length),
    inputFlags: flagged ? flags(parts, length) : null,
  };
  const order = ascendingOrder(joined.time);
  const around = order === null ? joined : pick(joined, order);
  return {
    log: within(around, window),
    around,
    lines: sumOfAccounts(parts.map((part) => part.lines)),
    rejections: parts.flatMap((part) => part.rejections),
    unreadable: parts.flatMap((part) => part.unreadable),
    parts: parts.map(({ assumed, newestFirst, dataLines }) => ({ assumed, newestFirst, dataLines })),
  };
}

/** The readings of a log in the window, as views into its columns. */
function within(log: Log, { from, until }: Span): Log {
  if (from === null && until === null) return log;
  let first = 0;
  while (first < log.length && log.time[first]! < (from ?? -Infinity)) first++;
  let end = log.length;
  while (end > first && log.time[end - 1]! >= (until ?? Infinity)) end--;
  return slice(log, first, end);
}

function gather(
  parts: readonly Part[],
  length: number,
  key: 'time' | 'temperature' | 'humidity',
): Float64Array {
  const all = new Float64Array(length);
  let at = 0;
  for (const { series } of parts) {
    all.set(filled(series[key], series), at);
    at += series.length;
  }
  return all;
}

function lines(parts: readonly Part[], length: number): Uint32Array {
  const all = new Uint32Array(length);
  let at = 0;
  for (const { series } of parts) {
    all.set(series.line.subarray(0, series.length), at);
    at += series.length;
  }
  return all;
}

function sourceColumn(parts: readonly Part[], length: number): Uint16Array {
  const all = new Uint16Array(length);
  let at = 0;
  parts.forEach(({ series }, index) => {
    all.fill(index, at, at + series.length);
    at += series.length;
  });
  return all;
}

function flags(parts: readonly Part[], length: number): Flags {
  const all = { temperature: new Uint8Array(length), humidity: new Uint8Array(length) };
  let at = 0;
  for (const { series } of parts) {
    if (series.flags !== null) {
      all.temperature.set(series.flags.temperature.subarray(0, series.length), at);
      all.humidity.set(series.flags.humidity.subarray(0, series.length), at);
    }
    at += series.length;
  }
  return all;
}

/** The log of a logger for which there is no input at all. */
export function emptyReading(logger: string): LogReading {
  const log: Log = {
    logger,
    sources: [],
    length: 0,
    time: new Float64Array(0),
    temperature: new Float64Array(0),
    humidity: new Float64Array(0),
    line: new Uint32Array(0),
    source: new Uint16Array(0),
    inputFlags: null,
  };
  return { log, around: log, lines: sumOfAccounts([]), rejections: [], unreadable: [], parts: [] };
}
