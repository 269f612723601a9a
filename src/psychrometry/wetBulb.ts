import type { Celsius, Hectopascal, Percent } from '../units.js';
import { type AirModel, defaultAir, saturationFactor } from './airModel.js';
import { humidityRatio } from './mixingRatio.js';
import type { SaturationFormula } from './saturationFormula.js';
import { vapourPressure } from './vapourPressure.js';

/**
 * What the bulb is covered with; `over-saturated` where the air holds more than ice saturation, so that
 * nothing evaporates from an iced bulb and it shows the air temperature.
 */
export type WetBulbPhase = 'water' | 'ice' | 'over-saturated';

// Energy balance of the bulb, kJ/kg and kJ/(kg K) (ASHRAE Fundamentals 2017, ch. 1, as a public code carries it).
const DRY_AIR = 1.006;
const VAPOUR = 1.86;
const WATER = { latent: 2501, latentSlope: 2.326, capacity: 4.186 } as const;
const ICE = { latent: 2830, latentSlope: 0.24, capacity: 2.1 } as const;

/** The iteration ends when it moves by less than this: far below anything that is printed. */
const CLOSE: Celsius = 1e-6;
/** Three or four steps are the rule; more only close to boiling. */
const MOST_STEPS = 60;
/** Psychrometer constant over pressure [1/K]; it only serves to guess the start. */
const ROUGHLY = 6.6e-4;

/**
 * The bulb temperature at which what the bulb gives off is what the air takes up. The excess of the one over
 * the other grows ever faster with the bulb temperature. So Newton's method, once above the answer, comes down
 * to it without passing it; kept between the bounds of the cover it always gets there.
 */
function solve(
  temperature: Celsius,
  vapour: Hectopascal,
  ratio: number,
  pressure: Hectopascal,
  factor: number,
  formula: SaturationFormula,
  iced: boolean,
): Celsius {
  const { latent, latentSlope, capacity } = iced ? ICE : WATER;
  const low = iced ? formula.iceRange[0] : 0;
  let high = iced ? Math.min(temperature, 0) : temperature;

  // The bulb shares the way between air and saturation point as the psychrometer constant and the slope do.
  const saturation = iced ? formula.frostPoint(vapour) : formula.dewPoint(vapour);
  const middle = 0.3 * temperature + 0.7 * saturation;
  const slope = iced
    ? formula.ice(middle) * formula.slopeIce(middle)
    : formula.water(middle) * formula.slopeWater(middle);
  const constant = ROUGHLY * pressure;
  let bulb = (constant * temperature + slope * saturation) / (constant + slope);
  if (!(bulb >= low && bulb <= high)) bulb = iced ? high : low;

  for (let step = 0; step < MOST_STEPS; step++) {
    const saturated = factor * (iced ? formula.ice(bulb) : formula.water(bulb));
    let next: Celsius;
    if (saturated < pressure) {
      const saturatedRatio = humidityRatio(saturated, pressure);
      const heat = (latent - latentSlope * bulb) * saturatedRatio;
      const excess =
        heat - DRY_AIR * (temperature - bulb) - ratio * (latent + VAPOUR * temperature - capacity * bulb);
      const growth =
        (iced ? formula.slopeIce(bulb) : formula.slopeWater(bulb)) * (pressure / (pressure - saturated));
      next = bulb - excess / (heat * growth - latentSlope * saturatedRatio + DRY_AIR + ratio * capacity);
      next = Math.min(high, Math.max(low, next));
    } else {
      high = bulb; // it would boil here
      next = (low + high) / 2;
    }
    if (Math.abs(next - bulb) < CLOSE) return next;
    bulb = next;
  }
  return Number.NaN;
}

/** Which cover the bulb has, for air whose vapour pressure over pure water is `vapour` [hPa]. */
function phaseOf(
  temperature: Celsius,
  vapour: Hectopascal,
  ratio: number,
  pressure: Hectopascal,
  factor: number,
  formula: SaturationFormula,
): WetBulbPhase {
  if (temperature < 0) return vapour > formula.ice(temperature) ? 'over-saturated' : 'ice';
  // At 0 °C a wet bulb that gives off more than the air takes up must be colder.
  const given = WATER.latent * humidityRatio(factor * formula.water(0), pressure);
  const taken = DRY_AIR * temperature + ratio * (WATER.latent + VAPOUR * temperature);
  return given <= taken ? 'water' : 'ice';
}

/**
 * Thermodynamic wet bulb temperature [°C]: to what water evaporating into the air cools it, without heat from
 * elsewhere. If that lies below 0 °C, the bulb is taken to be iced; `wetBulbPhase` tells. Where water and ice
 * both have an answer (at 5 °C between 33 and 37 %) it is that of water; the two differ by up to 0.6 K.
 *
 * Temperature [°C] in the formula's water range, humidity 0 to 104 % (above 100 counted as 100), pressure 200
 * to 1800 hPa; else NaN. Within 0.025 K of ASHRAE RP-1485 at 0 to 60 °C, 0.005 K over ice.
 * @example wetBulbTemperature(25, 50, 1013.25) // 17.88
 */
export function wetBulbTemperature(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): Celsius {
  const { formula } = model;
  const vapour = vapourPressure(temperature, humidity, formula);
  const factor = saturationFactor(pressure, model);
  const ratio = humidityRatio(factor * vapour, pressure);
  if (Number.isNaN(ratio)) return Number.NaN;
  const phase = phaseOf(temperature, vapour, ratio, pressure, factor, formula);
  if (phase === 'over-saturated') return temperature;
  return solve(temperature, vapour, ratio, pressure, factor, formula, phase === 'ice');
}

/** Which cover `wetBulbTemperature` has assumed; undefined where that is NaN. */
export function wetBulbPhase(
  temperature: Celsius,
  humidity: Percent,
  pressure: Hectopascal,
  model: AirModel = defaultAir,
): WetBulbPhase | undefined {
  const { formula } = model;
  const vapour = vapourPressure(temperature, humidity, formula);
  const factor = saturationFactor(pressure, model);
  const ratio = humidityRatio(factor * vapour, pressure);
  if (Number.isNaN(ratio)) return undefined;
  return phaseOf(temperature, vapour, ratio, pressure, factor, formula);
}
