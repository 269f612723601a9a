import type { Celsius, Percent } from '../units.js';
import { buck1996 } from './buck1996.js';

/**
 * Up to here a reading above 100 % is taken for sensor error and derived quantities are computed with 100 %.
 * Practice of the Austrian service ZAMG, WMO ET-AWS-1 Doc 9(2), 2002.
 */
export const HIGHEST_ACCEPTED: Percent = 104;

/** The humidity that derived quantities are computed with [%]: 0 to 100 as it is, up to 104 as 100, else NaN. */
export function effectiveHumidity(humidity: Percent): Percent {
  if (!(humidity >= 0 && humidity <= HIGHEST_ACCEPTED)) return Number.NaN;
  return humidity > 100 ? 100 : humidity;
}

/**
 * Relative humidity over ice [%] from that over liquid water. Above 100 the air is over-saturated for ice,
 * which is weather and not a fault.
 *
 * Defined at 0 °C and below, where ice can be; NaN above and outside the formula's ranges.
 * @example relativeHumidityOverIce(-20, 82.3) // 100
 */
export function relativeHumidityOverIce(
  temperature: Celsius,
  humidity: Percent,
  formula = buck1996,
): Percent {
  return (effectiveHumidity(humidity) * formula.water(temperature)) / formula.ice(temperature);
}
