import type { Celsius, Percent } from '../units.js';
import { buck1996 } from './buck1996.js';
import { dewPoint } from './dewPoint.js';

/** Environment Canada reports humidex for current conditions only from here on, and only if it adds 1 or more. */
const COLDEST_REPORTED: Celsius = 20;
const LEAST_ADDED = 1;

/**
 * Humidex (a number read like °C) from temperature and dew point [°C], reported or not.
 *
 * The vapour pressure is the published exponential, with its 273.16 K: a better saturation formula would
 * print 0.3 less at a dew point of 25 °C than everybody's table.
 * @see Masterton & Richardson 1979; Environment Canada.
 * @example humidexFromDewPoint(30, 15) // 33.97
 */
export function humidexFromDewPoint(temperature: Celsius, dewPoint: Celsius): number {
  const vapourPressure = 6.11 * Math.exp(5417.753 * (1 / 273.16 - 1 / (dewPoint + 273.15)));
  return temperature + 0.5555 * (vapourPressure - 10);
}

/**
 * Humidex as Environment Canada reports it: NaN below 20 °C and where it is not at least 1 above the
 * temperature. Temperature [°C] and humidity [%] as for `dewPoint`.
 * @example humidex(30, 70) // 41.2
 */
export function humidex(temperature: Celsius, humidity: Percent, formula = buck1996): number {
  if (!(temperature >= COLDEST_REPORTED)) return Number.NaN;
  const index = humidexFromDewPoint(temperature, dewPoint(temperature, humidity, formula));
  return index >= temperature + LEAST_ADDED ? index : Number.NaN;
}
