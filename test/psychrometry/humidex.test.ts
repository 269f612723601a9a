import { describe, expect, it } from 'vitest';
import { humidex, humidexFromDewPoint } from '../../src/psychrometry/humidex.js';
import { reference } from './reference.js';

const rows = reference<
  'temperature_degC' | 'relative_humidity_pct' | 'dew_point_degC' | 'humidex' | 'within'
>('humidex', 59);

describe('humidex', () => {
  it.each(rows)('$temperature_degC °C, dew point $dew_point_degC °C → $humidex ($provenance)', (row) => {
    const ours = humidexFromDewPoint(row.temperature_degC, row.dew_point_degC);
    expect(Math.abs(ours - row.humidex)).toBeLessThanOrEqual(row.within);
  });

  it.each(rows)('$temperature_degC °C, $relative_humidity_pct % → $humidex', (row) => {
    // A dew point from the humidity instead: its rounding and another formula cost 0.01 K, 0.01 of humidex.
    const ours = humidex(row.temperature_degC, row.relative_humidity_pct);
    expect(Math.abs(ours - row.humidex)).toBeLessThanOrEqual(row.within + 0.01);
  });

  it('is reported from 20 °C, and where it adds 1 or more', () => {
    expect(humidex(19.9, 95)).toBeNaN();
    expect(humidex(20, 95)).toBeGreaterThan(21);
    expect(humidex(25, 30)).toBeNaN();
    // The vapour pressure that adds exactly 1 is 10 + 1/0.5555 hPa, 38.7 % at 24.5 °C or so.
    const added = (u: number) => humidex(24.5, u) - 24.5;
    expect(added(38)).toBeNaN();
    expect(added(39)).toBeGreaterThanOrEqual(1);
    expect(added(39)).toBeLessThan(1.2);
  });

  it('is NaN without temperature or humidity, and in dry air', () => {
    expect(humidex(Number.NaN, 50)).toBeNaN();
    expect(humidex(30, Number.NaN)).toBeNaN();
    expect(humidex(30, 0)).toBeNaN();
  });
});
