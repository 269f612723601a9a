import type { Zone } from '../calendar/zone.js';
import { HOUR, type Instant, MINUTE, type Milliseconds } from '../units.js';

/** Clocks are changed by half an hour to two hours; holes of other lengths are not looked at [ms]. */
const SHORTEST: Milliseconds = 30 * MINUTE;
const LONGEST: Milliseconds = 2 * HOUR;
/** The readings at the ends of the hole may lie this many cadences from where the clocks change: they wobble. */
const EDGE = 1.1;
/** With fewer readings than this in the hour, that just they are missing is chance. */
export const LEAST_MISSED = 2;

/**
 * The hour at a change of the clocks that a hole in a log is just as long as: `skipped`, at the beginning of
 * daylight saving time; at its end the `first` or the `second` pass of the hour that came twice.
 */
export interface ChangedHour {
  readonly kind: 'skipped' | 'first' | 'second';
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
  const change = zone.changeBetween(hole.from - EDGE * cadence, hole.until + EDGE * cadence);
  if (change === null) return null;
  const shift = zone.offsetAt(change) - zone.offsetAt(change - 1);
  const size = Math.abs(shift);
  if (size < LEAST_MISSED * cadence) return null;
  const isFrom = (start: Instant) =>
    hole.from < start &&
    hole.from >= start - EDGE * cadence &&
    hole.until >= start + size &&
    hole.until <= start + size + EDGE * cadence;
  if (isFrom(change)) return { kind: shift > 0 ? 'skipped' : 'second', change };
  return shift < 0 && isFrom(change - size) ? { kind: 'first', change } : null;
}
