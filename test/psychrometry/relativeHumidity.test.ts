import { describe, expect, it } from 'vitest';
import { effectiveHumidity, relativeHumidityOverIce } from '../../src/psychrometry/relativeHumidity.js';
import { saturationDeficit, vapourPressure } from '../../src/psychrometry/vapourPressure.js';

describe('the humidity that derived quantities are computed with', () => {
  it.each([
    { u: 0, effective: 0 },
    { u: 55.5, effective: 55.5 },
    { u: 100, effective: 100 },
    { u: 100.1, effective: 100 },
    { u: 104, effective: 100 },
    { u: 104.01, effective: Number.NaN },
    { u: -0.01, effective: Number.NaN },
    { u: Number.NaN, effective: Number.NaN },
    { u: Infinity, effective: Number.NaN },
  ])('a reading of $u % counts as $effective', ({ u, effective }) => {
    expect(effectiveHumidity(u)).toBe(effective);
  });
});

describe('relative humidity over ice', () => {
  // Ice saturation in % over water, computed from Murphy & Koop 2005 and IAPWS R14-08. Printed to 0.1; from
  // −30 °C the formula's own distance over water (0.15 to 0.35 %) is added.
  it.each([
    { t: -1, u: 99.0, within: 0.1 },
    { t: -5, u: 95.3, within: 0.1 },
    { t: -10, u: 90.7, within: 0.1 },
    { t: -15, u: 86.4, within: 0.1 },
    { t: -20, u: 82.3, within: 0.1 },
    { t: -25, u: 78.3, within: 0.2 },
    { t: -30, u: 74.6, within: 0.3 },
    { t: -35, u: 71.1, within: 0.4 },
    { t: -40, u: 67.9, within: 0.5 },
  ])('is 100 % at $t °C and $u % over water', ({ t, u, within }) => {
    expect(Math.abs(relativeHumidityOverIce(t, u) - 100)).toBeLessThan(within);
  });

  it('may exceed 100 % in the cold, and does not exist above 0 °C', () => {
    expect(relativeHumidityOverIce(-20, 100)).toBeGreaterThan(120);
    expect(relativeHumidityOverIce(0, 100)).toBeCloseTo(100, 1);
    expect(relativeHumidityOverIce(0.1, 80)).toBeNaN();
    expect(relativeHumidityOverIce(-10, 105)).toBeNaN();
  });
});

describe('vapour pressure and saturation deficit', () => {
  it('share the saturation pressure between them', () => {
    for (const u of [0, 20, 55, 100, 103]) {
      expect(vapourPressure(21, u) + saturationDeficit(21, u)).toBeCloseTo(vapourPressure(21, 100), 12);
    }
  });

  it('at 0 % there is no vapour, at 100 % no deficit', () => {
    expect(vapourPressure(20, 0)).toBe(0);
    expect(saturationDeficit(20, 100)).toBe(0);
    expect(saturationDeficit(20, 103)).toBe(0);
  });

  it('at 21 °C and 55 % the deficit is 11.192 hPa', () => {
    // Computed by an independent script with the same formula, printed to 0.1 Pa.
    expect(saturationDeficit(21, 55)).toBeCloseTo(11.192, 3);
  });

  it('are NaN for a state without humidity or temperature', () => {
    expect(vapourPressure(Number.NaN, 0)).toBeNaN();
    expect(vapourPressure(20, Number.NaN)).toBeNaN();
    expect(saturationDeficit(Number.NaN, 100)).toBeNaN();
    expect(saturationDeficit(20, Number.NaN)).toBeNaN();
  });
});
