import type { Celsius, Hectopascal } from '../units.js';
import { bounded } from './bounded.js';
import type { SaturationFormula } from './saturationFormula.js';

const KELVIN = 273.15;
const HECTO = Math.log(100); // the published forms give ln Pa

const WATER_RANGE = [-80, 100] as const; // published 0 to 200 °C; the program meets no more than 100
const ICE_RANGE = [-100, 0] as const; //    as published

/** Hyland & Wexler 1983 over liquid water, ln of hPa; T in K. */
function lnWarm(T: number): number {
  return (
    -5.8002206e3 / T +
    1.3914993 -
    4.8640239e-2 * T +
    4.1764768e-5 * T * T -
    1.4452093e-8 * T * T * T +
    6.5459673 * Math.log(T) -
    HECTO
  );
}

function slopeWarm(T: number): number {
  return (
    5.8002206e3 / (T * T) - 4.8640239e-2 + 2 * 4.1764768e-5 * T - 3 * 1.4452093e-8 * T * T + 6.5459673 / T
  );
}

/** Murphy & Koop 2005, equation 10, over supercooled water, ln of hPa; 123 to 332 K. */
function lnSupercooled(T: number): number {
  const logT = Math.log(T);
  const tail = 53.878 - 1331.22 / T - 9.44523 * logT + 0.014025 * T;
  return (
    54.842763 - 6763.22 / T - 4.21 * logT + 0.000367 * T + Math.tanh(0.0415 * (T - 218.8)) * tail - HECTO
  );
}

function slopeSupercooled(T: number): number {
  const bend = Math.tanh(0.0415 * (T - 218.8));
  const tail = 53.878 - 1331.22 / T - 9.44523 * Math.log(T) + 0.014025 * T;
  return (
    6763.22 / (T * T) -
    4.21 / T +
    0.000367 +
    bend * (1331.22 / (T * T) - 9.44523 / T + 0.014025) +
    0.0415 * (1 - bend * bend) * tail
  );
}

// Hyland & Wexler over liquid water below 0 °C would be an extrapolation. The two curves are brought together
// at 0 °C by this factor (its logarithm), so that no step is left there.
const JOIN = lnWarm(KELVIN) - lnSupercooled(KELVIN);

function lnWater(t: Celsius): number {
  return t >= 0 ? lnWarm(t + KELVIN) : lnSupercooled(t + KELVIN) + JOIN;
}

function waterSlope(t: Celsius): number {
  return t >= 0 ? slopeWarm(t + KELVIN) : slopeSupercooled(t + KELVIN);
}

/** Hyland & Wexler 1983 over ice, ln of hPa. */
function lnIce(t: Celsius): number {
  const T = t + KELVIN;
  return (
    -5.6745359e3 / T +
    6.3925247 -
    9.677843e-3 * T +
    6.2215701e-7 * T * T +
    2.0747825e-9 * T * T * T -
    9.484024e-13 * T * T * T * T +
    4.1635019 * Math.log(T) -
    HECTO
  );
}

function iceSlope(t: Celsius): number {
  const T = t + KELVIN;
  return (
    5.6745359e3 / (T * T) -
    9.677843e-3 +
    2 * 6.2215701e-7 * T +
    3 * 2.0747825e-9 * T * T -
    4 * 9.484024e-13 * T * T * T +
    4.1635019 / T
  );
}

/** From a start within 1 K three steps of Newton's method on ln e are exact; a fourth costs little. */
const STEPS = 4;

/** The Magnus constants only give the start; they cannot be taken from `magnusWmo`, whose range is narrower. */
function dewPointOf(e: Hectopascal): Celsius {
  const target = Math.log(e);
  const x = target - Math.log(6.112);
  let t = (243.12 * x) / (17.62 - x);
  for (let step = 0; step < STEPS; step++) t -= (lnWater(t) - target) / waterSlope(t);
  return t;
}

function frostPointOf(e: Hectopascal): Celsius {
  const target = Math.log(e);
  const x = target - Math.log(6.112);
  let t = (272.62 * x) / (22.46 - x);
  for (let step = 0; step < STEPS; step++) t -= (lnIce(t) - target) / iceSlope(t);
  return t;
}

/**
 * The most traceable form, that of the ASHRAE tables; over supercooled water Murphy & Koop (2005), scaled to
 * meet it at 0 °C. Water −80 to 100 °C, ice −100 to 0 °C. Its dew point costs about five times that of
 * `buck1996`, as the inverse is Newton's method.
 *
 * Checked against IAPWS-95: −0.022 to 0 % at 0 to 60 °C. Ice against IAPWS R14-08: 0 to +0.03 % at −60 to 0 °C.
 * @example hylandWexler.water(25) // 31.69; the ASHRAE 2017 table has 31.697
 */
export const hylandWexler: SaturationFormula = bounded({
  name: 'hylandWexler',
  source: 'R. W. Hyland, A. Wexler 1983, ASHRAE Trans. 89; below 0 °C over water D. M. Murphy, T. Koop 2005',
  waterRange: WATER_RANGE,
  iceRange: ICE_RANGE,
  water: (t) => Math.exp(lnWater(t)),
  ice: (t) => Math.exp(lnIce(t)),
  dewPoint: dewPointOf,
  frostPoint: frostPointOf,
  slopeWater: waterSlope,
  slopeIce: iceSlope,
});
