import type { Kelvin } from '../units.js';
import { type DayShape, HOURS } from './civilDays.js';

/** Out of doors the day is warmest about so long after midnight by the sun, give or take (common practice, no source) [h]. */
const WARMEST = 14.5;
const GIVE_OR_TAKE = 1.5;
const DEGREES_PER_HOUR = 15;
/** With fewer days, or a lesser daily wave, the time of its top is chance or not the sun's (project rule). */
const LEAST_DAYS = 14;
const LEAST_WAVE: Kelvin = 1.5;

/** What the time of the warmest part of the day says of the place. */
export interface SolarPlace {
  readonly days: number;
  /** Amplitude of the daily wave. */
  readonly wave: Kelvin;
  /** Hours after midnight UTC. */
  readonly warmest: number;
  /** East positive, and how far it may be off, if it is the sun that makes the wave [degrees]. */
  readonly longitude: number;
  readonly tolerance: number;
}

/**
 * From the phase of the first harmonic of the mean day; null with too few days, or hardly a wave.
 *
 * @param days shapes of temperature by days and hours of UTC
 */
export function solarPlace(days: readonly DayShape[]): SolarPlace | null {
  if (days.length < LEAST_DAYS) return null;
  let [cosine, sine] = [0, 0];
  for (let hour = 0; hour < HOURS; hour++) {
    const known = days.map(({ deviation }) => deviation[hour]!).filter((each) => !Number.isNaN(each));
    if (known.length === 0) return null;
    const value = known.reduce((sum, each) => sum + each, 0) / known.length;
    const angle = (2 * Math.PI * (hour + 0.5)) / HOURS;
    cosine += (2 / HOURS) * value * Math.cos(angle);
    sine += (2 / HOURS) * value * Math.sin(angle);
  }
  const wave = Math.hypot(cosine, sine);
  if (wave < LEAST_WAVE) return null;
  const warmest = ((Math.atan2(sine, cosine) / (2 * Math.PI)) * HOURS + HOURS) % HOURS;
  const longitude = ((DEGREES_PER_HOUR * (WARMEST - warmest) + 540) % 360) - 180;
  return { days: days.length, wave, warmest, longitude, tolerance: DEGREES_PER_HOUR * GIVE_OR_TAKE };
}
