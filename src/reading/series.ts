import { addLines, addRows, type Lines, noLines, reversed } from '../log/lines.js';

/** Readings of one logger as they come in, in order of input. Grows; `length` says how far it is filled. */
export interface Series {
  length: number;
  /** Instants [ms]. Where the stamp stands in a repeated hour, the earlier of the two. */
  time: Float64Array;
  temperature: Float64Array;
  humidity: Float64Array;
  lines: Lines;
  /** Flags that the input carries, or that reading itself gives; made when the first one comes. */
  flags: { temperature: Uint8Array; humidity: Uint8Array } | null;
  /** Rows whose stamp shows a wall time that came twice, and how far the second lies behind the first. */
  readonly repeated: { readonly row: number; readonly shift: number }[];
}

const LEAST_CAPACITY = 1024;

/** @param rows how many are expected: columns that need not grow are not copied, and leave no old ones behind */
export function emptySeries(rows: number): Series {
  const capacity = Math.max(LEAST_CAPACITY, rows);
  return {
    length: 0,
    time: new Float64Array(capacity),
    temperature: new Float64Array(capacity),
    humidity: new Float64Array(capacity),
    lines: noLines(),
    flags: null,
    repeated: [],
  };
}

export function append(
  series: Series,
  time: number,
  temperature: number,
  humidity: number,
  line: number,
): void {
  if (series.length === series.time.length) grow(series);
  const row = series.length++;
  series.time[row] = time;
  series.temperature[row] = temperature;
  series.humidity[row] = humidity;
  addLines(series.lines, line, 1, 1);
}

/**
 * Appends rows that stand in columns.
 *
 * @param values instants, temperatures, humidities, `count` of each
 * @param line of the first; the others follow it one by one
 */
export function appendRows(
  series: Series,
  values: readonly Float64Array[],
  line: number,
  count: number,
): void {
  const first = series.length;
  while (first + count > series.time.length) grow(series);
  series.time.set(values[0]!.subarray(0, count), first);
  series.temperature.set(values[1]!.subarray(0, count), first);
  series.humidity.set(values[2]!.subarray(0, count), first);
  addLines(series.lines, line, 1, count);
  series.length = first + count;
}

/** Sets the flags of a row; 0 is none. */
export function flagRow(series: Series, row: number, temperature: number, humidity: number): void {
  const capacity = series.time.length;
  series.flags ??= { temperature: new Uint8Array(capacity), humidity: new Uint8Array(capacity) };
  series.flags.temperature[row] = temperature;
  series.flags.humidity[row] = humidity;
}

function grow(series: Series): void {
  // four times as much: what is over is never written to, so it takes no memory, but the old columns do
  const capacity = 4 * series.time.length;
  series.time = enlarged(series.time, new Float64Array(capacity));
  series.temperature = enlarged(series.temperature, new Float64Array(capacity));
  series.humidity = enlarged(series.humidity, new Float64Array(capacity));
  if (series.flags !== null) {
    series.flags = {
      temperature: enlarged(series.flags.temperature, new Uint8Array(capacity)),
      humidity: enlarged(series.flags.humidity, new Uint8Array(capacity)),
    };
  }
}

function enlarged<Column extends Float64Array | Uint8Array>(column: Column, into: Column): Column {
  into.set(column);
  return into;
}

/** Whether the input runs from the newest reading to the oldest, as some exports do. */
export function isNewestFirst(series: Series): boolean {
  let down = 0;
  let up = 0;
  // most logs have gone on a good way by then, and cannot turn out to run backwards any more
  for (let row = 1; row < series.length && 5 * up < series.length; row++) {
    const step = series.time[row]! - series.time[row - 1]!;
    if (step < 0) down++;
    else if (step > 0) up++;
  }
  return down > 2 && down > 4 * up;
}

/** Turns a series round in place. */
export function reverse(series: Series): void {
  const { length } = series;
  for (const column of [series.time, series.temperature, series.humidity]) {
    column.subarray(0, length).reverse();
  }
  series.lines = reversed(series.lines);
  series.flags?.temperature.subarray(0, length).reverse();
  series.flags?.humidity.subarray(0, length).reverse();
  series.repeated.reverse().forEach((stamp, i, all) => {
    all[i] = { row: length - 1 - stamp.row, shift: stamp.shift };
  });
}

/**
 * Takes rows out of a series in place.
 *
 * @param stretches rows [from, to) to take out, ascending, none overlapping
 */
export function takeOut(
  series: Series,
  stretches: readonly { readonly from: number; readonly to: number }[],
): void {
  const { length, repeated } = series;
  const columns = [series.time, series.temperature, series.humidity];
  const lines = noLines();
  addRows(lines, series.lines, 0, stretches[0]?.from ?? length);
  const flags = series.flags === null ? [] : [series.flags.temperature, series.flags.humidity];
  let gone = 0;
  stretches.forEach(({ from, to }, i) => {
    const next = stretches[i + 1]?.from ?? length;
    for (const column of [...columns, ...flags]) column.copyWithin(from - gone, to, next);
    addRows(lines, series.lines, to, next);
    gone += to - from;
  });
  for (const flag of flags) flag.fill(0, length - gone, length);
  series.length = length - gone;
  series.lines = lines;
  const left = repeated.flatMap(({ row, shift }) => {
    if (stretches.some(({ from, to }) => row >= from && row < to)) return [];
    const before = stretches.reduce((sum, { from, to }) => sum + (to <= row ? to - from : 0), 0);
    return [{ row: row - before, shift }];
  });
  repeated.splice(0, repeated.length, ...left);
}
