import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  coldestAllowed,
  requiredFactor,
  standardDewPoint,
  standardSaturation,
  wallHumidity,
  wallTemperature,
} from '../../src/damp/temperatureFactor.js';
import { reference } from '../psychrometry/reference.js';

const checks = reference<'expected' | 'tolerance', 'check_id' | 'inputs' | 'quantity'>(
  'temperature_factor_checks',
  25,
);

type Inputs = Readonly<Record<string, number>>;
const HUNDRED = 100; // Pa in a hPa

const computed: Readonly<Record<string, (inputs: Inputs) => number>> = {
  psat: ({ T }) => HUNDRED * standardSaturation(T!),
  pv: ({ T, RH }) => RH! * standardSaturation(T!),
  Tdew: ({ T, RH }) => standardDewPoint((RH! / 100) * standardSaturation(T!)),
  Tsi: ({ Ti, Te, fRsi }) => wallTemperature(Ti!, Te!, fRsi!),
  RH_surface: ({ Ti, RHi, Te, fRsi }) => wallHumidity(Ti!, RHi!, Te!, fRsi!),
  Tsi_min: ({ Ti, RHi }) => coldestAllowed(Ti!, RHi!),
  fRsi_min: ({ Ti, RHi, Te }) => requiredFactor(Ti!, RHi!, Te!),
};

describe('worked values of ISO 13788', () => {
  it.each(checks)('$check_id: $expected within $tolerance', ({ inputs, quantity, expected, tolerance }) => {
    const given = Object.fromEntries(
      inputs.split(';').map((input) => {
        const [name, value] = input.split('=');
        return [name!, Number.parseFloat(value!)] as const;
      }),
    );
    expect(Math.abs(computed[quantity]!(given) - expected)).toBeLessThanOrEqual(tolerance);
  });

  it('would not be met below 0 °C with 267.5, as misprinted', () => {
    const misprinted = 610.5 * Math.exp((21.875 * -10) / (267.5 - 10));
    expect(Math.abs(misprinted - 259.33)).toBeGreaterThan(1);
  });
});

describe('temperature factor', () => {
  const celsius = (min: number, max: number) =>
    fc.integer({ min: 10 * min, max: 10 * max }).map((tenths) => tenths / 10);
  const humidity = fc.integer({ min: 50, max: 1000 }).map((tenths) => tenths / 10);

  it('that is required leaves exactly the limit at the wall, where a wall can', () => {
    fc.assert(
      fc.property(
        celsius(10, 30),
        celsius(-30, 9),
        humidity,
        fc.integer({ min: 60, max: 100 }),
        (inside, outside, damp, limit) => {
          const factor = requiredFactor(inside, damp, outside, limit);
          fc.pre(factor >= 0 && factor <= 1);
          expect(wallHumidity(inside, damp, outside, factor)).toBeCloseTo(limit, 3);
        },
      ),
    );
  });

  it('leaves a drier wall the higher it is, if it is colder outside', () => {
    fc.assert(
      fc.property(
        celsius(10, 30),
        celsius(-30, 9),
        humidity,
        fc.nat(99),
        (inside, outside, damp, percent) => {
          const worse = wallHumidity(inside, damp, outside, percent / 100);
          const better = wallHumidity(inside, damp, outside, (percent + 1) / 100);
          expect(better).toBeLessThan(worse);
        },
      ),
    );
  });

  it('the dew point gives back the temperature, over water and over ice', () => {
    fc.assert(
      fc.property(celsius(-80, 100), (t) => {
        expect(standardDewPoint(standardSaturation(t))).toBeCloseTo(t, 9);
      }),
    );
  });

  it.each([
    { why: 'a factor below 0', value: wallTemperature(20, 0, -0.1) },
    { why: 'a factor above 1', value: wallHumidity(20, 50, 0, 1.1) },
    { why: 'no colder outside', value: requiredFactor(20, 50, 20) },
    { why: 'a limit of 0', value: coldestAllowed(20, 50, 0) },
    { why: 'a broken humidity', value: coldestAllowed(20, 120) },
    { why: 'air too hot', value: standardSaturation(101) },
    { why: 'air too cold', value: standardSaturation(-81) },
    { why: 'no vapour at all', value: standardDewPoint(0) },
    { why: 'a missing reading', value: wallHumidity(NaN, 50, 0, 0.7) },
  ])('$why has no answer', ({ value }) => {
    expect(value).toBeNaN();
  });
});
