import type { Zone } from '../calendar/zone.js';
import { type Instant, type Milliseconds, SECOND, type WallTime } from '../units.js';

/** Edges of an hour may be off by so many steps between signs. */
const EDGE = 1.5;

/**
 * Whether a silence is made by the change of the clocks: the second pass of the repeated hour, refused by a
 * database with one row per local time or lost in an export sorted by it; or the skipped hour, in local stamps
 * that were read as those of a zone without change.
 *
 * @param stampZone zone that was applied to stamps without offset, null where they had one
 * @param zone that of the site
 */
export function artefactOf(
  from: Instant,
  until: Instant,
  step: Milliseconds,
  stampZone: Zone | null,
  zone: Zone,
): 'repeated hour' | 'skipped hour' | null {
  if (stampZone === null) return null;
  const near = (a: number, b: number) => Math.abs(a - b) <= EDGE * step;
  const change = stampZone.changeBetween(from, until + SECOND);
  if (change !== null) {
    const back = stampZone.offsetAt(change - SECOND) - stampZone.offsetAt(change);
    if (back > 0 && near(from, change) && near(until, change + back)) return 'repeated hour';
  }
  if (stampZone.name === zone.name) return null;
  const skip = zone.skippedAt((stampZone.wallAt(from) + step) as WallTime);
  return skip !== null && near(stampZone.wallAt(from), skip.from) && near(stampZone.wallAt(until), skip.until)
    ? 'skipped hour'
    : null;
}
