import type { Milliseconds } from '../units.js';
import type { Points } from './points.js';
import { medianOf } from './robust.js';

/** A way in which values may have been written otherwise. */
export interface Rewriting {
  /** What becomes of a value. */
  readonly forward: (value: number) => number;
  readonly backward: (value: number) => number;
  /** By this a difference grows. */
  readonly factor: number;
  /** A change of less than this is none [unit of the values]. */
  readonly least: number;
  /** How far a reading may be from what was expected of it [unit of the values before]. */
  readonly tolerance: number;
  /** How far the other quantity may move meanwhile [its unit]. */
  readonly partnerTolerance: number;
}

/** Points with values written otherwise than most, from the first to the last. */
export interface Foreign {
  readonly first: number;
  readonly last: number;
  /** Whether its values were rewritten forward, as seen from the others. */
  readonly isForward: boolean;
}

/** So many values on either side are looked at, and there must be so many. */
const WINDOW = 12;
const LEAST = 4;
/** The change must happen within so many cadences, or it may be the weather's. */
const REACH = 4;
/** Neighbouring values differ by the factor more, give or take so much again. */
const UNLIKE = 3;

/**
 * The stretches of a log that are written otherwise than the rest of it: level and unrest change as the
 * rewriting says, from one reading to the next, and the other quantity does not. What most readings are is
 * taken for the log's own way.
 */
export function foreignIn(points: Points, cadence: Milliseconds, rewriting: Rewriting): Foreign[] {
  const { count } = points;
  const stretches = [{ first: 0, last: count - 1, state: 0 }];
  for (let at = 1; at < count; at++) {
    const change = changeAt(points, at, cadence, rewriting);
    if (change === 0) continue;
    const open = stretches.at(-1)!;
    // what was rewritten once is not rewritten again
    const before = stretches.at(-2)?.state;
    if (before !== undefined && before !== open.state + change) continue;
    open.last = at - 1;
    stretches.push({ first: at, last: count - 1, state: open.state + change });
  }
  if (stretches.length === 1) return [];
  const share = (state: number) =>
    stretches.reduce((sum, each) => (each.state === state ? sum + each.last - each.first + 1 : sum), 0);
  const other = stretches[1]!.state;
  const own = share(0) >= share(other) ? 0 : other;
  return stretches
    .filter(({ state }) => state !== own)
    .map(({ first, last, state }) => ({ first, last, isForward: state > own }));
}

/** 1 where values are rewritten forward from this point on, -1 backward, else 0. */
function changeAt(points: Points, at: number, cadence: Milliseconds, rewriting: Rewriting): -1 | 0 | 1 {
  const { time, value } = points;
  const { forward, backward, factor, least, tolerance } = rewriting;
  const before = value[at - 1]!;
  const after = value[at]!;
  if (Math.abs(after - before) < least || time[at]! - time[at - 1]! > REACH * cadence) return 0;
  if (
    Math.abs(backward(after) - before) <= tolerance &&
    isBorne(points, at, rewriting, backward, 1 / factor, tolerance)
  )
    return 1;
  if (
    Math.abs(forward(after) - before) <= tolerance * factor &&
    isBorne(points, at, rewriting, forward, factor, tolerance * factor)
  )
    return -1;
  return 0;
}

/** Whether the readings on both sides say the same once those after are written as those before. */
function isBorne(
  { value, partner, count }: Points,
  at: number,
  { partnerTolerance }: Rewriting,
  undo: (value: number) => number,
  shrinks: number,
  tolerance: number,
): boolean {
  const from = Math.max(0, at - WINDOW);
  const to = Math.min(count, at + WINDOW);
  if (at - from < LEAST || to - at < LEAST) return false;
  const level = medianOf(value.subarray(from, at));
  if (Math.abs(medianOf(value.subarray(at, to).map(undo)) - level) > 2 * tolerance) return false;
  const partners = medianOf(partner.subarray(at, to)) - medianOf(partner.subarray(from, at));
  if (Math.abs(partners) > partnerTolerance) return false;
  const unrestBefore = unrest(value.subarray(from, at));
  const unrestAfter = unrest(value.subarray(at, to)) * shrinks;
  // a value that stands still says nothing of its unit
  if (unrestAfter === 0) return unrestBefore < tolerance / WINDOW;
  return unrestBefore === 0 || (unrestAfter < UNLIKE * unrestBefore && unrestBefore < UNLIKE * unrestAfter);
}

/** Mean step. */
function unrest(values: Float64Array): number {
  let sum = 0;
  for (let i = 1; i < values.length; i++) sum += Math.abs(values[i]! - values[i - 1]!);
  return sum / (values.length - 1);
}
