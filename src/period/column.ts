import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Milliseconds } from '../units.js';

/** Extremes and integral of one column of values, an entry per period. */
export interface ColumnSummary {
  /** Good values with start <= time < end. */
  readonly readings: Uint32Array;
  /** Smallest and largest of them, and when each was first met; NaN where there is none. */
  readonly min: Float64Array;
  readonly minTime: Float64Array;
  readonly max: Float64Array;
  readonly maxTime: Float64Array;
  /** Integral over the known time inside the period [value × ms]. */
  readonly integral: Float64Array;
}

/**
 * Extremes come from the readings themselves, the integral from the straight lines between neighbours
 * no further apart than the bridging limit, cut at the periods' ends. One pass.
 *
 * @param time instants, ascending
 * @param values a value per instant, NaN where missing
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function summariseColumn(
  time: Float64Array,
  values: Float64Array,
  periods: readonly Period[],
  bridge: Milliseconds,
): ColumnSummary {
  const count = periods.length;
  const readings = new Uint32Array(count);
  const min = new Float64Array(count).fill(Number.NaN);
  const minTime = new Float64Array(count).fill(Number.NaN);
  const max = new Float64Array(count).fill(Number.NaN);
  const maxTime = new Float64Array(count).fill(Number.NaN);
  const integral = new Float64Array(count);

  let p = 0;
  let i = nextGood(values, 0);
  while (i < values.length) {
    const from = time[i]!;
    const value = values[i]!;
    while (p < count && periods[p]!.end <= from) p++;
    if (p === count) break;
    if (periods[p]!.start <= from) {
      readings[p]!++;
      // Written so that the first value, compared with NaN, is taken.
      if (!(value >= min[p]!)) {
        min[p] = value;
        minTime[p] = from;
      }
      if (!(value <= max[p]!)) {
        max[p] = value;
        maxTime[p] = from;
      }
    }
    const j = nextGood(values, i + 1);
    if (j === values.length) break;
    const until = time[j]!;
    if (until - from <= bridge) {
      const slope = (values[j]! - value) / (until - from);
      for (let q = p; q < count && periods[q]!.start < until; q++) {
        const start = Math.max(from, periods[q]!.start);
        const end = Math.min(until, periods[q]!.end);
        integral[q]! += (value + slope * ((start + end) / 2 - from)) * (end - start);
      }
    }
    i = j;
  }
  return { readings, min, minTime, max, maxTime, integral };
}
