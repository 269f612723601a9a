import type { Rows } from './span.js';

/** Stretches with fewer rows between them are looked at as one: each costs as much by itself as so many rows do. */
const NEAR = 64;

/**
 * Where a column is not in ascending order: all other rows stand in their places already, and none of a stretch
 * belongs outside it. Linear for logs with some late rows, n log n at worst.
 *
 * @param keys no NaN among them
 * @returns in order, none overlapping; none where the column is in order as it stands
 */
export function mixedRows(keys: Float64Array): Rows[] {
  const found: { first: number; end: number; greatest: number }[] = [];
  for (let row = nextBelow(keys, 1); row < keys.length; row = nextBelow(keys, row + 1)) {
    const greatest = keys[row - 1]!;
    for (; row < keys.length && keys[row]! < greatest; row++) {
      const key = keys[row]!;
      let first = row;
      let before = found.at(-1);
      while (before !== undefined && key < before.greatest) {
        first = before.first;
        found.pop();
        before = found.at(-1);
      }
      first = firstAbove(keys, before?.end ?? 0, first, key);
      if (before !== undefined && first < before.end + NEAR) {
        before.end = row + 1;
        before.greatest = greatest;
      } else found.push({ first, end: row + 1, greatest });
    }
  }
  return found;
}

/** The first row from `from` on, 1 or more, with a smaller key than the one before it; their number where there is none. */
function nextBelow(keys: Float64Array, from: number): number {
  for (let row = from; row < keys.length; row++) if (keys[row]! < keys[row - 1]!) return row;
  return keys.length;
}

/** The first of the rows [from, to), which ascend, with a greater key; `to` where there is none. */
function firstAbove(keys: Float64Array, from: number, to: number, key: number): number {
  let [low, high] = [from, to];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (keys[middle]! <= key) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * The rows of stretches, those of each in ascending order of their keys, equal keys in the order in which they stand.
 *
 * A merge sort over the runs that are there already, which moves only what stands between the ends of two of them:
 * linear for a column in order, in reverse order, or with rows that are a little late; n log n at worst. Logs are
 * nearly always nearly in order.
 *
 * @param keys no NaN among them
 */
export function sortedRows(keys: Float64Array, stretches: readonly Rows[]): Uint32Array {
  const rows = new Uint32Array(stretches.reduce((sum, { first, end }) => sum + end - first, 0));
  const held = new Uint32Array(stretches.reduce((most, { first, end }) => Math.max(most, end - first), 0));
  let from = 0;
  for (const { first, end } of stretches) {
    const to = from + end - first;
    for (let i = from; i < to; i++) rows[i] = first + i - from;
    sortRows(keys, rows, from, to, held);
    from = to;
  }
  return rows;
}

/**
 * The rows of `keys` in ascending order, equal keys in the order in which they stand.
 *
 * @param keys no NaN among them
 * @returns row numbers, or null where the column is in order as it stands
 */
export function ascendingOrder(keys: Float64Array): Uint32Array | null {
  return isAscending(keys) ? null : sortedRows(keys, [{ first: 0, end: keys.length }]);
}

function isAscending(keys: Float64Array): boolean {
  return nextBelow(keys, 1) === keys.length;
}

/** Sorts `rows` between two places; `held` has room for as many. */
function sortRows(keys: Float64Array, rows: Uint32Array, from: number, to: number, held: Uint32Array): void {
  let bounds = runsOf(keys, rows, from, to);
  while (bounds.length > 2) {
    const merged: number[] = [from];
    for (let run = 0; run + 1 < bounds.length; run += 2) {
      const start = bounds[run]!;
      const middle = bounds[run + 1]!;
      const end = bounds[run + 2] ?? middle;
      if (end > middle) merge(keys, rows, held, start, middle, end);
      merged.push(end);
    }
    bounds = merged;
  }
}

/** Starts of the ascending runs, and the end; strictly descending runs are turned round in `rows` first. */
function runsOf(keys: Float64Array, rows: Uint32Array, start: number, end: number): number[] {
  const bounds = [start];
  const isBelow = (i: number) => keys[rows[i]!]! < keys[rows[i - 1]!]!;
  let from = start;
  while (from < end) {
    let to = from + 1;
    if (to < end && isBelow(to)) {
      while (to < end && isBelow(to)) to++;
      rows.subarray(from, to).reverse();
    } else {
      while (to < end && !isBelow(to)) to++;
    }
    bounds.push(to);
    from = to;
  }
  return bounds;
}

/** Merges the runs [from, middle) and [middle, to) of `rows`; `held` has room for the first. */
function merge(
  keys: Float64Array,
  rows: Uint32Array,
  held: Uint32Array,
  from: number,
  middle: number,
  to: number,
): void {
  // What of the first run comes before all of the second stays where it is, and the other way round.
  const first = placeIn(keys, rows, from, middle, keys[rows[middle]!]!, true);
  const end = placeIn(keys, rows, middle, to, keys[rows[middle - 1]!]!, false);
  const count = middle - first;
  held.set(rows.subarray(first, middle));
  let left = 0;
  let right = middle;
  for (let i = first; left < count; i++) {
    const takeRight = right < end && keys[rows[right]!]! < keys[held[left]!]!;
    rows[i] = takeRight ? rows[right++]! : held[left++]!;
  }
}

/** Where a key belongs in a run, before or behind all that equal it. */
function placeIn(
  keys: Float64Array,
  rows: Uint32Array,
  from: number,
  to: number,
  key: number,
  behind: boolean,
): number {
  let [low, high] = [from, to];
  while (low < high) {
    const middle = (low + high) >> 1;
    const here = keys[rows[middle]!]!;
    if (here < key || (behind && here === key)) low = middle + 1;
    else high = middle;
  }
  return low;
}
