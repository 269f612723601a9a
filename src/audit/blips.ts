import { HOUR, type Milliseconds } from '../units.js';
import { lineAt, type Points } from './points.js';
import { LEAST_HABITS, quantile, sampled, spreadOf } from './robust.js';

/** A departure that lasts for more readings than this is an event, not a blip. */
const LONGEST = 3;
/** And what takes longer may be weather, unless it is a single reading. */
const PASSING: Milliseconds = HOUR;
/** Beyond so many cadences a neighbour says nothing. */
const NEAR_CADENCES = 3;
/** Of the size of a blip, what may remain when it is over. */
const RETURNS = 0.25;

/** A few readings that leave the line between the readings before and after it, and come back. */
export interface Blip {
  /** Point before, first and last point of the blip, point after. */
  readonly before: number;
  readonly first: number;
  readonly last: number;
  readonly after: number;
}

/** How far a log strays from the line between its own neighbours. */
export interface Unrest {
  /** Robust standard deviation. */
  readonly spread: number;
  /** What only one in fifty exceeds. */
  readonly seldom: number;
}

/** Null where the log is too short to have habits. */
export function unrestOf(points: Points, cadence: Milliseconds): Unrest | null {
  const { time, value, count } = points;
  const sizes = sampled(count - 2, (place) =>
    time[place + 2]! - time[place]! > 2 * NEAR_CADENCES * cadence
      ? NaN
      : Math.abs(value[place + 1]! - lineAt(time, value, place, place + 2, place + 1)),
  );
  if (sizes.length < LEAST_HABITS) return null;
  return { spread: spreadOf(sizes), seldom: quantile(sizes, 0.98) };
}

/**
 * The blips of a log.
 *
 * @param limit how far a point must be off, by the time to the point before
 * @param longest of so many points at most
 */
export function* blipsOf(
  { time, value, count }: Points,
  cadence: Milliseconds,
  limit: (interval: Milliseconds) => number,
  longest = LONGEST,
): Generator<Blip> {
  const reach = NEAR_CADENCES * cadence;
  const usual = limit(cadence);
  for (let first = 1; first < count - 1; first++) {
    const before = first - 1;
    const departure = value[first]! - value[before]!;
    // limits only grow with time
    if (Math.abs(departure) <= usual / 2) continue;
    const interval = time[first]! - time[before]!;
    if (interval > reach) continue;
    const least = limit(interval);
    for (let after = first + 1; after <= first + longest && after < count; after++) {
      if (time[after]! - time[after - 1]! > reach) break;
      const off = smallest(time, value, before, after, Math.sign(departure));
      if (off <= least || Math.abs(value[after]! - value[before]!) > RETURNS * off) continue;
      yield { before, first, last: after - 1, after };
      first = after - 1;
      break;
    }
  }
}

/** Whether it lasts for more than one reading and so long that weather could do it. */
export function isLasting(time: Float64Array, { before, first, last, after }: Blip): boolean {
  return last > first && time[after]! - time[before]! > PASSING;
}

/** Smallest distance from the line between two points, to the side of `sign`. */
export function smallest(
  time: Float64Array,
  value: Float64Array,
  before: number,
  after: number,
  sign: number,
) {
  let least = Infinity;
  for (let at = before + 1; at < after; at++)
    least = Math.min(least, sign * (value[at]! - lineAt(time, value, before, after, at)));
  return least;
}

/** Greatest distance of the points of a blip from the line, signed; `values` of either quantity. */
export function offLine(time: Float64Array, values: Float64Array, { before, after }: Blip): number {
  let most = 0;
  for (let at = before + 1; at < after; at++) {
    const off = values[at]! - lineAt(time, values, before, after, at);
    if (!(Math.abs(off) <= Math.abs(most))) most = off;
  }
  return most;
}
