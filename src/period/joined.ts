import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Instant, Milliseconds } from '../units.js';
import { add, close, type Tally, tally } from './stretches.js';

/**
 * Which rows carry values, period by period, and which of them are joined: no further apart than the bridging limit.
 * Found once, it serves every sum over the same rows.
 */
export interface JoinedRows {
  /** Rows with start <= time < end that carry a value, by period. */
  readonly readings: Uint32Array;
  /** Time between joined rows inside the period [ms], and the longest stretch of it without. */
  readonly covered: Float64Array;
  readonly longestHole: Float64Array;
  /** Rows of one period that follow each other, each with a value and joined to the next: two numbers a run. */
  readonly runs: readonly number[];
  /** The period of each run. */
  readonly runPeriods: readonly number[];
  /** What lies between joined rows that are not of one run: the two rows, and a period in which it has a part. */
  readonly steps: readonly number[];
}

/** Numbers in `runs`, and in `steps`, for each. */
export const RUN = 2;
export const STEP = 3;

/**
 * @param time instants [ms], ascending
 * @param one, other columns of values, NaN where missing: a row counts where it has both
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function joinedRows(
  time: Float64Array,
  one: Float64Array,
  other: Float64Array,
  periods: readonly Period[],
  bridge: Milliseconds,
): JoinedRows {
  const readings = new Uint32Array(periods.length);
  const runs: number[] = [];
  const runPeriods: number[] = [];
  const steps: number[] = [];
  const known = tally(periods);
  const holes = tally(periods);
  let first = nextOfBoth(one, other, 0);
  add(holes, Number.NEGATIVE_INFINITY, time[first] ?? Number.POSITIVE_INFINITY);
  for (let p = 0; first < time.length; ) {
    while (p < periods.length && periods[p]!.end <= time[first]!) p++;
    if (p === periods.length) break;
    const isInside = periods[p]!.start <= time[first]!;
    const last = endOfRun(time, one, other, first, isInside ? periods[p]!.end : periods[p]!.start, bridge);
    if (isInside) {
      readings[p]! += last - first + 1;
      runs.push(first, last);
      runPeriods.push(p);
    }
    add(known, time[first]!, time[last]!);
    first = nextOfBoth(one, other, last + 1);
    const until = time[first] ?? Number.POSITIVE_INFINITY;
    const isJoined = until - time[last]! <= bridge;
    add(isJoined ? known : holes, time[last]!, until);
    if (isJoined) addSteps(steps, periods, p, last, first, time);
  }
  return { readings, ...closed(known, holes), runs, runPeriods, steps };
}

function closed(known: Tally, holes: Tally): Pick<JoinedRows, 'covered' | 'longestHole'> {
  close(known);
  close(holes);
  return { covered: known.time, longestHole: holes.longest };
}

/** The first row from `row` on that has both values; the number of rows where none follows. */
function nextOfBoth(one: Float64Array, other: Float64Array, row: number): number {
  let next = nextGood(one, row);
  while (next < one.length && Number.isNaN(other[next]!)) next = nextGood(one, next + 1);
  return next;
}

/** The last row of those before `limit` that follow row `first`, each with both values and joined to the next. */
function endOfRun(
  time: Float64Array,
  one: Float64Array,
  other: Float64Array,
  first: number,
  limit: Instant,
  bridge: Milliseconds,
): number {
  let before = time[first]!;
  let row = first + 1;
  for (; row < time.length; row++) {
    const now = time[row]!;
    if (now - before > bridge || now >= limit || Number.isNaN(one[row]! + other[row]!)) break;
    before = now;
  }
  return row - 1;
}

function addSteps(
  steps: number[],
  periods: readonly Period[],
  from: number,
  before: number,
  after: number,
  time: Float64Array,
): void {
  for (let p = from; p < periods.length && periods[p]!.start < time[after]!; p++)
    if (periods[p]!.end > time[before]!) steps.push(before, after, p);
}
