import { type DayShape, HOURS } from './civilDays.js';

/** With fewer days the commonest hour is chance (project rule). */
const LEAST_DAYS = 14;
/** A day that moves by less than this has no rise to speak of [K]. */
const LEAST_RISE = 0.3;

/** The hour of the day in which the value rises most. */
export interface SteepestRise {
  readonly days: number;
  /** The commonest of them. */
  readonly hour: number;
  /** Share of the days on which it is this one. */
  readonly share: number;
}

/** Null with too few days that rise at all. */
export function steepestRise(days: readonly DayShape[]): SteepestRise | null {
  const counts = new Uint32Array(HOURS);
  let total = 0;
  for (const { deviation } of days) {
    let best = -1;
    let most = LEAST_RISE;
    for (let hour = 1; hour < HOURS; hour++) {
      const rise = deviation[hour]! - deviation[hour - 1]!;
      if (rise > most) [best, most] = [hour, rise];
    }
    if (best < 0) continue;
    counts[best]!++;
    total++;
  }
  if (total < LEAST_DAYS) return null;
  const hour = counts.indexOf(Math.max(...counts));
  return { days: total, hour, share: counts[hour]! / total };
}
