import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Accuracy } from '../../src/log/sensor.js';
import { defaultAir } from '../../src/psychrometry/airModel.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { magnusWmo } from '../../src/psychrometry/magnusWmo.js';
import { type Quantity, quantities } from '../../src/psychrometry/quantities.js';
import {
  dewPointPerKelvin,
  dewPointPerPercent,
  dewPointUncertainty,
  firstOrderHolds,
  interval,
} from '../../src/psychrometry/uncertainty.js';
import { between, humidities, pressures, REPEATABLE, temperatures } from './laws.js';
import { reference } from './reference.js';

const quantityOf = (name: string): Quantity => quantities.find((quantity) => quantity.name === name)!;
const dewPoint = quantityOf('dew_point_temperature');

const rows = reference<
  | 'temperature_degC'
  | 'relative_humidity_pct'
  | 'limit_temperature_K'
  | 'limit_relative_humidity_pct'
  | 'dew_point_degC'
  | 'd_dew_point_d_temperature'
  | 'd_dew_point_d_relative_humidity_K_per_pct'
  | 'standard_uncertainty_first_order_K'
  | 'standard_uncertainty_monte_carlo_K'
  | 'worst_case_low_K'
  | 'worst_case_high_K'
  | 'within_first_order_K'
>('dew_point_uncertainty', 15);
type Row = (typeof rows)[number];

const limitsOf = (row: Row): Accuracy => ({
  temperature: row.limit_temperature_K,
  humidity: row.limit_relative_humidity_pct,
});

describe.each(rows)(
  '$temperature_degC °C ± $limit_temperature_K, $relative_humidity_pct % ± $limit_relative_humidity_pct',
  (row) => {
    const { temperature_degC: t, relative_humidity_pct: u } = row;
    const limits = limitsOf(row);

    it('has the sensitivities of the table, to its last digit', () => {
      expect(dewPointPerKelvin(t, u)).toBeCloseTo(row.d_dew_point_d_temperature, 4);
      expect(dewPointPerPercent(t, u)).toBeCloseTo(row.d_dew_point_d_relative_humidity_K_per_pct, 4);
    });

    it.each([buck1996, hylandWexler, magnusWmo])(
      'has the standard uncertainty of the table, $name',
      (formula) => {
        const ours = dewPointUncertainty(t, u, limits, formula);
        expect(Math.abs(ours - row.standard_uncertainty_first_order_K)).toBeLessThanOrEqual(
          row.within_first_order_K,
        );
      },
    );

    it('has the worst case of the table, to its last digit', () => {
      const { low, high } = interval(dewPoint, t, u, 1013.25, defaultAir, limits);
      expect(low - row.dew_point_degC).toBeCloseTo(row.worst_case_low_K, 2.9);
      expect(high - row.dew_point_degC).toBeCloseTo(row.worst_case_high_K, 2.9);
    });

    it('agrees with Monte Carlo where first order may be used', () => {
      const error = row.standard_uncertainty_first_order_K - row.standard_uncertainty_monte_carlo_K;
      // 0.002 K is the noise of the draws.
      if (firstOrderHolds(u, limits)) expect(Math.abs(error)).toBeLessThanOrEqual(0.001 + 0.002);
    });
  },
);

describe('first order', () => {
  it('is refused for the rows where the humidity is uncertain by more than 8 % of itself', () => {
    const refused = rows.filter((row) => !firstOrderHolds(row.relative_humidity_pct, limitsOf(row)));
    expect(refused.map((row) => row.relative_humidity_pct)).toEqual([20, 8]);
  });

  it('is refused for no humidity', () => {
    expect(firstOrderHolds(0, { temperature: 0.3, humidity: 2 })).toBe(false);
    expect(firstOrderHolds(Number.NaN, { temperature: 0.3, humidity: 2 })).toBe(false);
  });

  it('has the sensitivities that differences give', () => {
    fc.assert(
      fc.property(between(-30, 60), between(5, 99), (t, u) => {
        const of = (temperature: number, humidity: number) =>
          dewPoint.of(temperature, humidity, 1000, defaultAir);
        expect(dewPointPerKelvin(t, u)).toBeCloseTo((of(t + 0.01, u) - of(t - 0.01, u)) / 0.02, 5);
        expect(dewPointPerPercent(t, u)).toBeCloseTo((of(t, u + 0.01) - of(t, u - 0.01)) / 0.02, 4);
      }),
      REPEATABLE,
    );
  });

  it('is NaN where there is no dew point', () => {
    const limits = { temperature: 0.3, humidity: 2 };
    expect(dewPointUncertainty(20, 0, limits)).toBeNaN();
    expect(dewPointUncertainty(Number.NaN, 50, limits)).toBeNaN();
    expect(dewPointUncertainty(20, 105, limits)).toBeNaN();
  });
});

describe('worst-case interval', () => {
  const limits: Accuracy = { temperature: 0.5, humidity: 3 };

  it.each(quantities)('of $name spans its four corners and the value', (quantity) => {
    // The heat index has a fall of 0.25 K, beside which its ends are not at the corners.
    const slack = quantity.name === 'heat_index' ? 0.25 : 1e-9;
    let compared = 0;
    fc.assert(
      fc.property(temperatures, humidities, pressures, (t, u, p) => {
        const value = quantity.of(t, u, p, defaultAir);
        const corners = [-1, 1].flatMap((dt) =>
          [-1, 1].map((du) => {
            const humidity = Math.min(100, Math.max(0, u + du * limits.humidity));
            return quantity.of(t + dt * limits.temperature, humidity, p, defaultAir);
          }),
        );
        const least = Math.min(value, ...corners);
        const most = Math.max(value, ...corners);
        if (Number.isNaN(least)) return;
        const { low, high } = interval(quantity, t, u, p, defaultAir, limits);
        expect(low).toBeLessThanOrEqual(value);
        expect(high).toBeGreaterThanOrEqual(value);
        expect(low).toBeLessThanOrEqual(least + slack);
        expect(high).toBeGreaterThanOrEqual(most - slack);
        expect(low).toBeGreaterThanOrEqual(least);
        expect(high).toBeLessThanOrEqual(most);
        compared++;
      }),
      REPEATABLE,
    );
    expect(compared).toBeGreaterThan(100);
  });

  it.each([99, 100, 103.5])('cannot pass 100 %%, from a reading of %d %%', (u) => {
    const { high } = interval(dewPoint, 20, u, 1013.25, defaultAir, limits);
    expect(high).toBeCloseTo(20.5, 9);
  });

  it('has no lower end where the humidity may be 0, and keeps the upper one', () => {
    const { low, high } = interval(dewPoint, 25, 2, 1013.25, defaultAir, limits);
    expect(low).toBeNaN();
    expect(high).toBeCloseTo(dewPoint.of(25.5, 5, 1013.25, defaultAir), 9);
  });

  it('has no upper end for a frost point that may lie above 0 °C', () => {
    const { low, high } = interval(quantityOf('frost_point_temperature'), 5, 68, 1013.25, defaultAir, limits);
    expect(low).toBeLessThan(-0.5);
    expect(high).toBeNaN();
  });

  it('is NaN at both ends where the value itself is', () => {
    for (const [t, u] of [
      [20, Number.NaN],
      [Number.NaN, 50],
      [20, 0],
      [20, 105],
    ] as const) {
      expect(interval(dewPoint, t, u, 1013.25, defaultAir, limits)).toEqual({
        low: Number.NaN,
        high: Number.NaN,
      });
    }
  });

  it('takes the limits of a saturation pressure from the temperature alone', () => {
    const saturation = quantityOf('saturation_vapour_pressure');
    const { low, high } = interval(saturation, 20, 60, 1013.25, defaultAir, limits);
    expect([low, high]).toEqual([buck1996.water(19.5), buck1996.water(20.5)]);
  });
});
