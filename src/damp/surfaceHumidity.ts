import { inBlocks } from '../log/blocks.js';
import { buck1996 } from '../psychrometry/buck1996.js';
import { effectiveHumidity } from '../psychrometry/relativeHumidity.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Celsius, Percent } from '../units.js';

/** What a surface is exposed to: a row per reading, in order of time, NaN where a value is unknown. */
export interface SurfaceCourse {
  /** Instant [ms since 1970 UTC], ascending. */
  readonly time: Float64Array;
  /** Temperature of the surface [°C]. */
  readonly temperature: Float64Array;
  /** Relative humidity of the air that touches it, over liquid water [%]. */
  readonly humidity: Float64Array;
}

/** The first row from `row` on that carries both values; the number of rows where none follows. */
export function nextKnown({ time, temperature, humidity }: SurfaceCourse, row: number): number {
  let next = row;
  while (next < time.length && Number.isNaN(temperature[next]! + humidity[next]!)) next++;
  return next;
}

/**
 * Relative humidity over liquid water [%] of air that has come to the temperature of a surface and kept its
 * vapour pressure; 100 where it cannot keep it. A surface as warm as the air has the air's humidity, to the
 * last digit.
 *
 * Temperatures [°C] in the formula's water range, humidity 0 to 104 % (above 100 counted as 100); else NaN.
 * The enhancement of real air, nearly the same at both temperatures, cancels.
 * @example surfaceHumidity(20, 50, 15) // 68.6
 */
export function surfaceHumidity(
  temperature: Celsius,
  humidity: Percent,
  surface: Celsius,
  formula = buck1996,
): Percent {
  return Math.min(100, effectiveHumidity(humidity) * (formula.water(temperature) / formula.water(surface)));
}

/**
 * The same for a log.
 *
 * @param air temperature [°C] and relative humidity [%] of the air, NaN where missing
 * @param saturation over water at that temperature [hPa], which all surfaces beside one log share
 * @param surface temperature of the surface at the same instants [°C]
 * @returns [%], NaN where one of the three is missing
 */
export function surfaceHumidities(
  air: { readonly temperature: Float64Array; readonly humidity: Float64Array },
  saturation: Float64Array,
  surface: Float64Array,
  formula = buck1996,
): Float64Array {
  const humidities = new Float64Array(surface.length);
  inBlocks(surface.length, (from, until) =>
    bringTo(surface, air.temperature, air.humidity, saturation, formula, humidities, from, until),
  );
  return humidities;
}

function bringTo(
  surface: Float64Array,
  temperature: Float64Array,
  humidity: Float64Array,
  saturation: Float64Array,
  formula: SaturationFormula,
  into: Float64Array,
  from: number,
  until: number,
): void {
  for (let i = from; i < until; i++) {
    const kept = effectiveHumidity(humidity[i]!);
    into[i] =
      surface[i] === temperature[i]
        ? kept
        : Math.min(100, kept * (saturation[i]! / formula.water(surface[i]!)));
  }
}
