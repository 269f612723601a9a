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
  let i = nextGood(values, 0);
  while (i < values.length) {
    const j = nextGood(values, i + 1);
    if (j < values.length && time[j]! - time[i]! <= bridge) {
      add(known, time[i]!, time[j]!);
      add(holes, knownUntil, time[i]!);
      knownUntil = time[j]!;
    }
    i = j;
  }
  add(holes, knownUntil, Number.POSITIVE_INFINITY);
  close(known);
  close(holes);
  return { covered: known.time, longestHole: holes.longest };
}
