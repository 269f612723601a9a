import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Instant, Milliseconds } from '../units.js';
import { add, close, tally } from './stretches.js';

/** How much of each period is known. */
export interface JoinedTime {
  /** Rows with start <= time < end that carry a value. */
  readonly readings: Uint32Array;
  /** Time between joined rows inside the period [ms], and the longest stretch of it without. */
  readonly covered: Float64Array;
  readonly longestHole: Float64Array;
}

/** Is told, in order of time, which rows carry values and what lies between them. */
export interface JoinedRows {
  /** Rows in period number `p` that follow each other, each with a value and joined to the next. */
  run(first: number, last: number, p: number): void;
  /** What lies between joined rows that are not of one run: its part from `start` to `end` is in period number `p`. */
  step(before: number, after: number, start: Instant, end: Instant, p: number): void;
}

/**
 * Goes along the rows that carry values and are joined: no further apart than the bridging limit.
 *
 * @param time instants [ms], ascending
 * @param one, other columns of values, NaN where missing: a row counts where it has both
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 * @param told of all that is found; left out where only the time matters
 */
export function alongJoined(
  time: Float64Array,
  one: Float64Array,
  other: Float64Array,
  periods: readonly Period[],
  bridge: Milliseconds,
  told?: JoinedRows,
): JoinedTime {
  const readings = new Uint32Array(periods.length);
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
      told?.run(first, last, p);
    }
    add(known, time[first]!, time[last]!);
    first = nextOfBoth(one, other, last + 1);
    const from = time[last]!;
    const until = time[first] ?? Number.POSITIVE_INFINITY;
    const isJoined = until - from <= bridge;
    add(isJoined ? known : holes, from, until);
    for (let q = p; isJoined && q < periods.length && periods[q]!.start < until; q++) {
      const { start, end } = periods[q]!;
      if (end > from) told?.step(last, first, Math.max(from, start), Math.min(until, end), q);
    }
  }
  close(known);
  close(holes);
  return { readings, covered: known.time, longestHole: holes.longest };
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
