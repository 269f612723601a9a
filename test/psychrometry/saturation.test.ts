import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { magnusWmo } from '../../src/psychrometry/magnusWmo.js';
import type { SaturationFormula } from '../../src/psychrometry/saturationFormula.js';
import { between, REPEATABLE } from './laws.js';
import { reference } from './reference.js';
import { grid, psychrolib, worst } from './secondOpinion.js';

const formulas = [buck1996, hylandWexler, magnusWmo];

type Columns = 'temperature_degC' | 'pressure_Pa' | 'within_relative' | 'within_relative_magnus_wmo';
const overWater = reference<Columns>('saturation_vapour_pressure_water', 79);
const overIce = reference<Columns>('saturation_vapour_pressure_ice', 32);

/** The tables have a tolerance of their own for Magnus, which is the coarser fit. */
const allowed = (row: (typeof overWater)[number], name: string) =>
  name === 'magnusWmo' ? row.within_relative_magnus_wmo : row.within_relative;

describe.each(formulas)('$name agrees with the published values', (formula) => {
  it.each(overWater)('over water at $temperature_degC °C: $pressure_Pa Pa ($provenance)', (row) => {
    const relative = (100 * formula.water(row.temperature_degC)) / row.pressure_Pa - 1;
    expect(Math.abs(relative)).toBeLessThanOrEqual(allowed(row, formula.name));
  });

  it.each(overIce)('over ice at $temperature_degC °C: $pressure_Pa Pa ($provenance)', (row) => {
    const relative = (100 * formula.ice(row.temperature_degC)) / row.pressure_Pa - 1;
    expect(Math.abs(relative)).toBeLessThanOrEqual(allowed(row, formula.name));
  });
});

describe('against psychrolib, which has Hyland & Wexler 1983', () => {
  const apartOverWater = (formula: SaturationFormula) => (t: number) =>
    Math.abs((100 * formula.water(t)) / psychrolib.GetSatVapPres(t) - 1);
  const apartOverIce = (formula: SaturationFormula) => (t: number) =>
    Math.abs((100 * formula.ice(t)) / psychrolib.GetSatVapPres(t) - 1);

  it('hylandWexler is the same, over water from 0.02 to 100 °C and over ice from −100 °C', () => {
    // Only rounding: the coefficients are the same, written by other hands.
    expect(worst([0.02, ...grid(0.5, 100, 0.5)].map(apartOverWater(hylandWexler)))).toBeLessThan(1e-9);
    expect(worst([...grid(-100, -0.5, 0.5), -0.01].map(apartOverIce(hylandWexler)))).toBeLessThan(1e-9);
  });

  it.each([
    { why: 'where sensors work', first: 0.25, last: 80, within: 0.000_25 },
    { why: 'above the published fit', first: 80, last: 100, within: 0.001_1 },
  ])('buck1996 over water $why within $within', ({ first, last, within }) => {
    expect(worst(grid(first, last, 0.25).map(apartOverWater(buck1996)))).toBeLessThan(within);
  });

  it.each([
    { first: -60, last: -0.25, within: 0.000_3 },
    { first: -80, last: -60, within: 0.001_1 },
  ])('buck1996 over ice, $first to $last °C, within $within', ({ first, last, within }) => {
    expect(worst(grid(first, last, 0.25).map(apartOverIce(buck1996)))).toBeLessThan(within);
  });
});

describe.each(formulas)('$name', (formula) => {
  const [coldest, hottest] = formula.waterRange;
  const [coldestIce] = formula.iceRange;
  const inWater = between(coldest, hottest);
  const inIce = between(coldestIce, -0.001);

  it('gives back the temperature that a saturation pressure was made from', () => {
    fc.assert(
      fc.property(inWater, inIce, (t, tIce) => {
        expect(formula.dewPoint(formula.water(t))).toBeCloseTo(t, 9);
        expect(formula.frostPoint(formula.ice(tIce))).toBeCloseTo(tIce, 9);
      }),
      REPEATABLE,
    );
  });

  it('has slopes that are those of its curves', () => {
    const step = 0.001;
    const numeric = (curve: (t: number) => number, t: number) =>
      Math.log(curve(t + step) / curve(t - step)) / (2 * step);
    // Not at 0 °C, where hylandWexler passes from one curve to the other.
    const water = grid(coldest + 0.25, hottest - 0.25, 0.5);
    const ice = grid(coldestIce + 0.25, -0.25, 0.5);
    expect(
      worst(water.map((t) => Math.abs(formula.slopeWater(t) / numeric(formula.water, t) - 1))),
    ).toBeLessThan(1e-7);
    expect(worst(ice.map((t) => Math.abs(formula.slopeIce(t) / numeric(formula.ice, t) - 1)))).toBeLessThan(
      1e-7,
    );
  });

  it('rises with temperature over the whole range, and lies lower over ice', () => {
    const water = grid(coldest, hottest, 0.125);
    const ice = grid(coldestIce, 0, 0.125);
    const falls = (curve: (t: number) => number) => (t: number, index: number, all: number[]) =>
      index > 0 && !(curve(t) > curve(all[index - 1]!));
    expect(water.filter(falls(formula.water))).toEqual([]);
    expect(ice.filter(falls(formula.ice))).toEqual([]);
    expect(ice.filter((t) => t >= coldest && !(formula.ice(t) < formula.water(t) * 1.000_001))).toEqual([]);
  });

  it('has no step at 0 °C', () => {
    expect(formula.water(-1e-9) / formula.water(0)).toBeCloseTo(1, 9);
    expect(formula.slopeWater(-1e-9) / formula.slopeWater(0)).toBeCloseTo(1, 2);
  });

  it('answers at both ends of its ranges and NaN beyond', () => {
    expect(formula.dewPoint(formula.water(coldest))).toBeCloseTo(coldest, 9);
    expect(formula.dewPoint(formula.water(hottest))).toBeCloseTo(hottest, 9);
    for (const t of [coldest - 0.01, hottest + 0.01, Number.NaN, Infinity, -Infinity]) {
      expect(formula.water(t)).toBeNaN();
      expect(formula.slopeWater(t)).toBeNaN();
    }
    for (const t of [coldestIce - 0.01, 0.01, Number.NaN, Infinity, -Infinity]) {
      expect(formula.ice(t)).toBeNaN();
      expect(formula.slopeIce(t)).toBeNaN();
    }
  });

  it('has no dew point for no vapour, and no frost point at 0 °C or above', () => {
    for (const e of [0, -1, 1e-9, 5000, Number.NaN, Infinity]) {
      expect(formula.dewPoint(e)).toBeNaN();
      expect(formula.frostPoint(e)).toBeNaN();
    }
    expect(formula.frostPoint(formula.ice(0))).toBeNaN();
    expect(formula.frostPoint(formula.ice(0) * (1 - 1e-9))).toBeCloseTo(0, 6);
  });
});
