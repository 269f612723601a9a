import type { Hectopascal } from '../units.js';

// The station pressures of the standard atmosphere between 11 km and −5 km, rounded outwards.
export const LOWEST_PRESSURE: Hectopascal = 200;
export const HIGHEST_PRESSURE: Hectopascal = 1800;

/**
 * How much more vapour saturated air holds than the space over pure water would (a ratio, 1.0047 at sea level).
 *
 * Pressure 200 to 1800 hPa, else NaN. Without a term in temperature: within 0.0012 of Buck's (1981) table at
 * −40 to 50 °C and 500 to 1000 hPa.
 * @see WMO-No. 8, Annex 4.B, as three public codes cite it.
 */
export function enhancementFactor(pressure: Hectopascal): number {
  if (!(pressure >= LOWEST_PRESSURE && pressure <= HIGHEST_PRESSURE)) return Number.NaN;
  return 1.0016 + 3.15e-6 * pressure - 0.074 / pressure;
}
