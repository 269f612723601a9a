import type { Period } from '../calendar/period.js';
import { columnOf, type Pairs } from '../log/pairs.js';
import type { Milliseconds } from '../units.js';
import { type JoinedRows, joinedRows, RUN, STEP } from './joined.js';

/** Extremes and integral of one column of values, an entry per period. */
export interface ColumnSummary {
  /** Smallest and largest of the readings, and when each was first met; NaN where there is none. */
  readonly min: Float64Array;
  readonly minTime: Float64Array;
  readonly max: Float64Array;
  readonly maxTime: Float64Array;
  /** Integral over the known time inside the period [value × ms]. */
  readonly integral: Float64Array;
}

/**
 * Extremes come from the readings themselves, the integral from the straight lines between joined ones, cut at the
 * periods' ends.
 *
 * @param time instants [ms], ascending
 * @param values a value per instant
 * @param joined of these values
 * @param periods those that `joined` was made for
 */
export function summariseColumn(
  time: Float64Array,
  values: Float64Array,
  joined: JoinedRows,
  periods: readonly Period[],
): ColumnSummary {
  const { runs, runPeriods } = joined;
  const nothing = () => new Float64Array(periods.length).fill(Number.NaN);
  const summary = { min: nothing(), minTime: nothing(), max: nothing(), maxTime: nothing() };
  const integral = new Float64Array(periods.length);
  const found = new Float64Array(3);
  for (let run = 0; run < runPeriods.length; run++) {
    const p = runPeriods[run]!;
    walk(time, values, runs[RUN * run]!, runs[RUN * run + 1]!, found);
    note(summary.min, summary.minTime, p, values, time, found[LEAST]!, -1);
    note(summary.max, summary.maxTime, p, values, time, found[MOST]!, 1);
    integral[p]! += found[AREA]!;
  }
  addSteps(integral, time, values, null, joined, periods);
  return { ...summary, integral };
}

/** Where `walk` leaves the rows of the extremes, and the integral. */
const LEAST = 0;
const MOST = 1;
const AREA = 2;

/** The first of the smallest and of the largest values in the rows [first, last], and the integral over them. */
function walk(
  time: Float64Array,
  values: Float64Array,
  first: number,
  last: number,
  found: Float64Array,
): void {
  let least = first;
  let most = first;
  let before = values[first]!;
  let min = before;
  let max = before;
  let twice = 0;
  for (let row = first + 1; row <= last; row++) {
    const value = values[row]!;
    twice += (before + value) * (time[row]! - time[row - 1]!);
    if (value < min) {
      min = value;
      least = row;
    } else if (value > max) {
      max = value;
      most = row;
    }
    before = value;
  }
  found[LEAST] = least;
  found[MOST] = most;
  found[AREA] = twice / 2;
}

/** Takes the value of a row where none was met so far in the period that lies as far in this direction. */
function note(
  extreme: Float64Array,
  met: Float64Array,
  p: number,
  values: Float64Array,
  time: Float64Array,
  row: number,
  direction: -1 | 1,
): void {
  // written so that the first value, compared with NaN, is taken
  if (direction * values[row]! <= direction * extreme[p]!) return;
  extreme[p] = values[row]!;
  met[p] = time[row]!;
}

/**
 * Integral of what hangs on temperature and humidity alone, by period, as `summariseColumn` has it.
 *
 * @param table by number of the pair, from `tableOf`
 * @param joined of the rows that carry both quantities
 * @returns the integral [value × ms], and the time that it is over [ms]: less than is covered where the table has
 *   no value for air that was met
 */
export function integralOf(
  time: Float64Array,
  pairs: Pairs,
  table: Float64Array,
  joined: JoinedRows,
  periods: readonly Period[],
  bridge: Milliseconds,
): { readonly integral: Float64Array; readonly covered: Float64Array } {
  if (table.subarray(1).includes(Number.NaN)) {
    const values = columnOf(pairs, table);
    const own = joinedRows(time, values, values, periods, bridge);
    return { integral: summariseColumn(time, values, own, periods).integral, covered: own.covered };
  }
  const { runs, runPeriods, covered } = joined;
  const integral = new Float64Array(periods.length);
  for (let run = 0; run < runPeriods.length; run++)
    integral[runPeriods[run]!]! += areaOf(time, pairs.of, table, runs[RUN * run]!, runs[RUN * run + 1]!);
  addSteps(integral, time, table, pairs.of, joined, periods);
  return { integral, covered };
}

/** The integral over the rows [first, last], values looked up by number. */
function areaOf(
  time: Float64Array,
  numbers: Uint32Array,
  table: Float64Array,
  first: number,
  last: number,
): number {
  let twice = 0;
  let before = table[numbers[first]!]!;
  for (let row = first + 1; row <= last; row++) {
    const value = table[numbers[row]!]!;
    twice += (before + value) * (time[row]! - time[row - 1]!);
    before = value;
  }
  return twice / 2;
}

/** Adds what lies between the runs. `numbers` says where in `values` the value of a row stands; null: at the row. */
function addSteps(
  integral: Float64Array,
  time: Float64Array,
  values: Float64Array,
  numbers: Uint32Array | null,
  { steps }: JoinedRows,
  periods: readonly Period[],
): void {
  for (let step = 0; step < steps.length; step += STEP) {
    const before = steps[step]!;
    const after = steps[step + 1]!;
    const p = steps[step + 2]!;
    const from = time[before]!;
    const until = time[after]!;
    const value = values[numbers === null ? before : numbers[before]!]!;
    const slope = (values[numbers === null ? after : numbers[after]!]! - value) / (until - from);
    const start = Math.max(from, periods[p]!.start);
    const end = Math.min(until, periods[p]!.end);
    integral[p]! += (value + slope * ((start + end) / 2 - from)) * (end - start);
  }
}
