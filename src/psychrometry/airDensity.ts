import type { Celsius, Hectopascal, Percent } from '../units.js';
import { type AirModel, defaultAir, partialPressure } from './airModel.js';
import { humidityRatio } from './mixingRatio.js';

/** Gas constant of dry air [hPa m³/(kg K)] (ASHRAE Fundamentals 2017, ch. 1). */
const DRY_AIR = 2.87042;
/** Molar mass of dry air over that of water, as ASHRAE prints it. */
const MASS_RATIO = 1.607858;

/** Volume of moist air [m³ per kg of dry air] from temperature [°C], humidity ratio [kg/kg] and pressure [hPa]. */
export function volume(temperature: Celsius, ratio: number, pressure: Hectopascal): number {
  return (DRY_AIR * (temperature + 273.15) * (1 + MASS_RATIO * ratio)) / pressure;
}

/**
 * Volume of moist air [m³ per kg of dry air].
 *
 * Temperature [°C], humidity [%] as for `vapourPressure`, pressure 200 to 1800 hPa; else NaN. Within 0.1 % of
 * ASHRAE RP-1485 to 40 °C, 0.2 % to 60 °C.
 * @example specificVolume(25, 50, 1013.25) // 0.858
 */
export function specificVolume(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): number {
  const ratio = humidityRatio(partialPressure(temperature, humidity, pressure, model), pressure);
  return volume(temperature, ratio, pressure);
}

/**
 * Mass of moist air per volume [kg/m³]: damp air is the lighter. Range and accuracy as `specificVolume`.
 * @example airDensity(25, 50, 1013.25) // 1.1769
 */
export function airDensity(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): number {
  const ratio = humidityRatio(partialPressure(temperature, humidity, pressure, model), pressure);
  return (1 + ratio) / volume(temperature, ratio, pressure);
}
