import type { Celsius, Percent } from '../units.js';

/**
 * Wet bulb temperature [°C] by a closed form, for comparison with tools that print it. At sea level it errs by
 * up to 1.2 K while the wet bulb is above 0 °C and by up to 4 K in cold dry air, at altitude by more. Use
 * `wetBulbTemperature` for anything else.
 *
 * Temperature −20 to 50 °C, humidity 5 to 99 %; else NaN.
 * @see R. Stull 2011, J. Appl. Meteor. Climatol. 50.
 * @example wetBulbStull(20, 50) // 13.7
 */
export function wetBulbStull(temperature: Celsius, humidity: Percent): Celsius {
  if (!(temperature >= -20 && temperature <= 50 && humidity >= 5 && humidity <= 99)) return Number.NaN;
  return (
    temperature * Math.atan(0.151977 * Math.sqrt(humidity + 8.313659)) +
    Math.atan(temperature + humidity) -
    Math.atan(humidity - 1.676331) +
    0.00391838 * humidity ** 1.5 * Math.atan(0.023101 * humidity) -
    4.686035
  );
}
