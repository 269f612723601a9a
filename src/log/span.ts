import type { Instant } from '../units.js';

/** Half-open stretch of time; null is open. */
export interface Span {
  readonly from: Instant | null;
  readonly until: Instant | null;
}

/** Rows [first, end) of a log. */
export interface Rows {
  readonly first: number;
  readonly end: number;
}

/**
 * The rows whose instants lie in a span; none where it ends before it begins.
 *
 * @param time instants [ms], ascending
 */
export function rowsWithin(time: Float64Array, { from, until }: Span): Rows {
  const first = from === null ? 0 : firstFrom(time, from);
  return { first, end: Math.max(first, until === null ? time.length : firstFrom(time, until)) };
}

/** The first place of an ascending column with at least this value; its length where there is none. */
export function firstFrom(column: ArrayLike<number>, least: number): number {
  let low = 0;
  let high = column.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (column[middle]! < least) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The same, where it is nearly always at this place. */
export function firstNear(column: ArrayLike<number>, least: number, near: number): number {
  const isThere = near < column.length && column[near]! >= least && (near === 0 || column[near - 1]! < least);
  return isThere ? near : firstFrom(column, least);
}
