import type { Celsius, Hectopascal, Percent } from '../units.js';
import { buck1996 } from './buck1996.js';
import { effectiveHumidity } from './relativeHumidity.js';

/**
 * Vapour pressure [hPa] of the water in the air, by the definition of relative humidity over liquid water.
 * The enhancement of real air is left out; dew point and deficit do not need it (see `AirModel`).
 *
 * Temperature [°C] in the formula's water range, humidity 0 to 104 % (above 100 counted as 100); else NaN.
 * @example vapourPressure(20, 60) // 14.03
 */
export function vapourPressure(temperature: Celsius, humidity: Percent, formula = buck1996): Hectopascal {
  return (effectiveHumidity(humidity) / 100) * formula.water(temperature);
}

/**
 * What is missing to saturation over liquid water [hPa]; 0 for saturated air. Also called vapour pressure
 * deficit. Range as for `vapourPressure`.
 * @example saturationDeficit(21, 55) // 11.19
 */
export function saturationDeficit(temperature: Celsius, humidity: Percent, formula = buck1996): Hectopascal {
  return (1 - effectiveHumidity(humidity) / 100) * formula.water(temperature);
}
