import { isUsable } from '../log/flag.js';
import type { Milliseconds } from '../units.js';
import type { Points } from './points.js';

/** Neighbouring points without a change, from the first to the last of them. */
export interface Run {
  readonly first: number;
  readonly last: number;
}

/** What makes points neighbours without a change. */
export interface Unchanged {
  /** Points further apart than this are of two stretches [ms]. */
  readonly reach: Milliseconds;
  /** Whether the other quantity must stay, too, and be known. */
  readonly both: boolean;
}

/** So many of the longest stretches do not count as usual. */
const APART = 3;
const SHARE = 0.99;

/**
 * Stretches in which nothing changes, of at least so many points and over at least so much time. They are looked for
 * in strides: of any such stretch two points that are looked at one after the other lie in it.
 *
 * @param least fewest points
 * @param lasting from the first of them to the last [ms]
 */
export function runsOf(points: Points, least: number, lasting: Milliseconds, how: Unchanged): Run[] {
  const { count, rows, times } = points;
  const stride = Math.max(least, Math.ceil(lasting / how.reach) + 1) >> 1;
  const runs: Run[] = [];
  for (let at = nextAlike(points, 0, stride); at < count; ) {
    let first = at;
    while (first > 0 && isUnchanged(points, first, how)) first--;
    const end = changeAfter(points, at, how);
    if (end - first >= least && times[rows[end - 1]!]! - times[rows[first]!]! >= lasting)
      runs.push({ first, last: end - 1 });
    at = nextAlike(points, end, stride);
  }
  return runs;
}

/** The next point from `from` on, by strides, that says the same as the one a stride after it; their number where there is none. */
function nextAlike({ count, rows, values }: Points, from: number, stride: number): number {
  for (let at = from; at + stride < count; at += stride)
    if (values[rows[at]!] === values[rows[at + stride]!]) return at;
  return count;
}

/** The first point after this one that is of another stretch. */
function changeAfter(points: Points, at: number, how: Unchanged): number {
  let next = at + 1;
  while (next < points.count && isUnchanged(points, next, how)) next++;
  return next;
}

/** Whether a point is of the same stretch as the one before it. */
function isUnchanged(points: Points, at: number, { reach, both }: Unchanged): boolean {
  const { rows, times, values, partners, partnerFlags } = points;
  const row = rows[at]!;
  const before = rows[at - 1]!;
  if (values[row] !== values[before] || times[row]! - times[before]! > reach) return false;
  if (!both) return true;
  return (
    partners[row] === partners[before] && isUsable(partnerFlags[row]!) && isUsable(partnerFlags[before]!)
  );
}

/**
 * The length [points] that only one stretch in a hundred exceeds, single points among them, and none but the three longest:
 * what is too long is not what is usual. 0 where there are no more than three.
 */
export function usualLength(points: Points, how: Unchanged): number {
  const { count } = points;
  const byLength = new Uint32Array(count + 1);
  let total = 0;
  for (let first = 0; first < count; total++) {
    const end = changeAfter(points, first, how);
    byLength[end - first]!++;
    first = end;
  }
  const rank = Math.min(Math.floor(SHARE * total), total - 1 - APART);
  if (rank < 0) return 0;
  let below = 0;
  for (let length = 1; length <= count; length++) {
    below += byLength[length]!;
    if (below > rank) return length;
  }
  return 0;
}
