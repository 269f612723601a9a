import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Celsius, Instant, Milliseconds } from '../units.js';
import { add, close, tally } from './stretches.js';

/**
 * Time below 0 °C in each period [ms], on the straight lines between readings. Exactly 0 °C is not frost.
 *
 * @param time instants, ascending
 * @param temperature air temperature [°C], NaN where missing
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function frostTime(
  time: Float64Array,
  temperature: Float64Array,
  periods: readonly Period[],
  bridge: Milliseconds,
): Float64Array {
  const frost = tally(periods);
  let i = nextGood(temperature, 0);
  while (i < temperature.length) {
    const j = nextGood(temperature, i + 1);
    if (j === temperature.length) break;
    const before = temperature[i]!;
    const after = temperature[j]!;
    if (time[j]! - time[i]! <= bridge && (before < 0 || after < 0)) {
      const crossing = zeroCrossing(time[i]!, before, time[j]!, after);
      add(frost, before < 0 ? time[i]! : crossing, after < 0 ? time[j]! : crossing);
    }
    i = j;
  }
  close(frost);
  return frost.time;
}

/** When the line passes zero, to the millisecond, so that the durations on both sides are exact sums. */
function zeroCrossing(from: Instant, before: Celsius, until: Instant, after: Celsius): Instant {
  return from + Math.round((until - from) * (before / (before - after)));
}
