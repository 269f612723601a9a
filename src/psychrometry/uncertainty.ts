import type { Accuracy } from '../log/sensor.js';
import type { Celsius, Hectopascal, Kelvin, Percent } from '../units.js';
import type { AirModel } from './airModel.js';
import { buck1996 } from './buck1996.js';
import { dewPoint } from './dewPoint.js';
import type { Quantity } from './quantities.js';
import { effectiveHumidity } from './relativeHumidity.js';

/** From the lowest to the highest value that the limits allow; NaN for an end that is not defined. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/**
 * Above this share of the humidity its uncertainty bends the dew point too much for a first-order figure. At
 * 8.7 % (30 °C, 20 ± 3 %) the 95 % interval by Monte Carlo is −2.2 to +2.0 K where first order has ±2.4 K.
 */
const LARGEST_FIRST_ORDER_SHARE = 0.08;

/** Standard uncertainty of a value known to lie within ± `limit`, every value there as likely (rectangular). */
export function standardUncertainty(limit: number): number {
  return limit / Math.sqrt(3);
}

/** By how many kelvins the dew point moves per kelvin of air temperature; NaN where it is not defined. */
export function dewPointPerKelvin(temperature: Celsius, humidity: Percent, formula = buck1996): number {
  const dew = dewPoint(temperature, humidity, formula);
  return formula.slopeWater(temperature) / formula.slopeWater(dew);
}

/** By how many kelvins the dew point moves per percent of relative humidity; NaN where it is not defined. */
export function dewPointPerPercent(temperature: Celsius, humidity: Percent, formula = buck1996): number {
  const dew = dewPoint(temperature, humidity, formula);
  return 1 / (effectiveHumidity(humidity) * formula.slopeWater(dew));
}

/**
 * Standard uncertainty of the dew point [K], first order, from the limits of a sensor. Errors of temperature
 * and humidity are taken as independent, which is an assumption for two parts of one sensor. Trust it only
 * where `firstOrderHolds`. NaN where the dew point is not defined.
 * @see JCGM 100 (GUM), 5.1.2.
 * @example dewPointUncertainty(21, 55, { temperature: 0.3, humidity: 2 }) // 0.356
 */
export function dewPointUncertainty(
  temperature: Celsius,
  humidity: Percent,
  limits: Accuracy,
  formula = buck1996,
): Kelvin {
  return Math.hypot(
    dewPointPerKelvin(temperature, humidity, formula) * standardUncertainty(limits.temperature),
    dewPointPerPercent(temperature, humidity, formula) * standardUncertainty(limits.humidity),
  );
}

/** Whether a first-order uncertainty may be given; otherwise only the interval of the limits is honest. */
export function firstOrderHolds(humidity: Percent, limits: Accuracy): boolean {
  return standardUncertainty(limits.humidity) <= LARGEST_FIRST_ORDER_SHARE * humidity;
}

const clip = (humidity: Percent) => Math.min(100, Math.max(0, humidity));

/**
 * Worst-case interval of a quantity: its values at the two corners of t ± limit, u ± limit (u clipped to 0 to
 * 100 %) where its trend makes it lowest and highest. It always contains the value itself. This is not a 95 %
 * interval, it is what cannot be excluded. An end at a corner where the quantity is not defined is NaN; if
 * the value itself is not, both are.
 */
export function interval(
  quantity: Quantity,
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel,
  limits: Accuracy,
): Interval {
  const towards = (sign: 1 | -1) =>
    quantity.of(
      temperature + sign * quantity.trend.temperature * limits.temperature,
      clip(humidity + sign * quantity.trend.humidity * limits.humidity),
      pressure,
      model,
    );
  const value = quantity.of(temperature, humidity, pressure, model);
  return { low: Math.min(value, towards(-1)), high: Math.max(value, towards(1)) };
}
