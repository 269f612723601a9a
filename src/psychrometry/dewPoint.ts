import type { Celsius, Percent } from '../units.js';
import { buck1996 } from './buck1996.js';
import { vapourPressure } from './vapourPressure.js';

/**
 * Temperature [°C] at which the air, cooled at constant pressure, saturates over liquid water; below 0 °C over
 * supercooled water. The enhancement of real air cancels: left out, it costs at most 0.022 K at 5 to 60 °C
 * (against ASHRAE RP-1485).
 *
 * Temperature [°C] in the formula's water range, humidity above 0 and up to 104 % (above 100 counted as 100);
 * else, and for dew points below that range, NaN. Below about 3 % the answer says nothing within several K.
 * @example dewPoint(21, 55) // 11.62
 */
export function dewPoint(temperature: Celsius, humidity: Percent, formula = buck1996): Celsius {
  return formula.dewPoint(vapourPressure(temperature, humidity, formula));
}

/**
 * Temperature [°C] at which the air, cooled at constant pressure, saturates over ice: 0.1 K above the dew
 * point at −1 °C, 2 K at −20 °C.
 *
 * NaN when it would lie at 0 °C or above, where there is no ice; otherwise as `dewPoint`.
 * @example frostPoint(-20, 60) // -23.24
 */
export function frostPoint(temperature: Celsius, humidity: Percent, formula = buck1996): Celsius {
  return formula.frostPoint(vapourPressure(temperature, humidity, formula));
}
