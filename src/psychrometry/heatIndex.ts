import type { Celsius, Percent } from '../units.js';
import { effectiveHumidity } from './relativeHumidity.js';

/** The coldest air the simple form was checked for (50 °F); it has no meaning for comfort in the cold. */
const COLDEST: Celsius = 10;
/** Where the table of Steadman (1979), to which the regression was fitted, ends (from memory). */
const HOTTEST: Celsius = 50;
/** The chart ends at an index of 137 °F (58.3 °C): what is far beyond is extrapolated and left out. */
const HIGHEST_INDEX: Celsius = 60;

const toFahrenheit = (celsius: Celsius) => celsius * 1.8 + 32;
const toCelsius = (fahrenheit: number): Celsius => (fahrenheit - 32) / 1.8;

/** The regression alone; temperature in °F, humidity in %, result in °F. */
function regression(T: number, R: number): number {
  return (
    -42.379 +
    2.04901523 * T +
    10.14333127 * R -
    0.22475541 * T * R -
    0.00683783 * T * T -
    0.05481717 * R * R +
    0.00122874 * T * T * R +
    0.00085282 * T * R * R -
    0.00000199 * T * T * R * R
  );
}

/** What the two adjustments add to the regression [°F] in very dry and in very damp air. */
function adjustment(T: number, R: number): number {
  if (R < 13 && T >= 80 && T <= 112) return -((13 - R) / 4) * Math.sqrt((17 - Math.abs(T - 95)) / 17);
  if (R > 85 && T >= 80 && T <= 87) return ((R - 85) / 10) * ((87 - T) / 5);
  return 0;
}

/**
 * The regression by which the published chart was made, without the later adjustments [°C].
 * Temperature 26.7 to 43.3 °C, humidity 40 to 100 % are the chart; not limited here, as it serves comparison.
 */
export function heatIndexRegression(temperature: Celsius, humidity: Percent): Celsius {
  return toCelsius(regression(toFahrenheit(temperature), humidity));
}

/**
 * Heat index: how warm the air feels in the shade and a light wind [°C].
 *
 * Temperature 10 to 50 °C, humidity 0 to 104 % (above 100 counted as 100), else NaN; NaN also where the index
 * would pass 60 °C, beyond the chart. Stated within 1.3 °F (0.7 K). A simple form serves below an index of
 * 80 °F (26.7 °C); where the regression takes over the index jumps by −0.2 K at 20 % to +1.2 K at 100 %.
 * The average of simple form and temperature is used for the choice between them and never printed.
 * @see NWS Weather Prediction Center, heat index equation (L. P. Rothfusz, SR 90-23).
 * @example heatIndex(32.2222, 70) // 41.07
 */
export function heatIndex(temperature: Celsius, humidity: Percent): Celsius {
  if (!(temperature >= COLDEST && temperature <= HOTTEST)) return Number.NaN;
  const T = toFahrenheit(temperature);
  const R = effectiveHumidity(humidity);
  const simple = 0.5 * (T + 61 + 1.2 * (T - 68) + 0.094 * R);
  const index = (simple + T) / 2 < 80 ? simple : regression(T, R) + adjustment(T, R);
  const celsius = toCelsius(index);
  return celsius <= HIGHEST_INDEX ? celsius : Number.NaN;
}
