import { addRows, type Lines, noLines, partOf } from './lines.js';
import { mixedRows, sortedRows } from './order.js';
import { type Pieces, pieceAt } from './pieces.js';
import type { Rows } from './span.js';

/** The two quantities that every reading carries. */
export type Measured = 'air_temperature' | 'relative_humidity';

/** What the readings of one logger say, in order of time: a column per quantity, a row per reading. */
export interface CleanLog {
  readonly logger: string;
  readonly length: number;
  /** Instant [ms since 1970 UTC], ascending. */
  readonly time: Float64Array;
  /** Air temperature [°C], NaN where missing. */
  readonly temperature: Float64Array;
  /** Relative humidity [%], NaN where missing. */
  readonly humidity: Float64Array;
}

/** The same as it was read, with where each reading stands. Readings of the same instant stand in order of input. */
export interface Log extends CleanLog {
  /** The inputs that its lines came from, in the order in which they were read. */
  readonly sources: readonly string[];
  /** Lines in the sources. */
  readonly lines: Lines;
  /** Which of `sources` the line stands in. */
  readonly source: Uint16Array;
  /** Flags that the input itself carried (a cleaned file read again), 0 where none. */
  readonly inputFlags: Flags | null;
}

/** A quality flag per reading and quantity. */
export interface Flags {
  readonly temperature: Uint8Array;
  readonly humidity: Uint8Array;
}

export function valuesOf(log: CleanLog, quantity: Measured): Float64Array {
  return quantity === 'air_temperature' ? log.temperature : log.humidity;
}

export function flagsOf(flags: Flags, quantity: Measured): Uint8Array {
  return quantity === 'air_temperature' ? flags.temperature : flags.humidity;
}

/** What the given rows of a log say. */
export function pick({ logger, time, temperature, humidity }: CleanLog, rows: Pieces): CleanLog {
  const picked = (column: Float64Array) => pickFrom(column, rows, new Float64Array(rows.count));
  return {
    logger,
    length: rows.count,
    time: picked(time),
    temperature: picked(temperature),
    humidity: picked(humidity),
  };
}

export function pickFlags({ temperature, humidity }: Flags, rows: Pieces): Flags {
  return {
    temperature: pickFrom(temperature, rows, new Uint8Array(rows.count)),
    humidity: pickFrom(humidity, rows, new Uint8Array(rows.count)),
  };
}

/** The values of these rows, written into `into`. */
function pickFrom<Column extends Float64Array | Uint32Array | Uint16Array | Uint8Array>(
  column: Column,
  rows: Pieces,
  into: Column,
): Column {
  for (let piece = 0; piece < rows.firsts.length; piece++) {
    const { from, to } = pieceAt(rows, piece);
    const at = rows.starts[piece]!;
    if (to - from < WORTH_A_CALL) for (let row = from; row < to; row++) into[at + row - from] = column[row]!;
    else into.set(column.subarray(from, to), at);
  }
  return into;
}

/**
 * The same in the memory of the log, whose columns are worth nothing afterwards: of a long log a copy takes as much
 * again, and longer.
 *
 * @param rows ascending
 */
export function keepOnly(log: CleanLog, rows: Pieces): CleanLog {
  for (const column of [log.time, log.temperature, log.humidity]) closeUp(column, rows);
  return cleanPart(log, 0, rows.count);
}

export function keepFlags({ temperature, humidity }: Flags, rows: Pieces): Flags {
  for (const column of [temperature, humidity]) closeUp(column, rows);
  return { temperature: temperature.subarray(0, rows.count), humidity: humidity.subarray(0, rows.count) };
}

function closeUp(column: Float64Array | Uint32Array | Uint16Array | Uint8Array, rows: Pieces): void {
  for (let piece = 0; piece < rows.firsts.length; piece++) {
    const { from, to } = pieceAt(rows, piece);
    if (rows.starts[piece] !== from) column.copyWithin(rows.starts[piece]!, from, to);
  }
}

/**
 * Puts a log in order of time, in place and column by column: a copy would take twice the memory. Only rows that are
 * late are moved, and those around them. Readings of one instant stay in the order in which they stand.
 */
export function sortByTime(log: Log): void {
  const { time, temperature, humidity, lines, source, inputFlags } = log;
  const stretches = mixedRows(time);
  const rows = sortedRows(time, stretches);
  const memory = new ArrayBuffer(Float64Array.BYTES_PER_ELEMENT * rows.length);
  for (const column of [time, temperature, humidity]) move(column, rows, stretches, new Float64Array(memory));
  moveLines(lines, rows, stretches);
  // of a single source this column is never written to, and so takes no memory
  if (log.sources.length > 1) move(source, rows, stretches, new Uint16Array(memory));
  if (inputFlags === null) return;
  move(inputFlags.temperature, rows, stretches, new Uint8Array(memory));
  move(inputFlags.humidity, rows, stretches, new Uint8Array(memory));
}

/** Fills stretches of a column with what stands at `rows`; `held` has room for it. */
function move<Column extends Float64Array | Uint16Array | Uint8Array>(
  column: Column,
  rows: Uint32Array,
  stretches: readonly Rows[],
  held: Column,
): void {
  take(column, rows, held);
  let from = 0;
  for (const { first, end } of stretches) {
    column.set(held.subarray(from, from + end - first), first);
    from += end - first;
  }
}

function moveLines(lines: Lines, rows: Uint32Array, stretches: readonly Rows[]): void {
  const moved = noLines();
  let [row, from] = [0, 0];
  for (const { first, end } of stretches) {
    addRows(moved, lines, row, first);
    const until = from + end - first;
    for (let to = from; from < until; from = to) {
      to = Math.min(until, endOfPiece(rows, from));
      addRows(moved, lines, rows[from]!, rows[from]! + to - from);
    }
    row = end;
  }
  addRows(moved, lines, row, lines.length);
  Object.assign(lines, moved);
}

/** What the rows [first, end) of a log say, as views into its columns. */
export function cleanPart(log: CleanLog, first: number, end: number): CleanLog {
  return {
    logger: log.logger,
    length: end - first,
    time: log.time.subarray(first, end),
    temperature: log.temperature.subarray(first, end),
    humidity: log.humidity.subarray(first, end),
  };
}

/** The same with where they stand. */
export function slice(log: Log, first: number, end: number): Log {
  return {
    ...cleanPart(log, first, end),
    sources: log.sources,
    lines: partOf(log.lines, first, end),
    source: log.source.subarray(first, end),
    inputFlags:
      log.inputFlags === null
        ? null
        : {
            temperature: log.inputFlags.temperature.subarray(first, end),
            humidity: log.inputFlags.humidity.subarray(first, end),
          },
  };
}

/** From so many rows in a row on it pays to call the engine for a copy of them (measured). */
const WORTH_A_CALL = 32;

/** The values at `rows`, written into `into`: nearly always long pieces of the column as they stand there. */
function take<Column extends Float64Array | Uint16Array | Uint8Array>(
  column: Column,
  rows: Uint32Array,
  into: Column,
): Column {
  for (let from = 0, to = 0; from < rows.length; from = to) {
    to = endOfPiece(rows, from);
    if (to - from < WORTH_A_CALL) for (let i = from; i < to; i++) into[i] = column[rows[i]!]!;
    else into.set(column.subarray(rows[from]!, rows[from]! + to - from), from);
  }
  return into;
}

/** Where the rows that follow each other from `from` on end. */
function endOfPiece(rows: Uint32Array, from: number): number {
  let to = from + 1;
  while (to < rows.length && rows[to] === rows[to - 1]! + 1) to++;
  return to;
}
