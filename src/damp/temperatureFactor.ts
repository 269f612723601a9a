import { effectiveHumidity } from '../psychrometry/relativeHumidity.js';
import type { Celsius, Hectopascal, Percent } from '../units.js';

// The saturation formulas of ISO 13788 (read in two research codes, one with printed results). They stand
// here and not among the program's own, so that factors agree with other calculations by the standard. Below
// 0 °C they are those over ice, and so is the humidity, unlike everywhere else in the program.
const SCALE: Hectopascal = 6.105;
const WATER = { m: 17.269, n: 237.3 } as const;
const ICE = { m: 21.875, n: 265.5 } as const;

// What the program may meet. The standard is about buildings and well inside.
const COLDEST: Celsius = -80;
const HOTTEST: Celsius = 100;

/** Above this humidity at a surface for days, mould must be expected (ISO 13788; monthly means there). */
export const MOULD_LIMIT: Percent = 80;

/**
 * Saturation pressure of ISO 13788 [hPa], over ice below 0 °C. −80 to 100 °C, else NaN.
 * @example standardSaturation(20) // 23.3695
 */
export function standardSaturation(temperature: Celsius): Hectopascal {
  if (!(temperature >= COLDEST && temperature <= HOTTEST)) return Number.NaN;
  const { m, n } = temperature < 0 ? ICE : WATER;
  return SCALE * Math.exp((m * temperature) / (n + temperature));
}

/**
 * The temperature [°C] at which a vapour pressure [hPa] saturates by ISO 13788, over ice below 0 °C.
 * NaN for pressures that do not saturate between −80 and 100 °C.
 */
export function standardDewPoint(pressure: Hectopascal): Celsius {
  if (!(pressure >= standardSaturation(COLDEST) && pressure <= standardSaturation(HOTTEST)))
    return Number.NaN;
  const { m, n } = pressure < SCALE ? ICE : WATER;
  const x = Math.log(pressure / SCALE);
  return (n * x) / (m - x);
}

/**
 * Temperature of the inside of a wall [°C]: Tsi = Te + f (Ti − Te). Steady state, so daily to monthly means:
 * for single readings it overstates the swings, as the wall's mass is left out.
 *
 * @param inside, outside air temperatures [°C]
 * @param factor temperature factor fRsi, 0 (as cold as outside) to 1 (as warm as inside); else NaN
 * @example wallTemperature(20, -5, 0.7) // 12.5
 */
export function wallTemperature(inside: Celsius, outside: Celsius, factor: number): Celsius {
  if (!(factor >= 0 && factor <= 1)) return Number.NaN;
  return outside + factor * (inside - outside);
}

/**
 * Relative humidity at the inside of a wall [%] by ISO 13788, steady state. Over 100: water condenses.
 *
 * @param inside, outside air temperatures [°C], −80 to 100; else NaN
 * @param humidity of the inside air [%], 0 to 104 (above 100 counted as 100); else NaN
 * @param factor temperature factor fRsi, 0 to 1; else NaN
 * @example wallHumidity(20, 50, -5, 0.7) // 80.7
 */
export function wallHumidity(inside: Celsius, humidity: Percent, outside: Celsius, factor: number): Percent {
  const wall = wallTemperature(inside, outside, factor);
  return (effectiveHumidity(humidity) * standardSaturation(inside)) / standardSaturation(wall);
}

/**
 * The coldest a surface may be [°C] for its humidity to stay at `limit`, by ISO 13788. Ranges as above.
 *
 * @param limit highest humidity at the surface [%], above 0 to 100; else NaN
 * @example coldestAllowed(20, 50) // 12.62
 */
export function coldestAllowed(inside: Celsius, humidity: Percent, limit: Percent = MOULD_LIMIT): Celsius {
  if (!(limit > 0 && limit <= 100)) return Number.NaN;
  return standardDewPoint((effectiveHumidity(humidity) * standardSaturation(inside)) / limit);
}

/**
 * The temperature factor that a wall needs for the humidity at its inside to stay at `limit`, by ISO 13788.
 * 0 or less: any wall will do. Above 1: none, the room itself is too damp. NaN unless it is warmer inside.
 *
 * @example requiredFactor(20, 50, -5) // 0.705; German practice asks for 0.70
 */
export function requiredFactor(
  inside: Celsius,
  humidity: Percent,
  outside: Celsius,
  limit: Percent = MOULD_LIMIT,
): number {
  if (!(inside > outside)) return Number.NaN;
  return (coldestAllowed(inside, humidity, limit) - outside) / (inside - outside);
}
