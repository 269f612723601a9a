/** The two quantities that every reading carries. */
export type Measured = 'air_temperature' | 'relative_humidity';

/**
 * All readings of one logger in order of time: a column per quantity, a row per reading.
 * Readings of the same instant stand in order of input.
 */
export interface Log {
  readonly logger: string;
  /** The inputs that its lines came from, in the order in which they were read. */
  readonly sources: readonly string[];
  readonly length: number;
  /** Instant [ms since 1970 UTC], ascending. */
  readonly time: Float64Array;
  /** Air temperature [°C], NaN where missing. */
  readonly temperature: Float64Array;
  /** Relative humidity [%], NaN where missing. */
  readonly humidity: Float64Array;
  /** Line in its source, counted from 1. */
  readonly line: Uint32Array;
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

export function valuesOf(log: Log, quantity: Measured): Float64Array {
  return quantity === 'air_temperature' ? log.temperature : log.humidity;
}

export function flagsOf(flags: Flags, quantity: Measured): Uint8Array {
  return quantity === 'air_temperature' ? flags.temperature : flags.humidity;
}

/** A log of the given rows only, in the given order. */
export function pick(log: Log, rows: Uint32Array): Log {
  return {
    logger: log.logger,
    sources: log.sources,
    length: rows.length,
    time: take(log.time, rows, new Float64Array(rows.length)),
    temperature: take(log.temperature, rows, new Float64Array(rows.length)),
    humidity: take(log.humidity, rows, new Float64Array(rows.length)),
    line: take(log.line, rows, new Uint32Array(rows.length)),
    source: take(log.source, rows, new Uint16Array(rows.length)),
    inputFlags:
      log.inputFlags === null
        ? null
        : {
            temperature: take(log.inputFlags.temperature, rows, new Uint8Array(rows.length)),
            humidity: take(log.inputFlags.humidity, rows, new Uint8Array(rows.length)),
          },
  };
}

/**
 * Puts all rows of a log into another order, in place and column by column: a copy would take twice the memory.
 *
 * @param rows each row of the log once
 */
export function reorder(log: Log, rows: Uint32Array): void {
  const memory = new ArrayBuffer(Float64Array.BYTES_PER_ELEMENT * log.length);
  for (const column of [log.time, log.temperature, log.humidity]) {
    column.set(take(column, rows, new Float64Array(memory)));
  }
  log.line.set(take(log.line, rows, new Uint32Array(memory, 0, log.length)));
  log.source.set(take(log.source, rows, new Uint16Array(memory, 0, log.length)));
  if (log.inputFlags === null) return;
  for (const column of [log.inputFlags.temperature, log.inputFlags.humidity]) {
    column.set(take(column, rows, new Uint8Array(memory, 0, log.length)));
  }
}

/** The rows [first, end) of a log, as views into its columns. */
export function slice(log: Log, first: number, end: number): Log {
  return {
    logger: log.logger,
    sources: log.sources,
    length: end - first,
    time: log.time.subarray(first, end),
    temperature: log.temperature.subarray(first, end),
    humidity: log.humidity.subarray(first, end),
    line: log.line.subarray(first, end),
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
export function take<Column extends Float64Array | Uint32Array | Uint16Array | Uint8Array>(
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
