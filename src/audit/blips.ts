import { rowAt } from '../log/pieces.js';
import { HOUR, type Milliseconds } from '../units.js';
import { type ByInterval, limitAt } from './limits.js';
import { lineAt, type Points, timeAt, valueAt } from './points.js';
import { LEAST_HABITS, quantile, spreadOf, strideOver } from './robust.js';
import { nextStep } from './steps.js';

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

/** Several checks ask for it, as long as the points are the same. */
const known = new WeakMap<Points, Unrest | null>();

/** Null where the log is too short to have habits. */
export function unrestOf(points: Points, cadence: Milliseconds): Unrest | null {
  const before = known.get(points);
  if (before !== undefined) return before;
  const unrest = measured(points, cadence);
  known.set(points, unrest);
  return unrest;
}

/** Whether it is long enough to have them. */
export function hasHabits(points: Points, cadence: Milliseconds): boolean {
  const found = new Float64Array(LEAST_HABITS);
  return putDepartures(points, cadence, found) === LEAST_HABITS;
}

function measured(points: Points, cadence: Milliseconds): Unrest | null {
  const found = new Float64Array(Math.ceil(points.count / strideOver(points.count - 2)));
  const sizes = found.subarray(0, putDepartures(points, cadence, found)).sort();
  if (sizes.length < LEAST_HABITS) return null;
  return { spread: spreadOf(sizes), seldom: quantile(sizes, 0.98) };
}

/**
 * How far every so many-th point is off the line between those before and after, where these lie near.
 *
 * @returns how many there are, `sizes` being large enough for them; else its length
 */
function putDepartures(
  { count, rows, times, values }: Points,
  cadence: Milliseconds,
  sizes: Float64Array,
): number {
  const { starts, firsts } = rows;
  const stride = strideOver(count - 2);
  const reach = 2 * NEAR_CADENCES * cadence;
  let n = 0;
  for (let at = 1, piece = 0; at + 1 < count && n < sizes.length; at += stride) {
    while (at >= starts[piece + 1]!) piece++;
    const row = firsts[piece]! + at - starts[piece]!;
    const before = at > starts[piece]! ? row - 1 : rowAt(rows, at - 1);
    const after = at + 1 < starts[piece + 1]! ? row + 1 : rowAt(rows, at + 1);
    const interval = times[after]! - times[before]!;
    if (interval > reach) continue;
    const slope = ((values[after]! - values[before]!) * (times[row]! - times[before]!)) / interval;
    sizes[n++] = Math.abs(values[row]! - (values[before]! + slope));
  }
  return n;
}

/** How far a point must be off by the time to the point before: a share of a table of limits, and no less than `own`. */
export interface BlipLimit {
  readonly table: ByInterval;
  readonly share: number;
  readonly own: number;
}

const leastFor = ({ table, share, own }: BlipLimit, interval: Milliseconds) =>
  Math.max(own, share * limitAt(table, interval));

/**
 * The blips of a log.
 *
 * @param longest of so many points at most
 */
export function blipsOf(points: Points, cadence: Milliseconds, limit: BlipLimit, longest = LONGEST): Blip[] {
  const reach = NEAR_CADENCES * cadence;
  const atCadence = leastFor(limit, cadence);
  // limits only grow with time
  const usual = atCadence / 2;
  const blips: Blip[] = [];
  const end = points.count - 1;
  for (let first = nextStep(points, 1, usual); first < end; first = nextStep(points, first + 1, usual)) {
    const interval = timeAt(points, first) - timeAt(points, first - 1);
    if (interval > reach) continue;
    const least = interval === cadence ? atCadence : leastFor(limit, interval);
    const blip = blipFrom(points, first, least, reach, longest);
    if (blip === null) continue;
    blips.push(blip);
    first = blip.last;
  }
  return blips;
}

/** The blip that begins at a point, if one does. */
function blipFrom(
  points: Points,
  first: number,
  least: number,
  reach: Milliseconds,
  longest: number,
): Blip | null {
  const { count, rows, times, values } = points;
  const before = rowAt(rows, first - 1);
  const row = rowAt(rows, first);
  const value = values[before]!;
  const here = values[row]!;
  const sign = Math.sign(here - value);
  const interval = times[row]! - times[before]!;
  for (let after = first + 1; after <= first + longest && after < count; after++) {
    const next = rowAt(rows, after);
    if (times[next]! - times[rowAt(rows, after - 1)]! > reach) return null;
    // the first of them says no most often
    const line = value + ((values[next]! - value) * interval) / (times[next]! - times[before]!);
    const most = sign * (here - line);
    if (most <= least || Math.abs(values[next]! - value) > RETURNS * most) continue;
    const off = smallest(points, first - 1, after, sign);
    if (off > least && Math.abs(values[next]! - value) <= RETURNS * off)
      return { before: first - 1, first, last: after - 1, after };
  }
  return null;
}

/** Whether it lasts for more than one reading and so long that weather could do it. */
export function isLasting(points: Points, { before, first, last, after }: Blip): boolean {
  return last > first && timeAt(points, after) - timeAt(points, before) > PASSING;
}

/** Smallest distance of the values from the line between two points, to the side of `sign`. */
export function smallest(points: Points, before: number, after: number, sign: number): number {
  let least = Infinity;
  for (let at = before + 1; at < after; at++)
    least = Math.min(least, sign * (valueAt(points, at) - lineAt(points, valueAt, before, after, at)));
  return least;
}

/**
 * Greatest distance of the points of a blip from the line, signed.
 *
 * @param of the quantity: `valueAt` or `partnerAt`
 */
export function offLine(points: Points, of: typeof valueAt, { before, after }: Blip): number {
  let most = 0;
  for (let at = before + 1; at < after; at++) {
    const off = of(points, at) - lineAt(points, of, before, after, at);
    if (!(Math.abs(off) <= Math.abs(most))) most = off;
  }
  return most;
}
