import type { Hectopascal, Metre } from '../units.js';

const SEA_LEVEL: Hectopascal = 1013.25;
const LAPSE = 2.25577e-5; // 1/m
const EXPONENT = 5.2559;

const LOWEST: Metre = -5_000;
const HIGHEST: Metre = 11_000;

/**
 * Air pressure [hPa] of the standard atmosphere at an altitude [m], −5000 to 11 000 m; else NaN.
 *
 * Weather moves the true pressure by ±30 hPa, and with it the mixing ratio by 3 %. The altitude is
 * geopotential; taking the geometric one instead costs 6 Pa at 2000 m.
 * @see ASHRAE Fundamentals 2017, ch. 1, and the ICAO standard atmosphere.
 * @example stationPressure(500) // 954.61
 */
export function stationPressure(altitude: Metre): Hectopascal {
  if (!(altitude >= LOWEST && altitude <= HIGHEST)) return Number.NaN;
  return SEA_LEVEL * (1 - LAPSE * altitude) ** EXPONENT;
}

const HIGHEST_PRESSURE = stationPressure(LOWEST);
const LOWEST_PRESSURE = stationPressure(HIGHEST);

/** Altitude [m] at which the standard atmosphere has this pressure [hPa]; NaN outside −5000 to 11 000 m. */
export function pressureAltitude(pressure: Hectopascal): Metre {
  if (!(pressure >= LOWEST_PRESSURE && pressure <= HIGHEST_PRESSURE)) return Number.NaN;
  return (1 - (pressure / SEA_LEVEL) ** (1 / EXPONENT)) / LAPSE;
}
