import type { Celsius, Hectopascal, Percent } from '../units.js';
import { type AirModel, defaultAir, partialPressure } from './airModel.js';

/** 100 times the molar mass of water over the gas constant, 18.015268 / 8.314463 [g K/J]. */
const VAPOUR = 216.679;

/** Mass of vapour per volume [g/m³] as an ideal gas, from temperature [°C] and its partial pressure [hPa]. */
export function vapourDensity(temperature: Celsius, vapourPressure: Hectopascal): number {
  return (VAPOUR * vapourPressure) / (temperature + 273.15);
}

/**
 * Mass of vapour per volume of moist air [g/m³]. The pressure enters only by the enhancement factor.
 *
 * Temperature [°C], humidity [%] as for `vapourPressure`, pressure 200 to 1800 hPa; else NaN. Within 0.15 % of
 * ASHRAE RP-1485 to 40 °C, 0.3 % to 60 °C.
 * @example absoluteHumidity(25, 50, 1013.25) // 11.57
 */
export function absoluteHumidity(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): number {
  return vapourDensity(temperature, partialPressure(temperature, humidity, pressure, model));
}
