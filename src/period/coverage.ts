import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Milliseconds } from '../units.js';
import { add, close, tally } from './stretches.js';

/** How much of each period a column of values covers. */
export interface Coverage {
  /** Time between neighbouring good values no further apart than the bridging limit [ms]. */
  readonly covered: Float64Array;
  /** Longest stretch that is not, cut at the period's ends [ms]. */
  readonly longestHole: Float64Array;
}

/**
 * @param time instants, ascending
 * @param values a value per instant, NaN where missing
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function coverageOf(
  time: Float64Array,
  values: Float64Array,
  periods: readonly Period[],
  bridge: Milliseconds,
): Coverage {
  const known = tally(periods);
  const holes = tally(periods);
  let knownUntil = Number.NEGATIVE_INFINITY;
  for (let i = nextGood(values, 0); i < values.length; ) {
    const last = lastJoined(time, values, i, bridge);
    if (last > i) {
      add(known, time[i]!, time[last]!);
      add(holes, knownUntil, time[i]!);
      knownUntil = time[last]!;
    }
    i = nextGood(values, last + 1);
  }
  add(holes, knownUntil, Number.POSITIVE_INFINITY);
  close(known);
  close(holes);
  return { covered: known.time, longestHole: holes.longest };
}

/** The last of the good values that are joined to the one of a row, each to the next. */
function lastJoined(time: Float64Array, values: Float64Array, from: number, bridge: Milliseconds): number {
  let last = from;
  for (let row = from + 1; row < values.length; row++) {
    if (Number.isNaN(values[row]!)) continue;
    if (time[row]! - time[last]! > bridge) break;
    last = row;
  }
  return last;
}
