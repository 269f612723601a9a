import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { defaultAir } from '../../src/psychrometry/airModel.js';
import { quantities } from '../../src/psychrometry/quantities.js';
import { between, humidities, pressures, REPEATABLE, temperatures } from './laws.js';

describe('the table of quantities', () => {
  it('has the columns of the contract, with their CF standard names', () => {
    const names = Object.fromEntries(quantities.map(({ column, standardName }) => [column, standardName]));
    expect(names).toMatchObject({
      dew_point_temperature_degC: 'dew_point_temperature',
      frost_point_temperature_degC: null,
      wet_bulb_temperature_degC: 'wet_bulb_temperature',
      vapour_pressure_hPa: 'water_vapor_partial_pressure_in_air',
      saturation_deficit_hPa: 'water_vapor_saturation_deficit_in_air',
      absolute_humidity_g_m3: 'mass_concentration_of_water_vapor_in_air',
      mixing_ratio_g_kg: 'humidity_mixing_ratio',
      specific_humidity_g_kg: 'specific_humidity',
      specific_enthalpy_kJ_kg: 'specific_enthalpy_of_air',
      air_density_kg_m3: 'air_density',
      heat_index_degC: 'heat_index_of_air_temperature',
      humidex: null,
    });
  });

  it('has columns that are the name and the unit', () => {
    const suffixes: Record<string, string> = {
      degC: '_degC',
      hPa: '_hPa',
      '%': '_pct',
      'g m-3': '_g_m3',
      'g kg-1': '_g_kg',
      'kJ kg-1': '_kJ_kg',
      'm3 kg-1': '_m3_kg',
      'kg m-3': '_kg_m3',
      '1': '',
    };
    for (const { name, column, unit } of quantities) expect(column).toBe(name + suffixes[unit]);
    expect(new Set(quantities.map(({ name }) => name)).size).toBe(quantities.length);
  });
});

// Values at 20 °C, 60 % and, for what exists in frost only, at −10 °C, 70 %: taken from the reference tables
// (real gas; dew and frost point; saturation pressures) or, for the last two, from their formulas by hand.
describe.each([
  { name: 'dew_point_temperature', t: 20, u: 60, value: 12.008, within: 0.015 },
  { name: 'frost_point_temperature', t: -10, u: 60, value: -14.575, within: 0.015 },
  { name: 'wet_bulb_temperature', t: 20, u: 60, value: 15.138, within: 0.03 },
  { name: 'vapour_pressure', t: 20, u: 60, value: 14.036, within: 0.008 },
  { name: 'saturation_vapour_pressure', t: 20, u: 60, value: 23.393, within: 0.012 },
  { name: 'saturation_vapour_pressure_over_ice', t: -10, u: 70, value: 2.5987, within: 0.002 },
  { name: 'saturation_deficit', t: 20, u: 60, value: 9.357, within: 0.005 },
  { name: 'relative_humidity_over_ice', t: -10, u: 90.7, value: 100, within: 0.1 },
  { name: 'absolute_humidity', t: 20, u: 60, value: 10.421, within: 0.016 },
  { name: 'mixing_ratio', t: 20, u: 60, value: 8.773, within: 0.009 },
  { name: 'specific_humidity', t: 20, u: 60, value: 8.697, within: 0.009 },
  { name: 'specific_enthalpy', t: 20, u: 60, value: 42.375, within: 0.073 },
  { name: 'specific_volume', t: 20, u: 60, value: 0.84183, within: 0.000_84 },
  { name: 'air_density', t: 20, u: 60, value: 1.198_3, within: 0.001_2 },
  { name: 'heat_index', t: 20, u: 60, value: 19.6, within: 0.05 },
  { name: 'humidex', t: 30, u: 70, value: 41.2, within: 0.05 },
])('$name', ({ name, t, u, value, within }) => {
  const quantity = quantities.find((candidate) => candidate.name === name)!;
  const of = (temperature: number, humidity: number, pressure = 1013.25) =>
    quantity.of(temperature, humidity, pressure, defaultAir);

  it(`is ${value} ${quantity.unit} at ${t} °C, ${u} %`, () => {
    expect(Math.abs(of(t, u) - value)).toBeLessThanOrEqual(within);
  });

  it('is printed to the last digit that a sensor of ±0.5 K and ±3 % supports, and one more', () => {
    const byTemperature = (of(t + 0.01, u) - of(t - 0.01, u)) / 0.02;
    const byHumidity = (of(t, u + 0.01) - of(t, u - 0.01)) / 0.02;
    const uncertainty = Math.hypot(byTemperature * 0.5, byHumidity * 3) / Math.sqrt(3);
    // The indices of comfort are models good to ±0.7 K: one digit less.
    const models = ['heat_index', 'humidex'].includes(name) ? 1 : 0;
    expect(quantity.decimals).toBe(1 - Math.floor(Math.log10(uncertainty)) - models);
  });

  it('is NaN without temperature, and without humidity unless it is independent of it', () => {
    expect(of(Number.NaN, u)).toBeNaN();
    if (quantity.trend.humidity !== 0) expect(of(t, Number.NaN)).toBeNaN();
  });

  it('is a finite number or NaN, never infinite, for anything a log may hold', () => {
    const anything = fc.oneof(fc.double(), between(-150, 150), fc.constantFrom(0, -0, 100, -40));
    fc.assert(
      fc.property(anything, anything, fc.oneof(anything, pressures), (temperature, humidity, pressure) => {
        expect([Infinity, -Infinity]).not.toContain(of(temperature, humidity, pressure));
      }),
      REPEATABLE,
    );
  });

  it('follows its trend in temperature and in humidity', () => {
    // The heat index falls by up to 0.25 K where the regression takes over in dry air.
    const slack = name === 'heat_index' ? 0.25 : 1e-9;
    const follows = (lower: number, upper: number, sign: number) => {
      if (Number.isNaN(lower) || Number.isNaN(upper)) return;
      if (sign === 0) expect(upper).toBe(lower);
      else expect(sign * (upper - lower)).toBeGreaterThanOrEqual(-slack);
    };
    fc.assert(
      fc.property(
        temperatures,
        temperatures,
        humidities,
        humidities,
        pressures,
        (t1, t2, u1, u2, pressure) => {
          const { trend } = quantity;
          follows(of(Math.min(t1, t2), u1, pressure), of(Math.max(t1, t2), u1, pressure), trend.temperature);
          follows(of(t1, Math.min(u1, u2), pressure), of(t1, Math.max(u1, u2), pressure), trend.humidity);
        },
      ),
      REPEATABLE,
    );
  });
});

it('every quantity of the table has its value tested above', () => {
  expect(quantities).toHaveLength(16);
});
