import type { Log } from '../log/log.js';
import { buck1996 } from '../psychrometry/buck1996.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import { vapourPressure } from '../psychrometry/vapourPressure.js';
import type { Celsius, Kelvin, Percent } from '../units.js';

/** How far a sensor's readings may be off, either way, 0 or more. */
export interface Accuracy {
  readonly temperature: Kelvin;
  readonly humidity: Percent;
}

/**
 * Per reading the temperature at which the air deposits water: its dew point, or below 0 °C, where the
 * deposit is ice, its frost point. NaN, in all three alike, where temperature or humidity is missing.
 */
export interface DepositPoints {
  /** As measured [°C]. */
  readonly expected: Float64Array;
  /** Relative to a temperature read without error, lowest and highest for errors within accuracy [°C]. */
  readonly lowest: Float64Array;
  readonly highest: Float64Array;
}

/**
 * Deposit points of a log as measured, and at the two corners of the sensor's accuracy that settle whether a
 * surface is wet for every constant error or for some.
 *
 * Let the readings be off by dT and dU. A surface that follows the air is off by dT too, so its margin becomes
 * Ts + dT − D(T + dT, U + dU). D grows with U, so the margin falls as dU grows. D grows with T, but by less
 * than 1 K per K: dD/dT is the relative slope of the saturation pressure over water at T, divided by that at
 * D, over ice if D is below 0 °C; the latter is larger, because D is colder than T or the slope is that over
 * ice. So the margin grows with dT. Its largest value is at (+aT, −aU), its smallest at (−aT, +aU). `lowest`
 * and `highest` are D − dT there, so that both can be held against the surface as measured. (Below −65 °C,
 * near saturation, dD/dT passes 1 by up to 0.7 % in two of the formulas: computed from them.)
 *
 * Temperature in the formula's water range, to which T ± aT is held as well; humidity 0 to 104 %, with its
 * error held to 0..100; else NaN. Air too dry for the formula has the lowest frost point that it reaches.
 */
export function depositPoints(
  log: Log,
  accuracy: Accuracy,
  formula: SaturationFormula = buck1996,
): DepositPoints {
  const { temperature, humidity, length } = log;
  const [coldest, hottest] = formula.waterRange;
  const freezing = formula.ice(0);
  const expected = new Float64Array(length);
  const lowest = new Float64Array(length);
  const highest = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const t = temperature[i]!;
    const u = humidity[i]!;
    const measured = depositPoint(vapourPressure(t, u, formula), freezing, formula);
    expected[i] = measured;
    if (Number.isNaN(measured)) {
      lowest[i] = NaN;
      highest[i] = NaN;
      continue;
    }
    const warmer = Math.min(t + accuracy.temperature, hottest);
    const colder = Math.max(t - accuracy.temperature, coldest);
    const drier = vapourPressure(warmer, between0And100(u - accuracy.humidity), formula);
    const damper = vapourPressure(colder, between0And100(u + accuracy.humidity), formula);
    lowest[i] = depositPoint(drier, freezing, formula) - accuracy.temperature;
    highest[i] = depositPoint(damper, freezing, formula) + accuracy.temperature;
  }
  return { expected, lowest, highest };
}

/**
 * @param pressure vapour pressure [hPa]
 * @param freezing saturation pressure over ice at 0 °C [hPa]
 */
function depositPoint(pressure: number, freezing: number, formula: SaturationFormula): Celsius {
  if (Number.isNaN(pressure)) return NaN;
  // The formulas over water and ice meet a millikelvin beside 0 °C; no deposit point falls between them.
  if (pressure >= freezing) return Math.max(formula.dewPoint(pressure), 0);
  const frostPoint = formula.frostPoint(pressure);
  return Number.isNaN(frostPoint) ? formula.iceRange[0] : frostPoint;
}

function between0And100(humidity: Percent): Percent {
  return Math.min(Math.max(humidity, 0), 100);
}
