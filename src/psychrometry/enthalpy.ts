import type { Celsius, Hectopascal, Percent } from '../units.js';
import { type AirModel, defaultAir, partialPressure } from './airModel.js';
import { humidityRatio } from './mixingRatio.js';

/**
 * Enthalpy of moist air [kJ per kg of dry air] from temperature [°C] and humidity ratio [kg/kg]; zero for dry
 * air at 0 °C and liquid water at 0 °C.
 * @see ASHRAE Fundamentals 2017, ch. 1, as a public code carries it.
 */
export function enthalpy(temperature: Celsius, ratio: number): number {
  return 1.006 * temperature + ratio * (2501 + 1.86 * temperature);
}

/**
 * Enthalpy of moist air [kJ per kg of dry air], zero for dry air and liquid water at 0 °C.
 *
 * Temperature [°C], humidity [%] as for `vapourPressure`, pressure 200 to 1800 hPa; else NaN. Within
 * 0.07 kJ/kg of ASHRAE RP-1485 to 40 °C.
 * @example specificEnthalpy(25, 50, 1013.25) // 50.4
 */
export function specificEnthalpy(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): number {
  const ratio = humidityRatio(partialPressure(temperature, humidity, pressure, model), pressure);
  return enthalpy(temperature, ratio);
}
