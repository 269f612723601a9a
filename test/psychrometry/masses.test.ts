import { describe, expect, it } from 'vitest';
import { absoluteHumidity } from '../../src/psychrometry/absoluteHumidity.js';
import { airDensity, specificVolume, volume } from '../../src/psychrometry/airDensity.js';
import { type AirModel, partialPressure, saturationFactor } from '../../src/psychrometry/airModel.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { enthalpy, specificEnthalpy } from '../../src/psychrometry/enthalpy.js';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { humidityRatio, mixingRatio, specificHumidity } from '../../src/psychrometry/mixingRatio.js';
import { reference } from './reference.js';
import { grid, psychrolib, worst } from './secondOpinion.js';

const rows = reference<
  | 'temperature_degC'
  | 'relative_humidity_pct'
  | 'pressure_Pa'
  | 'humidity_ratio_kg_kg'
  | 'specific_enthalpy_J_kg'
  | 'specific_volume_m3_kg'
  | 'absolute_humidity_g_m3'
  | 'within_relative'
  | 'within_relative_without_enhancement'
  | 'within_enthalpy_J_kg'
  | 'within_relative_volume'
  | 'within_relative_absolute_humidity',
  'saturation_phase' | 'basis' | 'provenance'
>('humidity_ratio_enthalpy', 52);

/** Relative distance, 0 where nothing was printed; two zeros agree. */
const apart = (ours: number, printed: number) =>
  Number.isNaN(printed) || ours === printed ? 0 : Math.abs(ours / printed - 1);

describe.each([buck1996, hylandWexler])('with $name', (formula) => {
  it.each(rows)(
    '$temperature_degC °C, $relative_humidity_pct % over $saturation_phase, $pressure_Pa Pa, $basis ($provenance)',
    (row) => {
      const { temperature_degC: t, relative_humidity_pct: u, saturation_phase, basis } = row;
      const model: AirModel = { formula, enhanced: basis === 'real' };
      // One row, an absolute humidity of ideal vapour, is independent of the pressure and prints none.
      const p = Number.isNaN(row.pressure_Pa) ? 1013.25 : row.pressure_Pa / 100;

      const ratioOf = (air: AirModel) =>
        saturation_phase === 'ice'
          ? humidityRatio((saturationFactor(p, air) * u * formula.ice(t)) / 100, p)
          : mixingRatio(t, u, p, air) / 1000;
      const ratio = ratioOf(model);
      if (!Number.isNaN(row.within_relative)) {
        expect(apart(ratio, row.humidity_ratio_kg_kg)).toBeLessThanOrEqual(row.within_relative);
        expect(apart(ratioOf({ formula, enhanced: false }), row.humidity_ratio_kg_kg)).toBeLessThanOrEqual(
          row.within_relative_without_enhancement,
        );
      }
      if (!Number.isNaN(row.within_enthalpy_J_kg)) {
        const ours =
          1000 * (saturation_phase === 'ice' ? enthalpy(t, ratio) : specificEnthalpy(t, u, p, model));
        expect(Math.abs(ours - row.specific_enthalpy_J_kg)).toBeLessThanOrEqual(row.within_enthalpy_J_kg);
      }
      if (!Number.isNaN(row.within_relative_volume)) {
        expect(apart(specificVolume(t, u, p, model), row.specific_volume_m3_kg)).toBeLessThanOrEqual(
          row.within_relative_volume,
        );
      }
      if (!Number.isNaN(row.within_relative_absolute_humidity)) {
        expect(apart(absoluteHumidity(t, u, p, model), row.absolute_humidity_g_m3)).toBeLessThanOrEqual(
          row.within_relative_absolute_humidity,
        );
      }
    },
  );
});

it('compares every printed cell: each has its tolerance', () => {
  const printed = (column: keyof (typeof rows)[number]) =>
    rows.filter((row) => !Number.isNaN(row[column]) && row[column] !== 0).length;
  expect(printed('humidity_ratio_kg_kg')).toBe(printed('within_relative'));
  expect(printed('specific_enthalpy_J_kg')).toBe(printed('within_enthalpy_J_kg'));
  expect(printed('specific_volume_m3_kg')).toBe(printed('within_relative_volume'));
  expect(printed('absolute_humidity_g_m3')).toBe(printed('within_relative_absolute_humidity'));
});

describe('against psychrolib: ideal gas, no enhancement, from 0.5 °C', () => {
  const air: AirModel = { formula: hylandWexler, enhanced: false };
  const states = [1050, 1013.25, 845.56, 700].flatMap((p) =>
    grid(0.5, 60, 0.5).flatMap((t) =>
      grid(0, 100, 5).map((u) => ({ t, u, p, ratio: psychrolib.GetHumRatioFromRelHum(t, u / 100, p * 100) })),
    ),
  );
  type State = (typeof states)[number];

  // Formula and constants are the same. Over there 1e-7 kg/kg is the least ratio: that alone is the distance
  // of dry air.
  it.each<{ what: string; apart: (state: State) => number; within: number }>([
    {
      what: 'humidity ratio [kg/kg]',
      apart: ({ t, u, p, ratio }) => mixingRatio(t, u, p, air) / 1000 - ratio,
      within: 1.01e-7,
    },
    {
      what: 'specific humidity [kg/kg]',
      apart: ({ t, u, p, ratio }) =>
        specificHumidity(t, u, p, air) / 1000 - psychrolib.GetSpecificHumFromHumRatio(ratio),
      within: 1.01e-7,
    },
    {
      what: 'enthalpy [kJ/kg]',
      apart: ({ t, u, p, ratio }) =>
        specificEnthalpy(t, u, p, air) - psychrolib.GetMoistAirEnthalpy(t, ratio) / 1000,
      within: 0.000_3,
    },
    {
      what: 'volume [m³/kg]',
      apart: ({ t, u, p, ratio }) =>
        specificVolume(t, u, p, air) - psychrolib.GetMoistAirVolume(t, ratio, p * 100),
      within: 1e-6,
    },
    {
      what: 'density [kg/m³]',
      apart: ({ t, u, p, ratio }) =>
        airDensity(t, u, p, air) - psychrolib.GetMoistAirDensity(t, ratio, p * 100),
      within: 1e-6,
    },
  ])('$what within $within', ({ apart, within }) => {
    expect(states).toHaveLength(4 * 120 * 21);
    expect(worst(states.map((state) => Math.abs(apart(state))))).toBeLessThan(within);
  });
});

describe('moist air', () => {
  it('has the density that ASHRAE RP-1485 gives it: 1.1769 kg/m³ at 25 °C, 50 %', () => {
    // 0.06 % is what the ideal gas leaves out.
    expect(Math.abs(airDensity(25, 50, 1013.25) / 1.1769 - 1)).toBeLessThan(0.0006);
  });

  // Computed by an independent script, printed to 0.01; 0.1 % is what the table above allows.
  it.each([
    { altitude: 0, p: 1013.25, w: 9.93 },
    { altitude: 500, p: 954.61, w: 10.55 },
    { altitude: 1000, p: 898.75, w: 11.21 },
    { altitude: 2000, p: 794.95, w: 12.71 },
  ])('at $altitude m, 25 °C, 50 % holds $w g/kg', ({ p, w }) => {
    expect(Math.abs(mixingRatio(25, 50, p) - w)).toBeLessThan(0.005 + 0.001 * w);
  });

  it('without vapour has no mass of it, and the enthalpy and volume of dry air', () => {
    expect(mixingRatio(20, 0, 1000)).toBe(0);
    expect(specificHumidity(20, 0, 1000)).toBe(0);
    expect(absoluteHumidity(20, 0, 1000)).toBe(0);
    expect(specificEnthalpy(20, 0, 1000)).toBeCloseTo(enthalpy(20, 0), 12);
    expect(specificVolume(20, 0, 1000)).toBeCloseTo(volume(20, 0, 1000), 12);
  });

  it('holds more vapour, by the enhancement factor, than an ideal gas would', () => {
    const ideal: AirModel = { formula: buck1996, enhanced: false };
    expect(partialPressure(20, 60, 1013.25) / partialPressure(20, 60, 1013.25, ideal)).toBeCloseTo(1.0047, 4);
    expect(absoluteHumidity(20, 60, 1013.25) / absoluteHumidity(20, 60, 1013.25, ideal)).toBeCloseTo(
      1.0047,
      4,
    );
  });

  it('specific humidity gives back the mixing ratio', () => {
    const q = specificHumidity(35, 80, 980) / 1000;
    expect((1000 * q) / (1 - q)).toBeCloseTo(mixingRatio(35, 80, 980), 10);
  });

  it('is NaN where the vapour would fill the air alone, without a pressure, and for a pressure in Pa', () => {
    for (const quantity of [mixingRatio, specificHumidity, specificEnthalpy, specificVolume, airDensity]) {
      expect(quantity(95, 100, 700)).toBeNaN();
      expect(quantity(20, 50, Number.NaN)).toBeNaN();
      expect(quantity(20, 50, 101_325)).toBeNaN();
      expect(quantity(20, 50, 101_325, { formula: buck1996, enhanced: false })).toBeNaN();
      expect(quantity(20, 50, 0)).toBeNaN();
    }
  });
});
