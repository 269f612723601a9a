/**
 * The rows of `keys` in ascending order, equal keys in the order in which they stand.
 *
 * A merge sort over the runs that are there already, which moves only what stands between the ends of two of them:
 * linear for a column in order, in reverse order, or with rows that are a little late; n log n at worst. Logs are
 * nearly always nearly in order.
 *
 * @param keys no NaN among them
 * @returns row numbers, or null where the column is in order as it stands
 */
export function ascendingOrder(keys: Float64Array): Uint32Array | null {
  const n = keys.length;
  if (isAscending(keys)) return null;
  const rows = new Uint32Array(n);
  for (let i = 0; i < n; i++) rows[i] = i;
  let bounds = runsOf(keys, rows);
  const held = new Uint32Array(n);
  while (bounds.length > 2) {
    const merged: number[] = [0];
    for (let run = 0; run + 1 < bounds.length; run += 2) {
      const from = bounds[run]!;
      const middle = bounds[run + 1]!;
      const to = bounds[run + 2] ?? middle;
      if (to > middle) merge(keys, rows, held, from, middle, to);
      merged.push(to);
    }
    bounds = merged;
  }
  return rows;
}

function isAscending(keys: Float64Array): boolean {
  for (let i = 1; i < keys.length; i++) if (keys[i]! < keys[i - 1]!) return false;
  return true;
}

/** Starts of the ascending runs, and the end; strictly descending runs are turned round in `rows` first. */
function runsOf(keys: Float64Array, rows: Uint32Array): number[] {
  const n = keys.length;
  const bounds = [0];
  let from = 0;
  while (from < n) {
    let to = from + 1;
    if (to < n && keys[to]! < keys[to - 1]!) {
      while (to < n && keys[to]! < keys[to - 1]!) to++;
      rows.subarray(from, to).reverse();
    } else {
      while (to < n && keys[to]! >= keys[to - 1]!) to++;
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
