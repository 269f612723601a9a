import type { Celsius, Hectopascal, Percent } from '../units.js';
import { type AirModel, defaultAir, partialPressure } from './airModel.js';

/** Molar mass of water over that of dry air (ASHRAE Fundamentals 2017, ch. 1; WMO-No. 8 prints 0.62198). */
const MASS_RATIO = 0.621945;

/**
 * Mass of vapour per mass of dry air [kg/kg] from the vapour's partial pressure and the air pressure [hPa].
 * NaN when the vapour would fill the air alone (e ≥ p), as in boiling.
 */
export function humidityRatio(vapourPressure: Hectopascal, pressure: Hectopascal): number {
  if (!(vapourPressure < pressure)) return Number.NaN;
  return (MASS_RATIO * vapourPressure) / (pressure - vapourPressure);
}

/**
 * Mass of vapour per mass of dry air [g/kg], also called humidity ratio.
 *
 * Temperature [°C], humidity [%] as for `vapourPressure`, pressure 200 to 1800 hPa; else NaN. Within 0.1 % of
 * ASHRAE RP-1485 to 40 °C, 0.2 % to 60 °C.
 * @example mixingRatio(25, 50, 1013.25) // 9.93
 */
export function mixingRatio(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): number {
  return 1000 * humidityRatio(partialPressure(temperature, humidity, pressure, model), pressure);
}

/**
 * Mass of vapour per mass of moist air [g/kg]; always a little below the mixing ratio. Range as `mixingRatio`.
 * @example specificHumidity(25, 50, 1013.25) // 9.83
 */
export function specificHumidity(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): number {
  const ratio = humidityRatio(partialPressure(temperature, humidity, pressure, model), pressure);
  return (1000 * ratio) / (1 + ratio);
}
