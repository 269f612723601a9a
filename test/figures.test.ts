import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fixed, rounded } from '../src/figures.js';

describe('rounded', () => {
  it.each([
    { value: 1.005, decimals: 2, result: 1.01, why: 'the double is below the half that is printed' },
    { value: 8.345, decimals: 2, result: 8.35, why: 'the double is above the half' },
    { value: 0.285, decimals: 2, result: 0.29, why: 'scaling gives 28.499999999999996' },
    { value: 1.45, decimals: 1, result: 1.5, why: 'toFixed gives 1.4' },
    { value: -2.5, decimals: 0, result: -3, why: 'halves go away from zero on both sides' },
    { value: 2.5, decimals: 0, result: 3, why: 'halves go away from zero' },
    { value: 0.49999999999999994, decimals: 0, result: 0, why: 'just below a half, and printed so' },
    { value: 2.4999999999, decimals: 0, result: 2, why: 'below a half' },
    { value: 0.1 + 0.2, decimals: 12, result: 0.3, why: 'noise in the last place goes' },
    { value: 5e-8, decimals: 7, result: 1e-7, why: 'a number printed with an exponent' },
    { value: 4e-8, decimals: 7, result: 0, why: 'a number printed with an exponent' },
    { value: 1e300, decimals: 2, result: 1e300, why: 'nothing to round' },
  ])('$value to $decimals places is $result: $why', ({ value, decimals, result }) => {
    expect(rounded(value, decimals)).toBe(result);
  });

  it.each([-0, -0.04, -1e-300])('never gives minus zero: %d', (value) => {
    expect(rounded(value, 1)).toBe(0);
  });

  it('leaves NaN and the infinities as they are', () => {
    expect([NaN, Infinity, -Infinity].map((value) => rounded(value, 1))).toEqual([NaN, Infinity, -Infinity]);
  });

  // Up to a million, as every quantity here is far below it.
  const values = fc.double({ min: -1e6, max: 1e6, noNaN: true });
  const places = fc.integer({ min: 0, max: 6 });

  it('moves a value by half a place at the most, and prints with no more places', () => {
    fc.assert(
      fc.property(values, places, (value, decimals) => {
        const result = rounded(value, decimals);
        // 1e-9: the subtraction itself rounds at a million.
        expect(Math.abs(result - value)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-9);
        expect(result).toBe(Number(result.toFixed(decimals)));
      }),
    );
  });

  it('agrees with rounding the printed digits by hand', () => {
    const halves = fc.tuple(fc.integer({ min: 0, max: 1e9 }), places, fc.integer({ min: 0, max: 9 }));
    fc.assert(
      fc.property(halves, ([whole, decimals, next]) => {
        const value = Number(`${whole}${next}e-${decimals + 1}`);
        const byHand = Number(`${next >= 5 ? whole + 1 : whole}e-${decimals}`);
        expect(rounded(value, decimals)).toBe(byHand);
        expect(rounded(-value, decimals)).toBe(byHand === 0 ? 0 : -byHand);
      }),
      { numRuns: 1000 },
    );
  });

  it('changes nothing the second time', () => {
    fc.assert(
      fc.property(values, places, (value, decimals) => {
        const once = rounded(value, decimals);
        expect(rounded(once, decimals)).toBe(once);
      }),
    );
  });
});

describe('fixed', () => {
  it.each([
    { value: 21.3, decimals: 2, text: '21.30' },
    { value: -0.04, decimals: 1, text: '0.0' },
    { value: -0, decimals: 0, text: '0' },
    { value: 1.005, decimals: 2, text: '1.01' },
    { value: -3.25, decimals: 1, text: '-3.3' },
    { value: 1234567.8, decimals: 1, text: '1234567.8' },
    { value: 19.999, decimals: 1, text: '20.0' },
    { value: NaN, decimals: 1, text: '' },
    { value: null, decimals: 1, text: '' },
    { value: Infinity, decimals: 1, text: '' },
  ])('$value with $decimals places is "$text"', ({ value, decimals, text }) => {
    expect(fixed(value, decimals)).toBe(text);
  });
});
