import type { Zone } from '../calendar/zone.js';
import { HOUR, type Instant, MINUTE, type Milliseconds, type WallTime } from '../units.js';

/** Clocks are changed by half an hour to two hours; holes of other lengths are not looked at [ms]. */
const SHORTEST: Milliseconds = 30 * MINUTE;
const LONGEST: Milliseconds = 2 * HOUR;
/** The readings at the ends of the hole may lie this many cadences from where the clocks change: they wobble. */
const EDGE = 1.1;
/** With fewer readings than this in the hour, that just they are missing is chance. */
export const LEAST_MISSED = 2;

/**
 * The hour at a change of the clocks that a hole in a log is just as long as: `skipped`, at the beginning of
 * daylight saving time; `mistaken`, the hour in UTC that reads like the skipped one; at the end of that time the
 * `first` or the `second` pass of the hour that came twice.
 */
export interface ChangedHour {
  readonly kind: 'skipped' | 'mistaken' | 'first' | 'second';
  /** When the clocks were changed. */
  readonly change: Instant;
}

/**
 * @param hole from the reading before it to the one after it
 * @returns null where the hole is none of these hours
 */
export function changedHourIn(
  hole: { readonly from: Instant; readonly until: Instant },
  cadence: Milliseconds,
  zone: Zone,
): ChangedHour | null {
  const length = hole.until - hole.from;
  if (length < SHORTEST || length > LONGEST + 2 * EDGE * cadence) return null;
  // not by the length of the hour: a cadence of half an hour and some seconds has two readings in it
  if (Math.round(length / cadence) - 1 < LEAST_MISSED) return null;
  const isHour = (start: Instant, size: Milliseconds) =>
    hole.from < start &&
    hole.from >= start - EDGE * cadence &&
    hole.until >= start + size &&
    hole.until <= start + size + EDGE * cadence;
  const change = zone.changeBetween(hole.from - EDGE * cadence, hole.until + EDGE * cadence);
  if (change !== null) {
    const shift = zone.offsetAt(change) - zone.offsetAt(change - 1);
    if (isHour(change, Math.abs(shift))) return { kind: shift > 0 ? 'skipped' : 'second', change };
    if (shift < 0 && isHour(change + shift, -shift)) return { kind: 'first', change };
  }
  // stamps in UTC that a table took for local time
  const skip = zone.skippedAt((hole.from + length / 2) as WallTime);
  if (skip === null || !isHour(skip.from, skip.until - skip.from)) return null;
  return { kind: 'mistaken', change: skip.at };
}
