import { describe, expect, it } from 'vitest';
import { heatIndex, heatIndexRegression } from '../../src/psychrometry/heatIndex.js';
import { reference } from './reference.js';

const rows = reference<
  | 'temperature_degF'
  | 'relative_humidity_pct'
  | 'heat_index_degF'
  | 'nws_algorithm_degF'
  | 'within_degF'
  | 'within_degF_plain_regression',
  'branch' | 'provenance'
>('heat_index', 154);

const celsius = (fahrenheit: number) => (fahrenheit - 32) / 1.8;
const fahrenheit = (celsius: number) => celsius * 1.8 + 32;

describe('heat index', () => {
  it.each(rows)('$temperature_degF °F, $relative_humidity_pct % → $nws_algorithm_degF °F', (row) => {
    const ours = fahrenheit(heatIndex(celsius(row.temperature_degF), row.relative_humidity_pct));
    expect(Math.abs(ours - row.nws_algorithm_degF)).toBeLessThanOrEqual(0.001);
    expect(Math.abs(ours - row.heat_index_degF)).toBeLessThanOrEqual(row.within_degF);
  });

  const chart = rows.filter((row) => !Number.isNaN(row.within_degF_plain_regression));
  it('has 135 cells of the chart to compare with', () => expect(chart).toHaveLength(135));
  it.each(chart)('chart: $temperature_degF °F, $relative_humidity_pct % → $heat_index_degF °F', (row) => {
    const ours = fahrenheit(heatIndexRegression(celsius(row.temperature_degF), row.relative_humidity_pct));
    expect(Math.abs(ours - row.heat_index_degF)).toBeLessThanOrEqual(row.within_degF_plain_regression);
  });

  // The jump where the regression takes over, known and not smoothed; printed to 0.1 °F.
  it.each([
    { u: 20, jump: -0.4 },
    { u: 40, jump: 0.3 },
    { u: 60, jump: 1.3 },
    { u: 80, jump: 2.1 },
    { u: 100, jump: 2.2 },
  ])('jumps by $jump °F at $u %', ({ u, jump }) => {
    const change = (160 + 10.3 - 0.047 * u) / 2.1; // °F where simple form and temperature average 80
    const step =
      fahrenheit(heatIndex(celsius(change + 1e-6), u)) - fahrenheit(heatIndex(celsius(change - 1e-6), u));
    expect(step).toBeCloseTo(jump, 1);
  });

  it.each([
    { why: 'too cold to have a meaning', t: 9.9, u: 50 },
    { why: 'beyond the chart', t: 45, u: 80 },
    { why: 'no temperature', t: Number.NaN, u: 50 },
    { why: 'no humidity', t: 30, u: Number.NaN },
    { why: 'a humidity above 104 %', t: 30, u: 104.5 },
  ])('$why → NaN', ({ t, u }) => {
    expect(heatIndex(t, u)).toBeNaN();
  });

  it('takes a reading of 103 % for 100 %', () => {
    expect(heatIndex(30, 103)).toBe(heatIndex(30, 100));
  });
});
