import type { Period } from '../calendar/period.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import { turningPoint, valueAt } from './relaxation.js';

/**
 * Margins nearer to zero than this are zero, so that rounding does not decide whether saturated air wets;
 * nor does it decide which of two equal margins was the first.
 */
export const ROUNDING: Kelvin = 1e-9;

/**
 * The smallest margin met so far in each period, and when first; NaN where none. Fed in order of time.
 * A period's end counts as part of it, so that a margin that falls towards midnight is seen whole.
 */
export interface SmallestMargins {
  readonly periods: readonly Period[];
  /** When each of them starts and ends. */
  readonly starts: Float64Array;
  readonly ends: Float64Array;
  readonly min: Float64Array;
  readonly minTime: Float64Array;
  /** The first period that may still gain a margin. */
  next: number;
}

/** @param periods in order of time, none overlapping another */
export function smallestMargins(periods: readonly Period[]): SmallestMargins {
  return {
    periods,
    starts: Float64Array.from(periods, ({ start }) => start),
    ends: Float64Array.from(periods, ({ end }) => end),
    min: new Float64Array(periods.length).fill(Number.NaN),
    minTime: new Float64Array(periods.length).fill(Number.NaN),
    next: 0,
  };
}

/**
 * Notes the margins between `settled` and `end` that may be the smallest of a period: ends and turning point.
 *
 * @param start, value, slope, bend, timeConstant the margin's course from `start` on, as in `valueAt`
 */
export function noteBetween(
  margin: SmallestMargins,
  start: Instant,
  settled: Instant,
  end: Instant,
  value: Kelvin,
  slope: number,
  bend: number,
  timeConstant: Milliseconds,
): void {
  const { periods } = margin;
  while (margin.next < periods.length && periods[margin.next]!.end <= settled) margin.next++;
  for (let p = margin.next; p < periods.length && periods[p]!.start < end; p++) {
    const lowest = bend > 0 ? start + turningPoint(slope, bend, timeConstant) : Number.NaN;
    const from = Math.max(settled, periods[p]!.start);
    const until = Math.min(end, periods[p]!.end);
    noteIn(margin, p, from, valueAt(from - start, value, slope, bend, timeConstant));
    if (lowest > from && lowest < until) {
      noteIn(margin, p, Math.round(lowest), valueAt(lowest - start, value, slope, bend, timeConstant));
    }
    noteIn(margin, p, until, valueAt(until - start, value, slope, bend, timeConstant));
  }
}

/** Notes the margin at one reading. */
export function noteAt(margin: SmallestMargins, at: Instant, value: Kelvin): void {
  const { periods } = margin;
  while (margin.next < periods.length && periods[margin.next]!.end <= at) margin.next++;
  const p = margin.next;
  if (p < periods.length && periods[p]!.start <= at) noteIn(margin, p, at, value);
}

function noteIn({ min, minTime }: SmallestMargins, p: number, at: Instant, value: Kelvin): void {
  // Written so that the first value, compared with NaN, is taken.
  if (value > min[p]! - ROUNDING) return;
  min[p] = Math.abs(value) < ROUNDING ? 0 : value;
  minTime[p] = at;
}
