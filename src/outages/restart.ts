import { type Milliseconds, SECOND } from '../units.js';
import { type Beats, phaseTolerance, type Run } from './beats.js';

/** A beat so near to a whole number of cadences since 1970 is made by the clock, not by the time of the start. */
const ON_THE_CLOCK: Milliseconds = 1.5 * SECOND;

/**
 * Whether the logger started anew in the silence between two runs of beats: by its own word, else by the
 * second of the minute at which it beats, which a restart changes. By chance one restart in ten or so comes
 * back at the old second.
 *
 * @returns null where nothing tells: too much jitter, too long a silence for the steadiness of the beats, or a
 *   logger that beats when its clock shows a full minute
 */
export function restartedBetween(before: Run, after: Run, { cadence, jitter }: Beats): boolean | null {
  if (after.restarted !== null) return after.restarted;
  const tolerance = phaseTolerance(cadence, jitter);
  if (tolerance === Infinity) return null;
  const [steady] = [before, after].toSorted((a, b) => b.due - a.due) as [Run, Run];
  if (steady.due < 2) return null;
  const period = (steady.until - steady.from) / (steady.due - 1);
  const silence = after.from - before.until;
  // the period is known to a second over the whole run
  const doubt = ((silence / period) * Math.max(SECOND, jitter)) / (steady.due - 1);
  if (doubt > tolerance) return null;
  const off = Math.abs(silence - Math.round(silence / period) * period);
  if (off > tolerance + doubt) return true;
  const onTheClock = Math.abs(before.until - Math.round(before.until / cadence) * cadence) <= ON_THE_CLOCK;
  return onTheClock ? null : false;
}
