import type { Zone } from '../calendar/zone.js';
import type { Instant } from '../units.js';
import type { Arrivals } from './arrivals.js';
import type { Beats } from './beats.js';
import type { Watch } from './silences.js';

/** What is known of one logger. */
export interface Device {
  readonly logger: string;
  /** Null without a heartbeat log. */
  readonly beats: Beats | null;
  /** Null without readings. */
  readonly arrivals: Arrivals | null;
  /** The last instant up to which the exports that hold its beats, or its readings, go on for any logger. */
  readonly beatsReach: Instant | null;
  readonly readingsReach: Instant | null;
  /** Zone applied to stamps without offset, null where they had one. */
  readonly beatsZone: Zone | null;
  readonly readingsZone: Zone | null;
}

/** The window that was asked for; where it is open, to the first or last sign of any logger. */
export function watchOver(
  devices: readonly Device[],
  window: { readonly from: Instant | null; readonly until: Instant | null },
): Watch | null {
  let first = Infinity;
  let last = -Infinity;
  for (const { beats, arrivals } of devices) {
    for (const [from, until] of [
      [beats?.runs[0]?.from, beats?.runs.at(-1)?.until],
      [arrivals?.time[0], arrivals?.time.at(-1)],
    ]) {
      if (from !== undefined) first = Math.min(first, from);
      if (until !== undefined) last = Math.max(last, until);
    }
  }
  const from = window.from ?? first;
  // the last sign itself belongs to the time looked at
  const until = window.until ?? last + 1;
  if (!(until > from) || !Number.isFinite(until - from)) return null;
  return { from, until, isAsked: window.from !== null || window.until !== null };
}
