import { nextOff } from '../log/intervals.js';
import type { Pace } from '../log/pace.js';
import { HOUR, MINUTE, type Milliseconds, SECOND } from '../units.js';

/** Beside shorter cadences than this a shift cannot be told from readings that wobble (quality rule). */
const SHORTEST_CADENCE: Milliseconds = 2 * MINUTE;
/** Intervals that lie this near to the usual one say what it is, as a share of it. */
const NEAR = 0.1;
/** So many intervals must do so, and so large a share of those that are no gaps, for the log to have a beat. */
const LEAST_INTERVALS = 50;
const STEADY_SHARE = 0.9;
/** A reading comes this much off the beat, as a share of the interval, and at least so late, or it is no shift. */
const OFF_SHARE = 0.1;
const OFF: Milliseconds = 10 * SECOND;
/** Before and after a shift so many readings keep the beat. */
const KEPT = 3;
/** Over longer gaps the beat is not known well enough. */
const LONGEST: Milliseconds = 3 * HOUR;

export const PHASE_METHOD =
  `From a cadence of ${SHORTEST_CADENCE / MINUTE} min on, where ${100 * STEADY_SHARE} % of ${LEAST_INTERVALS} intervals or more ` +
  `are within ${100 * NEAR} % of the usual: one that is more than ${100 * OFF_SHARE} % and ${OFF / SECOND} s off a whole number of ` +
  `them, of up to ${LONGEST / HOUR} h, with ${KEPT} steady ones before and after.`;

/**
 * The real time between readings of a stretch: the mean of the intervals near to the cadence. A wait of ten minutes
 * after each reading makes a little more than ten minutes.
 *
 * @param time instants [ms], ascending
 * @returns NaN where the readings keep no beat
 */
export function beatOf(
  time: Float64Array,
  { first, last, cadence }: Pace,
): { beat: Milliseconds; count: number } {
  let sum = 0;
  let near = 0;
  let others = 0; // but gaps
  const within = time.subarray(0, last + 1);
  for (let row = first + 1; row <= last; row++) {
    const before = row;
    row = nextOff(within, before, cadence - NEAR * cadence, cadence + NEAR * cadence);
    sum += time[row - 1]! - time[before - 1]!;
    near += row - before;
    const step = row > last ? 0 : time[row]! - time[row - 1]!;
    if (step > 0 && step <= 1.5 * cadence) others++;
  }
  const isSteady = near >= LEAST_INTERVALS && near >= STEADY_SHARE * (near + others);
  return { beat: isSteady ? sum / near : NaN, count: near };
}

/** A reading that came off the beat, and from which on the beat is another. */
export interface Shift {
  readonly row: number;
  /** How much later the readings come than they did [ms], up to half an interval, negative for earlier. */
  readonly by: Milliseconds;
}

/** The shifts in a stretch of a log. */
export function shiftsOf(time: Float64Array, pace: Pace): Shift[] {
  if (pace.cadence < SHORTEST_CADENCE) return [];
  const { beat } = beatOf(time, pace);
  if (Number.isNaN(beat)) return [];
  const limit = Math.max(OFF_SHARE * beat, OFF);
  const shifts: Shift[] = [];
  const offBeat = (from: number, to: number) => {
    const step = time[to]! - time[from]!;
    return step - Math.round(step / beat) * beat;
  };
  const isSteady = (from: number, to: number) => {
    for (let row = from + 1; row <= to; row++) {
      if (Math.abs(time[row]! - time[row - 1]! - beat) > limit) return false;
    }
    return Math.abs(time[to]! - time[from]! - (to - from) * beat) <= limit;
  };
  const within = time.subarray(0, pace.last - KEPT + 1);
  const nextOffBeat = (from: number) => nextOff(within, from, beat - limit, beat + limit);
  for (let row = nextOffBeat(pace.first + KEPT + 1); row < within.length; row = nextOffBeat(row + 1)) {
    if (time[row]! - time[row - 1]! > LONGEST) continue;
    const by = offBeat(row - 1, row);
    // a second reading off the beat may bring it back
    if (Math.abs(by) <= limit || Math.abs(offBeat(row - 1 - KEPT, row + KEPT)) <= limit) continue;
    if (isSteady(row - 1 - KEPT, row - 1) && isSteady(row, row + KEPT)) shifts.push({ row, by });
  }
  return shifts;
}
