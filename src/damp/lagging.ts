import { nextGood } from '../log/bridging.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';

/** Something that follows a goal with a lag, at every reading of the goal. */
export interface Follower {
  /** In the unit of the goal, NaN where that is. */
  readonly values: Float64Array;
  /** Rows at which it started anew: those before the first of them go back to the start of the log. */
  readonly starts: Uint32Array;
  /** Per start, that of the log among them, the instant from which it no longer shows. */
  readonly settledFrom: readonly Instant[];
}

// Project rules; no published model says what to do with missing readings.
/** A hole up to this long, or half a time constant, is crossed on the straight line. */
const CARRIED: Milliseconds = 2 * HOUR;
const CARRIED_CONSTANTS = 0.5;
/** After this many time constants 5 % of a wrong start are left. */
const SETTLING_CONSTANTS = 3;

/** The longest hole that a follower is carried over [ms]. */
export function longestCarried(timeConstant: Milliseconds, bridge: Milliseconds): Milliseconds {
  return Math.max(CARRIED, CARRIED_CONSTANTS * timeConstant, bridge);
}

/** How long a follower shows how it was started [ms]. */
export function settlingOf(timeConstant: Milliseconds): Milliseconds {
  return Math.ceil(SETTLING_CONSTANTS * timeConstant);
}

/**
 * The exact solution of dx/dt = (goal − x) / τ for a goal that runs straight from reading to reading, so that
 * the step does not matter. It starts at the goal and has settled 3 τ later. Over a hole of at most 2 h, τ/2 or
 * the bridging limit, whichever is longest, it is carried on the straight line; after a longer one it starts anew.
 *
 * @param time instants, ascending
 * @param goal a value per instant, NaN where missing
 * @param timeConstant τ [ms], above 0 and finite
 * @param bridge bridging limit [ms]
 */
export function lagging(
  time: Float64Array,
  goal: Float64Array,
  timeConstant: Milliseconds,
  bridge: Milliseconds,
): Follower {
  const carried = longestCarried(timeConstant, bridge);
  const settling = settlingOf(timeConstant);
  const values = new Float64Array(goal.length);
  const starts: number[] = [];
  const settledFrom: Instant[] = [];
  let previous = -1;
  while (previous < goal.length) {
    const i = nextGood(goal, previous + 1);
    values.fill(Number.NaN, previous + 1, i);
    if (i === goal.length) break;
    const elapsed = previous < 0 ? Number.POSITIVE_INFINITY : time[i]! - time[previous]!;
    if (elapsed <= carried) {
      const before = goal[previous]!;
      const behind = ((goal[i]! - before) / elapsed) * timeConstant;
      // As `valueAt` of relaxation.ts has it.
      values[i] =
        values[previous]! +
        (goal[i]! - before) +
        (values[previous]! - before + behind) * Math.expm1(-elapsed / timeConstant);
    } else {
      values[i] = goal[i]!;
      if (settledFrom.length > 0) starts.push(i);
      settledFrom.push(time[i]! + settling);
    }
    previous = goOn(time, goal, values, timeConstant, carried, i);
  }
  return { values, starts: Uint32Array.from(starts), settledFrom };
}

/**
 * Goes on from row `from` as long as the steps are of one length. Nearly all are one cadence long, and what dies
 * away in one is worked out once. Small and without calls, so that the machine code for it is there at once.
 *
 * @returns the row that it came to
 */
function goOn(
  time: Float64Array,
  goal: Float64Array,
  values: Float64Array,
  timeConstant: Milliseconds,
  carried: Milliseconds,
  from: number,
): number {
  const step = from + 1 < time.length ? time[from + 1]! - time[from]! : Number.POSITIVE_INFINITY;
  if (!(step <= carried)) return from;
  const decay = Math.expm1(-step / timeConstant);
  const lag = timeConstant / step;
  let i = from + 1;
  for (; i < time.length; i++) {
    if (time[i]! - time[i - 1]! !== step || Number.isNaN(goal[i]!)) break;
    const before = goal[i - 1]!;
    const rise = goal[i]! - before;
    values[i] = values[i - 1]! + rise + (values[i - 1]! - before + rise * lag) * decay;
  }
  return i - 1;
}
