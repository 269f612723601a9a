import type { Log } from '../log/log.js';
import { DAY } from '../units.js';
import { type Movement, movementOf, STEP } from './movement.js';
import { QUANTITIES } from './range.js';

/** Steps of a day: likeness is looked at day by day. */
export const WINDOW = DAY / STEP;
/** Greatest lag that is looked at: who is a day off has other worries [steps]. */
export const FURTHEST = DAY / STEP;
export const LAGS = 2 * FURTHEST + 1;
/** Days on which both must move: fewer, and chance finds a line somewhere. */
export const LEAST_DAYS = 14;

/** By day and lag: how alike two loggers move. */
export interface Likeness {
  /** The step at which the first day begins. */
  readonly first: number;
  readonly days: number;
  /** Sum of the products of the two movements, lags of a day side by side. */
  readonly shared: Float64Array;
  /** What that would be if they were the same. */
  readonly possible: Float64Array;
}

/** Null where the two have too few days in common on which both move. */
export function likenessOf(own: Log, other: Log): Likeness | null {
  const movements = QUANTITIES.map((quantity) => ({
    mine: movementOf(own, quantity),
    theirs: movementOf(other, quantity),
  }));
  const { mine, theirs } = movements[0]!;
  const first = Math.max(mine.first, theirs.first);
  const common = Math.min(mine.first + mine.value.length, theirs.first + theirs.value.length) - first;
  const days = Math.floor(common / WINDOW);
  if (days < LEAST_DAYS) return null;
  const shared = new Float64Array(days * LAGS);
  const possible = new Float64Array(days * LAGS);
  const size = new Float64Array(days);
  for (const { mine, theirs } of movements) {
    const mySums = sumsOfSquares(mine);
    const theirSums = sumsOfSquares(theirs);
    for (let day = 0; day < days; day++) {
      const here = first + day * WINDOW - mine.first;
      size[day]! += mySums[here + WINDOW]! - mySums[here]!;
      const there = first + day * WINDOW - theirs.first;
      const row = day * LAGS;
      addProducts(shared.subarray(row, row + LAGS), mine.value, here, theirs.value, there);
      addSizes(possible.subarray(row, row + LAGS), theirSums, there);
    }
  }
  let moving = 0;
  for (let day = 0; day < days; day++) {
    const row = day * LAGS;
    for (let at = row; at < row + LAGS; at++) possible[at] = Math.sqrt(possible[at]! * size[day]!);
    if (possible[row + FURTHEST]! > 0) moving++;
  }
  if (moving < LEAST_DAYS) return null;
  return { first, days, shared, possible };
}

/** By lag: the sum of the products of a day of one with what the other has so much earlier. */
function addProducts(
  sums: Float64Array,
  one: Float64Array,
  here: number,
  two: Float64Array,
  there: number,
): void {
  // Four at a time do not wait for each other's sums, where all of the day is there for each.
  let next = 0;
  for (; next + 4 <= LAGS; next += 4) {
    const from = there - (next - FURTHEST);
    if (from < 3 || from + WINDOW > two.length) break;
    let [a, b, c, d] = [0, 0, 0, 0];
    for (let i = 0; i < WINDOW; i++) {
      const value = one[here + i]!;
      a += value * two[from + i]!;
      b += value * two[from + i - 1]!;
      c += value * two[from + i - 2]!;
      d += value * two[from + i - 3]!;
    }
    sums[next]! += a;
    sums[next + 1]! += b;
    sums[next + 2]! += c;
    sums[next + 3]! += d;
  }
  for (let lag = next; lag < LAGS; lag++) {
    const from = there - (lag - FURTHEST);
    const begin = Math.max(0, -from);
    const end = Math.min(WINDOW, two.length - from);
    let sum = 0;
    for (let i = begin; i < end; i++) sum += one[here + i]! * two[from + i]!;
    sums[lag]! += sum;
  }
}

/** By lag: the sum of the squares of what is multiplied there of the other. */
function addSizes(sizes: Float64Array, sums: Float64Array, there: number): void {
  for (let lag = 0; lag < LAGS; lag++) {
    const from = Math.max(0, there - (lag - FURTHEST));
    const end = Math.min(sums.length - 1, there - (lag - FURTHEST) + WINDOW);
    if (from < end) sizes[lag]! += sums[end]! - sums[from]!;
  }
}

function sumsOfSquares({ value }: Movement): Float64Array {
  const sums = new Float64Array(value.length + 1);
  for (let step = 0; step < value.length; step++) sums[step + 1] = sums[step]! + value[step]! ** 2;
  return sums;
}
