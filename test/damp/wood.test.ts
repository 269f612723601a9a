import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { equilibriumMoisture } from '../../src/damp/wood.js';
import { reference } from '../psychrometry/reference.js';

const table = reference<
  'temperature_degC' | 'relative_humidity_pct' | 'published_pct' | 'equation_pct' | 'within_pct',
  'source'
>('wood_emc', 211);

describe('equilibriumMoisture', () => {
  it.each(table)('at $temperature_degC °C and $relative_humidity_pct %: $published_pct ($source)', (row) => {
    const ours = equilibriumMoisture(row.temperature_degC, row.relative_humidity_pct);
    expect(Math.abs(ours - row.published_pct)).toBeLessThanOrEqual(row.within_pct);
    // Half a unit of the third decimal, and what four decimals of the temperature hide.
    expect(Math.abs(ours - row.equation_pct)).toBeLessThanOrEqual(0.0006);
  });

  it('rises with humidity and lies between 0 and 30 %', () => {
    fc.assert(
      fc.property(fc.integer({ min: -10, max: 1300 }), fc.integer({ min: 0, max: 989 }), (t, u) => {
        const drier = equilibriumMoisture(t / 10, u / 10);
        expect(equilibriumMoisture(t / 10, (u + 1) / 10)).toBeGreaterThan(drier);
        expect(drier).toBeGreaterThanOrEqual(0);
        expect(drier).toBeLessThan(30);
      }),
    );
  });

  it.each([
    { why: 'colder than the table', t: -1.2, u: 50 },
    { why: 'hotter than the table', t: 133, u: 50 },
    { why: 'nearly saturated', t: 20, u: 99.1 },
    { why: 'a negative humidity', t: 20, u: -0.1 },
    { why: 'a missing temperature', t: NaN, u: 50 },
    { why: 'a missing humidity', t: 20, u: NaN },
  ])('has no answer for $why', ({ t, u }) => {
    expect(equilibriumMoisture(t, u)).toBeNaN();
  });

  it('has it right where copies are wrong', () => {
    // The same equation with what the copies change: a coefficient of K, and the scale of t.
    const copy = (t: number, u: number, square: number) => {
      const w = 349 + 1.29 * t + 0.0135 * t * t;
      const kh = ((0.805 + 0.000736 * t - square * t * t) * u) / 100;
      const k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
      const second = k1 * (1.91 + 0.0407 * t - 0.000293 * t * t) * kh * kh;
      return (1800 / w) * (kh / (1 - kh) + (k1 * kh + 2 * second) / (1 + k1 * kh + second));
    };
    expect(copy(60, 80, 2.73e-6)).toBeCloseTo(equilibriumMoisture(60, 80), 9);
    expect(Math.abs(copy(60, 80, 2.73e-7) - 13.56)).toBeGreaterThan(0.2); //     −2.73e-7 for −2.73e-6
    expect(Math.abs(copy(68, 65, 2.73e-6) - 12.0)).toBeGreaterThan(1); //        20 °C put in as 68 °F
    expect(Math.abs(equilibriumMoisture(43.3333, 20) - 3.0)).toBeGreaterThan(1); // 3.0 misprinted for 4.0
  });
});
