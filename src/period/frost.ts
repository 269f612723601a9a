import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Celsius, Instant, Milliseconds } from '../units.js';
import { add, close, type Tally, tally } from './stretches.js';

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
  const { length } = temperature;
  for (let row = nextFrost(temperature, 0); row < length; row = nextFrost(temperature, row)) {
    addStep(frost, time, temperature, lastGood(temperature, row - 1), row, bridge);
    while (temperature[row]! < 0) {
      const next = nextGood(temperature, row + 1);
      addStep(frost, time, temperature, row, next, bridge);
      row = next;
    }
  }
  close(frost);
  return frost.time;
}

/** The first row from `row` on that is below 0 °C; the number of rows where none is. */
function nextFrost(temperature: Float64Array, row: number): number {
  let next = row;
  while (next < temperature.length && !(temperature[next]! < 0)) next++;
  return next;
}

/** The last row up to `row` that carries a value; -1 where none does. */
function lastGood(temperature: Float64Array, row: number): number {
  let last = row;
  while (last >= 0 && Number.isNaN(temperature[last]!)) last--;
  return last;
}

/** Adds what lies below 0 °C between two rows that carry values, if both are there and joined. */
function addStep(
  frost: Tally,
  time: Float64Array,
  temperature: Float64Array,
  i: number,
  j: number,
  bridge: Milliseconds,
): void {
  if (i < 0 || j === temperature.length || time[j]! - time[i]! > bridge) return;
  const before = temperature[i]!;
  const after = temperature[j]!;
  const crossing = zeroCrossing(time[i]!, before, time[j]!, after);
  add(frost, before < 0 ? time[i]! : crossing, after < 0 ? time[j]! : crossing);
}

/** When the line passes zero, to the millisecond, so that the durations on both sides are exact sums. */
function zeroCrossing(from: Instant, before: Celsius, until: Instant, after: Celsius): Instant {
  return from + Math.round((until - from) * (before / (before - after)));
}
