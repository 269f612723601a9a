import { isUsable } from '../log/flag.js';
import { pieceOf, rowAt } from '../log/pieces.js';
import { firstFrom } from '../log/span.js';
import type { Milliseconds } from '../units.js';
import type { Points } from './points.js';

/** Neighbouring points without a change, from the first to the last of them. */
export interface Run {
  readonly first: number;
  readonly last: number;
}

/** How many points. */
export const lengthOf = ({ first, last }: Run): number => last - first + 1;

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
/** Among so many and more there is one that the share leaves over. */
const SELDOM = 100;

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
  for (let at = nextAlike(points, 0, stride, how.both); at < count; ) {
    const first = firstBefore(points, at, how);
    const end = changeAfter(points, at, how);
    if (end - first >= least && times[rowAt(rows, end - 1)]! - times[rowAt(rows, first)]! >= lasting)
      runs.push({ first, last: end - 1 });
    at = nextAlike(points, end, stride, how.both);
  }
  return runs;
}

/** The next point from `from` on, by strides, that says the same as the one a stride after it; their number where there is none. */
function nextAlike(points: Points, from: number, stride: number, both: boolean): number {
  const { count, rows, values, partners } = points;
  if (from + stride >= count) return count;
  const { starts, firsts } = rows;
  let piece = pieceOf(rows, from);
  let row = rowAt(rows, from);
  for (let at = from; at + stride < count; at += stride) {
    while (at + stride >= starts[piece + 1]!) piece++;
    const next = firsts[piece]! + at + stride - starts[piece]!;
    if (values[next] === values[row] && (!both || partners[next] === partners[row])) return at;
    row = next;
  }
  return count;
}

/** The first point of the stretch that this one is of. */
function firstBefore(points: Points, at: number, how: Unchanged): number {
  let row = rowAt(points.rows, at);
  for (let first = at; first > 0; first--) {
    const before = rowAt(points.rows, first - 1);
    if (!isUnchanged(points, before, row, how)) return first;
    row = before;
  }
  return 0;
}

/** The first point after this one that is of another stretch. */
function changeAfter(points: Points, at: number, how: Unchanged): number {
  let before = rowAt(points.rows, at);
  for (let next = at + 1; next < points.count; next++) {
    const row = rowAt(points.rows, next);
    if (!isUnchanged(points, before, row, how)) return next;
    before = row;
  }
  return points.count;
}

/** Whether a point is of the same stretch as the one before it, by their rows. */
function isUnchanged(
  { times, values, partners, partnerFlags }: Points,
  before: number,
  row: number,
  { reach, both }: Unchanged,
): boolean {
  if (values[row] !== values[before] || times[row]! - times[before]! > reach) return false;
  if (!both) return true;
  return (
    partners[row] === partners[before] && isUsable(partnerFlags[row]!) && isUsable(partnerFlags[before]!)
  );
}

/**
 * Of these stretches those that are longer than so many times what is usual: the length [points] that only one in a
 * hundred of all stretches exceeds, single points among them, and none but the three longest: what is too long is not
 * what is usual.
 */
export function unusualOf(points: Points, runs: readonly Run[], times: number, how: Unchanged): Run[] {
  if (runs.length === 0) return [];
  const shortest = runs.reduce((least, run) => Math.min(least, lengthOf(run)), Infinity);
  const lengths = runsOf(points, Math.ceil(shortest / times), 0, how)
    .map(lengthOf)
    .sort((a, b) => a - b);
  // how many stretches there are in all is asked no further than it matters: most logs have few long ones
  const total = lengths.length <= APART ? 0 : stretchesIn(points, how, SELDOM * (lengths.length + 1));
  const seldom = Math.max(APART, total - Math.floor(SHARE * total) - 1);
  return runs.filter((run) => lengths.length - firstFrom(lengths, lengthOf(run) / times) <= seldom);
}

/** How many stretches there are, single points among them, counted up to so many. */
export function stretchesIn(points: Points, how: Unchanged, most: number): number {
  let total = 0;
  for (let at = 0; at < points.count && total < most; total++) at = changeAfter(points, at, how);
  return total;
}
