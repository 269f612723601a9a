import type { CleanLog } from '../log/log.js';
import { type Pairs, pairsOf, tableOf } from '../log/pairs.js';
import type { Accuracy } from '../log/sensor.js';
import { buck1996 } from '../psychrometry/buck1996.js';
import { effectiveHumidity } from '../psychrometry/relativeHumidity.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Celsius, Kelvin, Percent } from '../units.js';
import { type ErrorShare, errorShareOf, FOLLOWING } from './errorShare.js';
import type { ModelledSurface } from './surface.js';

/**
 * The temperature at which the air deposits water, by the number of the pair that a reading carries: its dew point, or
 * below 0 °C, where the deposit is ice, its frost point. NaN, in all three alike, where temperature or humidity is
 * missing.
 */
export interface DepositPoints {
  readonly pairs: Pairs;
  /** As measured [°C]. */
  readonly expected: Float64Array;
  /** Relative to the surface as measured, lowest and highest for errors within accuracy [°C]. */
  readonly lowest: Float64Array;
  readonly highest: Float64Array;
  /** Vapour pressure of the air, without enhancement [hPa], worked out on the way. */
  readonly vapourPressure: Float64Array;
  /** What they were made with. */
  readonly accuracy: Accuracy;
  readonly formula: SaturationFormula;
}

/**
 * Deposit points of a log as measured, and at the corners of the sensor's accuracy that settle whether a
 * surface that follows the air is wet for every constant error or for some; see `withErrors`.
 *
 * Temperature in the formula's water range, to which T ± aT is held as well; humidity 0 to 104 %, with its
 * error held to 0..100; else NaN. Air too dry for the formula has the lowest frost point that it reaches.
 */
export function depositPoints(
  log: CleanLog,
  accuracy: Accuracy,
  formula: SaturationFormula = buck1996,
): DepositPoints {
  const iceAtZero = formula.ice(0);
  const pairs = pairsOf(log);
  const vapourPressure = tableOf(pairs, (t, u) => (effectiveHumidity(u) / 100) * formula.water(t));
  const expected = vapourPressure.map((pressure) => depositPoint(pressure, iceAtZero, formula));
  return withErrors({ pairs, expected, vapourPressure, accuracy, formula }, FOLLOWING);
}

/**
 * The same for a surface that is off by another share of the air thermometer's error, and on its own.
 *
 * Let the air's readings be off by dT and dU and the surface, besides its share s · dT, by dS. Its margin
 * becomes Ts + s dT + dS − D(T + dT, U + dU): it grows with dS, and falls as dU grows, since D grows with U.
 * So its largest value is at dS = +own, dU = −aU, its smallest at dS = −own, dU = +aU, whatever dT is; at each
 * reading the more extreme dT is taken. `lowest` and `highest` are D − s dT ∓ own there, so that both can be
 * held against the surface as measured.
 *
 * In dT the margin changes by s − dD/dT. dD/dT lies between 0 and 1: it is the relative slope of the saturation
 * pressure over water at T, divided by that at D, over ice if D is below 0 °C; the latter is larger, because D
 * is colder than T or the slope is that over ice. (Below −65 °C, near saturation, dD/dT passes 1 by up to 0.7 %
 * in two of the formulas: computed from them.) So with s = 1 (the surface follows the air) the largest margin is
 * at dT = +aT and the smallest at −aT; with s = 0 (it has its own thermometer) it is the other way round.
 *
 * In between (s of a wall, the temperature factor) either corner may be the extreme, and which one depends on
 * the reading: both are looked at, and what is expected is kept between the two. As D bends with T, an error
 * inside can be more extreme than both corners: by under 0.001 K for a thermometer good to 2 K, and where D
 * passes 0 °C, at which its slope steps, by up to a fortieth of aT (computed for −35 to 50 °C, 10 to 100 %).
 */
export function withErrors(
  deposits: Omit<DepositPoints, 'lowest' | 'highest'>,
  { shared, own }: ErrorShare,
): DepositPoints {
  const { expected, accuracy } = deposits;
  const { temperature: aT, humidity: aU } = accuracy;
  const least = (dT: Kelvin) => cornerPoints(deposits, dT, -aU, -shared * dT - own);
  const greatest = (dT: Kelvin) => cornerPoints(deposits, dT, aU, -shared * dT + own);
  if (shared === 1) return { ...deposits, lowest: least(aT), highest: greatest(-aT) };
  const lowest = least(-aT);
  const highest = greatest(aT);
  if (shared > 0) {
    const [otherLowest, otherHighest] = [least(aT), greatest(-aT)];
    for (let i = 0; i < expected.length; i++) {
      lowest[i] = Math.min(lowest[i]!, otherLowest[i]!, expected[i]!);
      highest[i] = Math.max(highest[i]!, otherHighest[i]!, expected[i]!);
    }
  }
  return { ...deposits, lowest, highest };
}

/** The deposit points of a sensor that is off by `dT` and `dU`, held to what can be, and moved by `offset` [K]. */
function cornerPoints(
  { pairs, expected, formula }: Pick<DepositPoints, 'pairs' | 'expected' | 'formula'>,
  dT: Kelvin,
  dU: Percent,
  offset: Kelvin,
): Float64Array {
  const [coldest, hottest] = formula.waterRange;
  const iceAtZero = formula.ice(0);
  const points = tableOf(pairs, (temperature, humidity) => {
    const t = Math.min(Math.max(temperature + dT, coldest), hottest);
    const u = Math.min(Math.max(humidity + dU, 0), 100);
    return depositPoint((u / 100) * formula.water(t), iceAtZero, formula) + offset;
  });
  for (let i = 0; i < points.length; i++) if (Number.isNaN(expected[i]!)) points[i] = Number.NaN;
  return points;
}

/** The deposit points with the errors that tell for this surface. */
export function depositPointsFor(surface: ModelledSurface, deposits: DepositPoints): DepositPoints {
  const share = errorShareOf(surface);
  return share === FOLLOWING ? deposits : withErrors(deposits, share);
}

/**
 * @param pressure vapour pressure [hPa]
 * @param iceAtZero saturation pressure over ice at 0 °C [hPa]
 */
function depositPoint(pressure: number, iceAtZero: number, formula: SaturationFormula): Celsius {
  if (Number.isNaN(pressure)) return Number.NaN;
  // The formulas over water and ice meet a millikelvin beside 0 °C; no deposit point falls between them.
  if (pressure >= iceAtZero) return Math.max(formula.dewPoint(pressure), 0);
  const frostPoint = formula.frostPoint(pressure);
  return Number.isNaN(frostPoint) ? formula.iceRange[0] : frostPoint;
}
