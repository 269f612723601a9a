import { nextGood } from '../log/bridging.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';

/** Something that follows a goal with a lag, at every reading of the goal. */
export interface Follower {
  /** In the unit of the goal, NaN where that is. */
  readonly values: Float64Array;
  /** Per reading the instant from which it no longer shows how it was started; never where NaN. */
  readonly settledFrom: Float64Array;
}

// Project rules; no published model says what to do with missing readings.
/** A hole up to this long, or half a time constant, is crossed on the straight line. */
const CARRIED: Milliseconds = 2 * HOUR;
const CARRIED_CONSTANTS = 0.5;
/** After this many time constants 5 % of a wrong start are left. */
const SETTLING_CONSTANTS = 3;

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
  const carried = Math.max(CARRIED, CARRIED_CONSTANTS * timeConstant, bridge);
  const settling = settlingOf(timeConstant);
  const values = new Float64Array(goal.length).fill(NaN);
  const settledFrom = new Float64Array(goal.length).fill(Number.POSITIVE_INFINITY);
  // Nearly all steps are one cadence long: what dies away in one is worked out when the step changes.
  let step: Milliseconds = NaN;
  let decay = NaN;
  let previous = -1;
  let settled: Instant = NaN;
  for (let i = nextGood(goal, 0); i < goal.length; i = nextGood(goal, i + 1)) {
    const elapsed = previous < 0 ? Number.POSITIVE_INFINITY : time[i]! - time[previous]!;
    if (elapsed <= carried) {
      if (elapsed !== step) {
        step = elapsed;
        decay = Math.expm1(-step / timeConstant);
      }
      const before = goal[previous]!;
      const behind = ((goal[i]! - before) / elapsed) * timeConstant;
      // As `valueAt` of relaxation.ts has it.
      values[i] = values[previous]! + (goal[i]! - before) + (values[previous]! - before + behind) * decay;
    } else {
      values[i] = goal[i]!;
      settled = time[i]! + settling;
    }
    settledFrom[i] = settled;
    previous = i;
  }
  return { values, settledFrom };
}
