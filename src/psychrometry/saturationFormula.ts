import type { Celsius, Hectopascal } from '../units.js';

/**
 * One published form of the saturation vapour pressure of pure water, with its inverse.
 * Outside a range every function answers NaN.
 */
export interface SaturationFormula {
  /** As it is given in output: `buck1996`. */
  readonly name: string;
  readonly source: string;
  /** Temperatures the formula over liquid water, supercooled below 0 °C, is used for [°C]. */
  readonly waterRange: readonly [coldest: Celsius, hottest: Celsius];
  /** Temperatures the formula over ice is used for [°C]. */
  readonly iceRange: readonly [coldest: Celsius, hottest: Celsius];
  /** Temperature [°C] → saturation pressure over liquid water [hPa]. */
  water(temperature: Celsius): Hectopascal;
  /** Temperature [°C] → saturation pressure over ice [hPa]. */
  ice(temperature: Celsius): Hectopascal;
  /** Vapour pressure [hPa] → the temperature at which it saturates over liquid water [°C]. */
  dewPoint(vapourPressure: Hectopascal): Celsius;
  /** Vapour pressure [hPa], below ice saturation at 0 °C → the temperature at which it saturates over ice [°C]. */
  frostPoint(vapourPressure: Hectopascal): Celsius;
  /** Temperature [°C] → relative growth of `water`, d(ln e)/dt [1/K]. */
  slopeWater(temperature: Celsius): number;
  /** Temperature [°C] → relative growth of `ice`, d(ln e)/dt [1/K]. */
  slopeIce(temperature: Celsius): number;
}
