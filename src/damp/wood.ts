import type { Celsius, Percent } from '../units.js';

// The handbook's table begins at 30 °F and ends at 270 °F; the upper end from memory, read up to 130 °F.
export const COLDEST_TABULATED: Celsius = -1.12;
const HOTTEST: Celsius = 132.3;
/** Towards saturation the equation stops short of the fibre saturation of about 30 % that is usual in wood. */
export const DAMPEST_TABULATED: Percent = 99;

/**
 * Moisture content that wood comes to in steady air [% of its dry mass]: USDA Wood Handbook (FPL-GTR-282),
 * equation 4-5. One curve for every species, midway between drying and wetting; a real board that has been
 * wetter stays 1 to 2 % above it (from memory).
 *
 * @param temperature [°C], −1.1 to 132; else NaN
 * @param humidity [%], 0 to 99; else NaN
 * @example equilibriumMoisture(20, 65) // 12.0
 */
export function equilibriumMoisture(temperature: Celsius, humidity: Percent): Percent {
  if (!(temperature >= COLDEST_TABULATED && temperature <= HOTTEST)) return Number.NaN;
  if (!(humidity >= 0 && humidity <= DAMPEST_TABULATED)) return Number.NaN;
  const t = temperature;
  const w = 349 + 1.29 * t + 0.0135 * t * t;
  const k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
  const k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
  const k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
  const kh = (k * humidity) / 100;
  const first = k1 * kh;
  const second = k1 * k2 * kh * kh;
  return (1800 / w) * (kh / (1 - kh) + (first + 2 * second) / (1 + first + second));
}
