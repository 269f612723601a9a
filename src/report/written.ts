import type { Period } from '../calendar/period.js';
import { formatInstant, formatWallMinute } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { fixed, rounded } from '../figures.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';

// How instants and durations are written: first for programs, then for people.

const HOURS_DECIMALS = 3;

/** RFC 3339, null for an instant that is not there. */
export function stamp(instant: Instant | null, zone: Zone): string | null {
  return instant === null ? null : formatInstant(instant, zone);
}

/** Hours to 3.6 s. */
export function hours(duration: Milliseconds): number {
  return rounded(duration / HOUR, HOURS_DECIMALS);
}

/** When something was in a period: the time of day, or in a period longer than a day its date. */
export function whenIn(instant: Instant, period: Period, zone: Zone): string {
  const text = formatWallMinute(instant, zone);
  return period.end - period.start > 25 * HOUR ? text.slice(5, 10) : text.slice(11);
}

export function inHours(duration: Milliseconds): string {
  return `${fixed(duration / HOUR, 1)} h`;
}

/** A share as a percentage. What is not whole is not rounded up to it: 99.996 % is not 100 %. */
export function percent(share: number, decimals: number): string {
  const scale = 100 * 10 ** decimals;
  if (share >= 1) return '100 %';
  return `${(Math.min(Math.round(share * scale), scale - 1) / 10 ** decimals).toFixed(decimals)} %`;
}
