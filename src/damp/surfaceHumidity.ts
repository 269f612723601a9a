import { buck1996 } from '../psychrometry/buck1996.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Celsius, Hectopascal, Milliseconds, Percent } from '../units.js';
import { type ClimateSteps, climateSteps, DAMP, FIELDS, KNOWN, temperatureOf } from './climateSteps.js';

/**
 * Relative humidity over liquid water [%] of air that has come to the temperature of a surface and kept its
 * vapour pressure; 100 where it cannot keep it.
 *
 * The enhancement of real air, nearly the same at both temperatures, cancels.
 *
 * @param vapourPressure of the air, without enhancement [hPa]
 * @param surface temperature in the formula's water range [°C]; else NaN
 * @example surfaceHumidity(vapourPressure(20, 50), 15) // 68.6
 */
export function surfaceHumidity(vapourPressure: Hectopascal, surface: Celsius, formula = buck1996): Percent {
  return Math.min(100, (100 * vapourPressure) / formula.water(surface));
}

/** The air at a surface in short steps, and the mean saturation pressure over water at its temperature [hPa]. */
export interface SurfaceSteps {
  readonly steps: ClimateSteps;
  readonly saturation: Hectopascal;
}

/**
 * The air at a surface.
 *
 * @param vapourPressure of the air, without enhancement [hPa], NaN where missing
 * @param surface temperature of the surface at the same instants [°C]
 * @param cuts, bridge as for `climateSteps`
 */
export function surfaceSteps(
  time: Float64Array,
  vapourPressure: Float64Array,
  surface: Float64Array,
  cuts: Float64Array,
  bridge: Milliseconds,
  formula: SaturationFormula,
): SurfaceSteps {
  // Pressures are averaged and then brought to humidity: one exponential a step instead of one a reading.
  const steps = climateSteps({ time, temperature: surface, humidity: vapourPressure }, cuts, bridge);
  const { count, records } = steps;
  for (let step = 0; step < count; step++) {
    const known = records[FIELDS * step + KNOWN]!;
    const humidity = surfaceHumidity(
      records[FIELDS * step + DAMP]! / known,
      temperatureOf(steps, step),
      formula,
    );
    records[FIELDS * step + DAMP] = humidity * known;
  }
  return { steps, saturation: meanSaturation(steps, formula) };
}

/** The mean saturation pressure over water at the temperature of these steps [hPa]. */
export function meanSaturation(steps: ClimateSteps, formula: SaturationFormula): Hectopascal {
  const { count, records } = steps;
  let sum = 0;
  let known = 0;
  for (let step = 0; step < count; step++) {
    const duration = records[FIELDS * step + KNOWN]!;
    sum += duration * formula.water(temperatureOf(steps, step));
    known += duration;
  }
  return sum / known;
}
