import type { Celsius, Hectopascal } from '../units.js';
import { bounded } from './bounded.js';
import type { SaturationFormula } from './saturationFormula.js';

// e = scale · exp[(b − t/d) · t/(c + t)], constants of 1996 (read in two encyclopedia copies).
const WATER = { scale: 6.1121, b: 18.678, c: 257.14, d: 234.5 } as const;
const ICE = { scale: 6.1115, b: 23.036, c: 279.82, d: 333.7 } as const;
type Constants = typeof WATER | typeof ICE;

// What the program may meet, wider than the published fit; the accuracy is stated below, part by part.
const WATER_RANGE = [-80, 100] as const;
const ICE_RANGE = [-80, 0] as const;

function pressure(t: Celsius, { scale, b, c, d }: Constants): Hectopascal {
  return scale * Math.exp(((b - t / d) * t) / (c + t));
}

/** The quadratic in t that `pressure` leaves after a logarithm, in the form that does not cancel near 0 °C. */
function temperature(e: Hectopascal, { scale, b, c, d }: Constants): Celsius {
  const s = Math.log(e / scale);
  const half = b - s;
  return (2 * c * s) / (half + Math.sqrt(half * half - (4 * c * s) / d));
}

function slope(t: Celsius, { b, c, d }: Constants): number {
  return (b * c - (2 * c * t + t * t) / d) / ((c + t) * (c + t));
}

/**
 * Buck's four-constant form: as near to the reference curves as forms with six constants, and its inverse is
 * closed. Water −80 to 100 °C, ice −80 to 0 °C.
 *
 * Checked against IAPWS-95 above 0 °C and Murphy & Koop (2005) below: −0.05 to 0 % at 0 to 60 °C, up to
 * +0.06 % at −20 °C and +0.35 % at −40 °C. Ice against IAPWS R14-08: 0 to +0.05 % at −60 to 0 °C. Wider than
 * that the fit was not published for: −0.11 % at 100 °C against `hylandWexler`, but +3 % at −60 °C and +7 % at
 * −80 °C over water (dew point 0.2 K low at −60 °C), and +0.1 % at −80 °C over ice.
 * @example buck1996.water(25) // 31.69; the ASHRAE 2017 table has 31.697
 */
export const buck1996: SaturationFormula = bounded({
  name: 'buck1996',
  source: 'A. L. Buck 1981, J. Appl. Meteor. 20, with the constants of 1996',
  waterRange: WATER_RANGE,
  iceRange: ICE_RANGE,
  water: (t) => pressure(t, WATER),
  ice: (t) => pressure(t, ICE),
  dewPoint: (e) => temperature(e, WATER),
  frostPoint: (e) => temperature(e, ICE),
  slopeWater: (t) => slope(t, WATER),
  slopeIce: (t) => slope(t, ICE),
});
