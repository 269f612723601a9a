import { isUsable } from '../log/flag.js';
import { type Log, type Measured, valuesOf } from '../log/log.js';
import { HOUR } from '../units.js';
import { DEFAULT_LIMITS } from './grossRange.js';

/** Means of a quantity by the hour, counted from 1970 UTC. */
export interface Hourly {
  /** The hour of the first of them. */
  readonly first: number;
  /** NaN for hours without a value. */
  readonly mean: Float64Array;
}

/** Air of no room is so dry: a sensor that has failed, or humidity as a fraction (own estimate) [%]. */
const DRIEST = 2;

/** What stands still to the last digit for so many hours is not compared: hung, locked, or fog (project rule). */
export const STILL = 12;

const known = new WeakMap<Log, Map<Measured, Hourly>>();

/**
 * Hourly means of what air can have at all, where it moves; made once for every log, since each is compared with all others.
 *
 * @param flags where they are known: values that are bad are left out
 */
export function hourlyOf(log: Log, quantity: Measured, flags: Uint8Array | null = null): Hourly {
  if (flags !== null) return means(log, quantity, flags);
  const byQuantity = known.get(log) ?? new Map<Measured, Hourly>();
  known.set(log, byQuantity);
  const made = byQuantity.get(quantity) ?? means(log, quantity, null);
  byQuantity.set(quantity, made);
  return made;
}

function means({ time, length, ...log }: Log, quantity: Measured, flags: Uint8Array | null): Hourly {
  if (length === 0) return { first: 0, mean: new Float64Array(0) };
  const values = valuesOf({ time, length, ...log }, quantity);
  const [least, greatest] =
    quantity === 'air_temperature'
      ? DEFAULT_LIMITS.airTemperature
      : [DRIEST, DEFAULT_LIMITS.relativeHumidity[1]];
  const first = Math.floor(time[0]! / HOUR);
  const mean = new Float64Array(Math.floor(time[length - 1]! / HOUR) - first + 1);
  const counts = new Uint32Array(mean.length);
  for (let row = 0; row < length; row++) {
    const value = values[row]!;
    if (!(value >= least && value <= greatest) || (flags !== null && !isUsable(flags[row]!))) continue;
    const hour = Math.floor(time[row]! / HOUR) - first;
    mean[hour]! += value;
    counts[hour]!++;
  }
  for (let hour = 0; hour < mean.length; hour++) mean[hour]! /= counts[hour]!;
  return { first, mean: moving(mean) };
}

/** The means without stretches in which nothing moves. */
function moving(mean: Float64Array): Float64Array {
  const kept = mean.slice();
  for (let from = 0, hour = 1; hour <= mean.length; hour++) {
    if (mean[hour] === mean[from]) continue;
    if (hour - from >= STILL) kept.fill(NaN, from, hour);
    from = hour;
  }
  return kept;
}

/** The mean of an hour, NaN where there is none. */
export function at({ first, mean }: Hourly, hour: number): number {
  return mean[hour - first] ?? NaN;
}
