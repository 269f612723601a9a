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
    const [one, two] = [mine.value, theirs.value];
    for (let day = 0; day < days; day++) {
      const here = first + day * WINDOW - mine.first;
      size[day]! += mySums[here + WINDOW]! - mySums[here]!;
      for (let lag = 0; lag < LAGS; lag++) {
        const there = first + day * WINDOW - (lag - FURTHEST) - theirs.first;
        const begin = Math.max(0, -there);
        const end = Math.min(WINDOW, two.length - there);
        if (begin >= end) continue;
        let sum = 0;
        for (let i = begin; i < end; i++) sum += one[here + i]! * two[there + i]!;
        shared[day * LAGS + lag]! += sum;
        possible[day * LAGS + lag]! += theirSums[there + end]! - theirSums[there + begin]!;
      }
    }
  }
  for (let at = 0; at < possible.length; at++)
    possible[at] = Math.sqrt(possible[at]! * size[Math.floor(at / LAGS)]!);
  let moving = 0;
  for (let day = 0; day < days; day++) if (possible[day * LAGS + FURTHEST]! > 0) moving++;
  if (moving < LEAST_DAYS) return null;
  return { first, days, shared, possible };
}

function sumsOfSquares({ value }: Movement): Float64Array {
  const sums = new Float64Array(value.length + 1);
  for (let step = 0; step < value.length; step++) sums[step + 1] = sums[step]! + value[step]! ** 2;
  return sums;
}
