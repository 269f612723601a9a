import { type Milliseconds, SECOND } from '../units.js';
import { inferCadence } from './cadence.js';
import { nextOff } from './intervals.js';

/** Readings [first, last] of a log that came at one cadence; the last is the first of the stretch after it. */
export interface Pace {
  readonly first: number;
  readonly last: number;
  readonly cadence: Milliseconds;
}

/** Intervals are alike within this share of themselves, and within this time: loggers and networks wobble. */
const ALIKE_SHARE = 0.1;
const ALIKE: Milliseconds = 2 * SECOND;
/**
 * So many intervals alike with none of another length but for lost readings, lasting as many of the longer cadence, make a pace: fewer are lost readings
 * where they are long, and a burst where they are short (project rule).
 */
export const STEADY = 12;

function isAlike(a: Milliseconds, b: Milliseconds): boolean {
  return Math.abs(a - b) <= strayOf(b);
}

const strayOf = (interval: Milliseconds): Milliseconds => Math.max(ALIKE_SHARE * interval, ALIKE);

/** Whether an interval is a cadence, or several of them: readings were lost in it. */
function isWhole(step: Milliseconds, cadence: Milliseconds): boolean {
  const whole = Math.round(step / cadence) * cadence;
  return whole > 0 && isAlike(step, whole);
}

/** Several checks ask for them. */
const known = new WeakMap<
  Float64Array,
  { readonly cadence: Milliseconds; readonly paces: readonly Pace[] }
>();

/**
 * The stretches of a log by the cadence that readings came at. Most logs are one.
 *
 * @param time instants [ms], ascending
 * @param cadence of the log as a whole [ms]
 * @returns in order, each beginning at the reading where the one before it ends; one for a log without readings
 */
export function pacesOf(time: Float64Array, cadence: Milliseconds): readonly Pace[] {
  const before = known.get(time);
  if (before?.cadence === cadence) return before.paces;
  const paces = lookedFor(time, cadence);
  known.set(time, { cadence, paces });
  return paces;
}

function lookedFor(time: Float64Array, cadence: Milliseconds): Pace[] {
  const n = time.length;
  const starts: { first: number; cadence: Milliseconds }[] = [{ first: 0, cadence }];
  let current = cadence;
  let usual = 0; // the last row that ends an interval of the current cadence
  let alike = Number.NaN; // what the intervals of the run are alike to
  let seen = 0; // how many of them
  let from = 0; // the row at which the run begins
  for (let row = 1; row < n; row++) {
    const stray = strayOf(current);
    // readings of one instant have no interval
    const next = nextOff(time, row, Math.max(current - stray, Number.MIN_VALUE), current + stray);
    if (next > row) {
      usual = next - 1;
      alike = Number.NaN;
      row = next;
      if (row === n) break;
    }
    const step = time[row]! - time[row - 1]!;
    if (step <= 0) continue;
    if (Number.isNaN(alike) || !isWhole(step, alike)) {
      alike = step;
      seen = 0;
      from = row - 1;
    }
    if (isAlike(step, alike)) seen++;
    const long = STEADY * Math.max(current, alike);
    if (seen < STEADY || time[row]! - time[from]! < long - ALIKE) continue;
    const pace = inferCadence(time.subarray(from, row + 1)) ?? alike;
    // readings of the new cadence may be missing in front of the run
    const first = firstOf(time, usual, from, pace);
    if (first === 0) starts.length = 0;
    starts.push({ first, cadence: isAlike(pace, cadence) ? cadence : pace });
    current = pace;
    usual = row;
    alike = Number.NaN;
  }
  return starts.map((start, i) => ({ ...start, last: starts[i + 1]?.first ?? Math.max(0, n - 1) }));
}

/** The first row from `usual` on from which all steps up to `from` are whole multiples of a cadence. */
function firstOf(time: Float64Array, usual: number, from: number, pace: Milliseconds): number {
  let first = from;
  while (first > usual) {
    const step = time[first]! - time[first - 1]!;
    if (step > 0 && !isWhole(step, pace)) break;
    first--;
  }
  return first;
}
