import type { Celsius, Hectopascal, Percent } from '../units.js';
import { type AirModel, defaultAir, saturationFactor } from './airModel.js';
import { vapourPressure } from './vapourPressure.js';

/** Psychrometer constant over pressure [1/K] of the ventilated instrument (WMO-No. 8, from memory). */
const overWater = (bulb: Celsius) => 6.53e-4 * (1 + 0.000944 * bulb);
const OVER_ICE = 5.75e-4;

/** Each step halves an interval of at most 180 K: after 50 a double holds no more. */
const HALVINGS = 50;

/**
 * What the wet thermometer of a ventilated psychrometer shows [°C]. It stays 0.02 to 0.2 K above the
 * thermodynamic wet bulb in rooms, 0.33 K at 60 °C and 5 %. Water or ice, and the range, as
 * `wetBulbTemperature`.
 * @example wetBulbPsychrometer(20, 60, 1013.25) // 15.2
 */
export function wetBulbPsychrometer(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): Celsius {
  const { formula } = model;
  const vapour = vapourPressure(temperature, humidity, formula);
  const factor = saturationFactor(pressure, model);
  if (!(factor * vapour < pressure)) return Number.NaN;
  if (temperature < 0 && vapour > formula.ice(temperature)) return temperature;

  // By how much the vapour pressure which such a bulb implies exceeds that of the air.
  const excess = (bulb: Celsius, iced: boolean) =>
    factor * ((iced ? formula.ice(bulb) : formula.water(bulb)) - vapour) -
    (iced ? OVER_ICE : overWater(bulb)) * pressure * (temperature - bulb);

  const iced = temperature < 0 || excess(0, false) > 0;
  let low = iced ? formula.iceRange[0] : 0;
  let high = iced ? Math.min(temperature, 0) : temperature;
  for (let step = 0; step < HALVINGS; step++) {
    const middle = (low + high) / 2;
    if (excess(middle, iced) > 0) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}
