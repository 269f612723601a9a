import { offsetText } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import { type LineAccount, type Rejection, sumOfAccounts, type UnreadableCell } from '../log/account.js';
import { addRows, type Lines, lineAt, noLines } from '../log/lines.js';
import type { Flags, Log } from '../log/log.js';
import { slice, sortByTime } from '../log/log.js';
import { rowsWithin, type Span } from '../log/span.js';
import type { Milliseconds } from '../units.js';
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
  /** All readings of the inputs: those outside the window join its ends to what lies beyond, and tell what is usual. */
  readonly around: Log;
  readonly lines: LineAccount;
  /** Rejected lines that lie in the window; `lines` counts all. */
  readonly rejections: readonly Rejection[];
  readonly unreadable: readonly UnreadableCell[];
  /** By source, in the order of `log.sources`. */
  readonly parts: readonly Pick<Part, 'assumed' | 'newestFirst' | 'dataLines'>[];
}

/** What is known of a log without its columns. */
export interface LogAccount extends Omit<LogReading, 'log' | 'around'> {
  readonly log: Pick<Log, 'logger' | 'sources' | 'length'>;
}

/** The lines of one input as a whole. */
export interface SourceAccount {
  readonly source: string;
  readonly lines: LineAccount;
  readonly assumed: Assumed;
  /** Every column's, '' where it has none. */
  readonly headings: readonly string[];
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
 *
 * @param onInput told of every input before it is read
 */
export async function readLogs(
  inputs: readonly Input[],
  window: Span,
  stdin: AsyncIterable<unknown>,
  onReject: RejectListener = () => {},
  onInput: (input: Input) => void = () => {},
): Promise<Reading> {
  const parts = new Map<string, Part[]>();
  const sources: SourceAccount[] = [];
  const failures: InputError[] = [];
  for (const input of inputs) {
    onInput(input);
    try {
      const reading = await readSource(input, stdin, onReject);
      sources.push(takeSource(reading, input, window, parts));
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
  window: Span,
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
  const common = rejectionsIn(window, source, reading.rejections, all, backwards.size > 0);
  for (const [name, logger] of reading.loggers) {
    const { series } = logger;
    const newestFirst = backwards.has(name);
    const own = rejectedLines(logger.rejections);
    const rejections = rejectionsIn(window, source, logger.rejections, [series], newestFirst);
    const inWindow = countWithin(series, window);
    const outsideWindow = series.length - inWindow;
    const lines = {
      header: reading.header,
      blank: reading.blank + logger.absent,
      accepted: inWindow,
      rejected: lost + own,
      outsideWindow,
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
    outside += outsideWindow;
  }
  const { header, wide } = reading;
  let { blank } = reading;
  if (wide !== null) {
    // every line is counted once, whatever the number of loggers on it
    accepted = linesWithin([...reading.loggers.values()], window);
    outside = wide.filled - accepted;
    blank += wide.empty;
  }
  const lines = { header, blank, accepted, rejected, outsideWindow: outside };
  return {
    source,
    lines: { total: totalOf(lines), ...lines },
    assumed: assumptions(reading, units, backwards.size > 0),
    headings: reading.layout?.headings ?? [],
  };
}

function dataLinesOf({ loggers, rejections, wide }: SourceReading): number {
  let lines = rejectedLines(rejections);
  for (const logger of loggers.values()) {
    lines += rejectedLines(logger.rejections) + (wide === null ? logger.series.length : 0);
  }
  return lines + (wide === null ? 0 : wide.filled + wide.empty);
}

/** Lines on which any of the loggers has a reading in the window. */
function linesWithin(loggers: readonly LoggerReading[], { from, until }: Span): number {
  let last = 0;
  for (const { series } of loggers) {
    for (let row = 0; row < series.length; row++) last = Math.max(last, lineAt(series.lines, row));
  }
  const isThere = new Uint8Array(last + 1);
  for (const { series } of loggers) {
    for (let row = 0; row < series.length; row++) {
      const time = series.time[row]!;
      if (time >= (from ?? -Infinity) && time < (until ?? Infinity)) isThere[lineAt(series.lines, row)] = 1;
    }
  }
  let count = 0;
  for (let line = 0; line <= last; line++) count += isThere[line]!;
  return count;
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

function countWithin({ time, length }: Series, { from, until }: Span): number {
  if (from === null && until === null) return length;
  let count = 0;
  for (let row = 0; row < length; row++) {
    if (time[row]! >= (from ?? -Infinity) && time[row]! < (until ?? Infinity)) count++;
  }
  return count;
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
  const around: Log = {
    logger,
    sources: parts.map(({ source }) => source),
    length,
    time: single ? filled(single.time, single) : gather(parts, length, 'time'),
    temperature: single ? filled(single.temperature, single) : gather(parts, length, 'temperature'),
    humidity: single ? filled(single.humidity, single) : gather(parts, length, 'humidity'),
    lines: single ? single.lines : linesOfAll(parts),
    source: sourceColumn(parts, length),
    inputFlags: flagged ? flags(parts, length) : null,
  };
  sortByTime(around);
  const { first, end } = rowsWithin(around.time, window);
  return {
    log: end - first === length ? around : slice(around, first, end),
    around,
    lines: sumOfAccounts(parts.map((part) => part.lines)),
    rejections: parts.flatMap((part) => part.rejections),
    unreadable: parts.flatMap((part) => part.unreadable),
    parts: parts.map(({ assumed, newestFirst, dataLines }) => ({ assumed, newestFirst, dataLines })),
  };
}

/** A column of all parts. Theirs are let go, column by column: together they take as much memory as the log. */
function gather(
  parts: readonly Part[],
  length: number,
  key: 'time' | 'temperature' | 'humidity',
): Float64Array {
  const all = new Float64Array(length);
  let at = 0;
  for (const { series } of parts) {
    all.set(filled(series[key], series), at);
    series[key] = new Float64Array(0);
    at += series.length;
  }
  return all;
}

function linesOfAll(parts: readonly Part[]): Lines {
  const all = noLines();
  for (const { series } of parts) addRows(all, series.lines, 0, series.length);
  return all;
}

function sourceColumn(parts: readonly Part[], length: number): Uint16Array {
  const all = new Uint16Array(length);
  let at = 0;
  parts.forEach(({ series }, index) => {
    // of a single part nothing is written, and so no memory taken
    if (index > 0) all.fill(index, at, at + series.length);
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
    lines: noLines(),
    source: new Uint16Array(0),
    inputFlags: null,
  };
  return { log, around: log, lines: sumOfAccounts([]), rejections: [], unreadable: [], parts: [] };
}
