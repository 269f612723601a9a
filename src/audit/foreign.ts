import type { Milliseconds } from '../units.js';
import { type Points, partnerAt, timeAt, valueAt } from './points.js';
import { medianOf } from './robust.js';
import { nextStep } from './steps.js';

/** A way in which values may have been written otherwise. */
export interface Rewriting {
  /** What becomes of a value. */
  readonly forward: (value: number) => number;
  readonly backward: (value: number) => number;
  /** By this a difference grows. */
  readonly factor: number;
  /** A change of less than this is none [unit of the values]. */
  readonly least: number;
  /** No value that was rewritten forward is greater than this. */
  readonly most: number;
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

/** The level and the other quantity are those of so many values on either side, so that a spike of two does not count; with more, the weather changes. */
const LEVEL = 5;
/** Unrest shows only in more; what is whole degrees stands still for long. */
const WINDOW = 48;
/** The change must happen within so many cadences, or it may be the weather's. */
const REACH = 4;
/** Neighbouring values differ by the factor more, give or take so much again. */
const UNLIKE = 3;
/** Beside one that stands still, readings that move by less than this share of the tolerance each time. */
const STILL = 1 / 12;
/** So many times the tolerance off, values may still have been rewritten: a stretch must not go on beyond that. */
const DOUBT = 4;
/** Share of the values of a stretch that must be what they can be if they were rewritten. */
const MOSTLY = 0.9;

/** From this point on values are written forward or backward; if not for sure, all that is known ends here. */
interface Change {
  readonly at: number;
  readonly isForward: boolean;
  readonly isSure: boolean;
}

interface Stretch extends Foreign {
  /** Whether it begins or ends with a change that is sure. */
  readonly isSure: boolean;
  /** Whether its ends say the same. */
  readonly isClear: boolean;
}

/**
 * The stretches of a log that are written otherwise than the rest of it: level and unrest change as the
 * rewriting says, from one reading to the next, and the other quantity does not. Each goes from one change to the
 * opposite one, or to an end of the log. What most readings are is taken for the log's own way.
 */
export function foreignIn(points: Points, cadence: Milliseconds, rewriting: Rewriting): Foreign[] {
  const changes = changesIn(points, cadence, rewriting);
  if (!changes.some(({ isSure }) => isSure)) return [];
  const stretches = stretchesOf(changes, points.count).filter((stretch) =>
    isPossible(points, stretch, rewriting),
  );
  const share = (isForward: boolean) =>
    stretches.reduce(
      (sum, each) => (each.isForward === isForward ? sum + each.last - each.first + 1 : sum),
      0,
    );
  const own = share(true) > share(false);
  return stretches.filter(({ isForward, isSure, isClear }) => isSure && isClear && isForward !== own);
}

/** What lies between changes: as the one before says, unless only the one after is sure. */
function stretchesOf(changes: readonly Change[], count: number): Stretch[] {
  const ends = [undefined, ...changes];
  return ends.map((before, i) => {
    const after = changes[i];
    const isForward =
      before === undefined || (after?.isSure === true && !before.isSure)
        ? !after!.isForward
        : before.isForward;
    return {
      first: before?.at ?? 0,
      last: (after?.at ?? count) - 1,
      isForward,
      isSure: before?.isSure === true || after?.isSure === true,
      isClear: before === undefined || after === undefined || before.isForward !== after.isForward,
    };
  });
}

/** Whether most values of a stretch can be what they are said to be. */
function isPossible(points: Points, { first, last, isForward }: Stretch, { most }: Rewriting): boolean {
  if (most === Infinity) return true;
  let small = 0;
  for (let at = first; at <= last; at++) if (valueAt(points, at) <= most) small++;
  const share = small / (last - first + 1);
  return (isForward ? share : 1 - share) >= MOSTLY;
}

function changesIn(points: Points, cadence: Milliseconds, rewriting: Rewriting): Change[] {
  const { forward, backward, factor, least, most, tolerance } = rewriting;
  const changes: Change[] = [];
  const end = points.count - LEVEL;
  for (let at = nextStep(points, LEVEL, least); at <= end; at = nextStep(points, at + 1, least)) {
    const before = valueAt(points, at - 1);
    const after = valueAt(points, at);
    for (const isForward of [true, false]) {
      if ((isForward ? after : before) > most) continue;
      const undo = isForward ? backward : forward;
      const grows = isForward ? 1 : factor;
      const off = offBy(points, at, undo);
      if (off > DOUBT * tolerance * grows) continue;
      const isSure =
        off <= tolerance * grows && isBorne(points, at, cadence, rewriting, undo, tolerance * grows);
      changes.push({ at, isForward, isSure });
      break;
    }
  }
  return changes;
}

/**
 * How far readings after are from those before, once they are written as those before: the nearest and the level.
 * Infinity where they are not much nearer then than as they stand.
 */
function offBy(points: Points, at: number, undo: (value: number) => number): number {
  const here = valueAt(points, at);
  const last = valueAt(points, at - 1);
  const off = Math.abs(undo(here) - last);
  if (off > Math.abs(here - last) / 2) return Infinity;
  const before = medianOf(between(points, valueAt, at - LEVEL, at));
  const after = medianOf(between(points, valueAt, at, at + LEVEL));
  const level = Math.abs(undo(after) - before);
  return level > Math.abs(after - before) / 2 ? Infinity : Math.max(off, level / 2);
}

/** What stands at the points from one to before another. */
function between(points: Points, of: typeof valueAt, from: number, to: number): Float64Array {
  return new Float64Array(to - from).map((_, i) => of(points, from + i));
}

/** Whether the other quantity stays, and the unrest changes as the rewriting says. */
function isBorne(
  points: Points,
  at: number,
  cadence: Milliseconds,
  { partnerTolerance }: Rewriting,
  undo: (value: number) => number,
  tolerance: number,
): boolean {
  if (timeAt(points, at) - timeAt(points, at - 1) > REACH * cadence) return false;
  const levelOf = (from: number) => medianOf(between(points, partnerAt, from, from + LEVEL));
  const partners = levelOf(at) - levelOf(at - LEVEL);
  if (Math.abs(partners) > partnerTolerance) return false;
  const unrestBefore = unrest(between(points, valueAt, Math.max(0, at - WINDOW), at));
  const unrestAfter = unrest(between(points, valueAt, at, Math.min(points.count, at + WINDOW)).map(undo));
  // a value that stands still says nothing of its unit
  if (unrestAfter === 0 || unrestBefore === 0) return Math.max(unrestBefore, unrestAfter) < tolerance * STILL;
  return unrestAfter < UNLIKE * unrestBefore && unrestBefore < UNLIKE * unrestAfter;
}

/** Mean step. */
function unrest(values: Float64Array): number {
  let sum = 0;
  for (let i = 1; i < values.length; i++) sum += Math.abs(values[i]! - values[i - 1]!);
  return sum / (values.length - 1);
}
