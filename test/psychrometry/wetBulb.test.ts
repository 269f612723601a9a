import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type AirModel, defaultAir, saturationFactor } from '../../src/psychrometry/airModel.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { dewPoint, frostPoint } from '../../src/psychrometry/dewPoint.js';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { humidityRatio, mixingRatio } from '../../src/psychrometry/mixingRatio.js';
import { wetBulbPhase, wetBulbTemperature } from '../../src/psychrometry/wetBulb.js';
import { wetBulbPsychrometer } from '../../src/psychrometry/wetBulbPsychrometer.js';
import { wetBulbStull } from '../../src/psychrometry/wetBulbStull.js';
import { humidities, pressures, REPEATABLE, temperatures } from './laws.js';
import { reference } from './reference.js';
import { grid, psychrolib, worst } from './secondOpinion.js';

const rows = reference<
  'temperature_degC' | 'relative_humidity_pct' | 'pressure_Pa' | 'wet_bulb_degC' | 'within_K',
  'bulb_phase' | 'model' | 'provenance'
>('wet_bulb', 86);
const ofModel = (model: string) => rows.filter((row) => row.model === model);

it('puts every row to one of the three definitions', () => {
  expect(ofModel('thermodynamic').length + ofModel('psychrometer').length).toBe(86 - 3);
  expect(ofModel('Stull 2011 closed form')).toHaveLength(3);
});

const withoutEnhancement = (row: (typeof rows)[number]) => row.provenance.includes('no enhancement factor');

describe.each([buck1996, hylandWexler])('thermodynamic wet bulb with $name', (formula) => {
  it.each(ofModel('thermodynamic'))(
    '$temperature_degC °C, $relative_humidity_pct %, $pressure_Pa Pa → $wet_bulb_degC °C ($provenance)',
    (row) => {
      const model: AirModel = { formula, enhanced: !withoutEnhancement(row) };
      const state = [row.temperature_degC, row.relative_humidity_pct, row.pressure_Pa / 100, model] as const;
      expect(Math.abs(wetBulbTemperature(...state) - row.wet_bulb_degC)).toBeLessThanOrEqual(row.within_K);
      expect(wetBulbPhase(...state)).toBe(row.bulb_phase);
    },
  );
});

describe('ventilated psychrometer', () => {
  it.each(ofModel('psychrometer'))(
    '$temperature_degC °C, $relative_humidity_pct % → $wet_bulb_degC °C',
    (row) => {
      const ours = wetBulbPsychrometer(
        row.temperature_degC,
        row.relative_humidity_pct,
        row.pressure_Pa / 100,
      );
      expect(Math.abs(ours - row.wet_bulb_degC)).toBeLessThanOrEqual(row.within_K);
    },
  );

  it('stays a little above the thermodynamic wet bulb in rooms, 0.33 K at 60 °C and 5 %', () => {
    for (const t of grid(10, 30, 2)) {
      for (const u of grid(30, 80, 10)) {
        const above = wetBulbPsychrometer(t, u, 1013.25) - wetBulbTemperature(t, u, 1013.25);
        expect(above).toBeGreaterThan(0.01);
        expect(above).toBeLessThan(0.2);
      }
    }
    expect(wetBulbPsychrometer(60, 5, 1013.25) - wetBulbTemperature(60, 5, 1013.25)).toBeCloseTo(0.33, 1);
  });

  it('takes the same covers: ice when cold, the air temperature when over-saturated for ice', () => {
    expect(wetBulbPsychrometer(-10, 60, 1000)).toBeLessThan(-10.5);
    expect(Math.abs(wetBulbPsychrometer(-10, 60, 1000) - wetBulbTemperature(-10, 60, 1000))).toBeLessThan(
      0.1,
    );
    expect(wetBulbPsychrometer(-10, 95, 1000)).toBe(-10);
    expect(wetBulbPsychrometer(20, Number.NaN, 1000)).toBeNaN();
    expect(wetBulbPsychrometer(95, 100, 700)).toBeNaN();
  });
});

describe('closed form of Stull', () => {
  it.each(ofModel('Stull 2011 closed form'))(
    '$temperature_degC °C, $relative_humidity_pct % → $wet_bulb_degC °C',
    (row) => {
      const ours = wetBulbStull(row.temperature_degC, row.relative_humidity_pct);
      expect(Math.abs(ours - row.wet_bulb_degC)).toBeLessThanOrEqual(row.within_K);
    },
  );

  it('stays within 1.2 K of the thermodynamic one at sea level, 0 to 50 °C, while that is above 0 °C', () => {
    const distances = grid(0, 50, 1)
      .flatMap((t) => grid(5, 99, 2).map((u) => ({ t, u })))
      .filter(({ t, u }) => wetBulbPhase(t, u, 1013.25) === 'water')
      .map(({ t, u }) => Math.abs(wetBulbStull(t, u) - wetBulbTemperature(t, u, 1013.25)));
    expect(distances.length).toBeGreaterThan(2000);
    expect(worst(distances)).toBeLessThan(1.2);
  });

  it('is NaN outside the range of the fit', () => {
    for (const [t, u] of [
      [-20.1, 50],
      [50.1, 50],
      [20, 4.9],
      [20, 99.1],
      [Number.NaN, 50],
      [20, Number.NaN],
    ] as const) {
      expect(wetBulbStull(t, u)).toBeNaN();
    }
  });
});

describe('against psychrolib: ideal gas, no enhancement', () => {
  // Its iteration stops at 0.001 K. States near the change from ice to water are left out, as it may choose
  // the other cover there.
  it.each([
    { formula: hylandWexler, within: 0.002 },
    { formula: buck1996, within: 0.01 },
  ])('$formula.name within $within K, 0.5 to 60 °C', ({ formula, within }) => {
    const air: AirModel = { formula, enhanced: false };
    const states = [1050, 1013.25, 845.56]
      .flatMap((p) => grid(0.5, 60, 1.5).flatMap((t) => grid(5, 100, 5).map((u) => ({ t, u, p }))))
      .map(({ t, u, p }) => ({ t, u, p, bulb: wetBulbTemperature(t, u, p, air) }))
      .filter(({ bulb }) => !(Math.abs(bulb) < 0.7));
    expect(states.length).toBeGreaterThan(2200);
    expect(
      worst(
        states.map(({ t, u, p, bulb }) =>
          Math.abs(bulb - psychrolib.GetTWetBulbFromRelHum(t, u / 100, p * 100)),
        ),
      ),
    ).toBeLessThan(within);
  });
});

describe('thermodynamic wet bulb', () => {
  // Computed by an independent script, printed to 0.01.
  it.each([
    { altitude: 0, p: 1013.25, bulb: 17.88 },
    { altitude: 500, p: 954.61, bulb: 17.74 },
    { altitude: 1000, p: 898.75, bulb: 17.59 },
    { altitude: 2000, p: 794.95, bulb: 17.31 },
  ])('at $altitude m, 25 °C, 50 % is $bulb °C', ({ p, bulb }) => {
    expect(Math.abs(wetBulbTemperature(25, 50, p) - bulb)).toBeLessThan(0.006);
  });

  it('lies between dew point (frost point over ice) and air temperature', () => {
    fc.assert(
      fc.property(temperatures, humidities, pressures, (t, u, p) => {
        const bulb = wetBulbTemperature(t, u, p);
        fc.pre(!Number.isNaN(bulb));
        expect(bulb).toBeLessThanOrEqual(t);
        const phase = wetBulbPhase(t, u, p);
        const least = phase === 'water' ? dewPoint(t, u) : phase === 'ice' ? frostPoint(t, u) : t;
        if (!Number.isNaN(least)) expect(bulb).toBeGreaterThanOrEqual(least - 0.02);
      }),
      REPEATABLE,
    );
  });

  it('solves the energy balance of the bulb, so that the humidity comes back', () => {
    // The balance the other way round: the humidity ratio from air and bulb temperature (ASHRAE 2017, ch. 1).
    fc.assert(
      fc.property(temperatures, humidities, pressures, (t, u, p) => {
        const bulb = wetBulbTemperature(t, u, p);
        const phase = wetBulbPhase(t, u, p);
        fc.pre(phase === 'water' || phase === 'ice');
        const saturated = phase === 'water' ? buck1996.water(bulb) : buck1996.ice(bulb);
        const ratio = humidityRatio(saturationFactor(p, defaultAir) * saturated, p);
        const balanced =
          phase === 'water'
            ? ((2501 - 2.326 * bulb) * ratio - 1.006 * (t - bulb)) / (2501 + 1.86 * t - 4.186 * bulb)
            : ((2830 - 0.24 * bulb) * ratio - 1.006 * (t - bulb)) / (2830 + 1.86 * t - 2.1 * bulb);
        const actual = mixingRatio(t, u, p) / 1000;
        // A millionth of a kelvin is about 1e-9 kg/kg; close to boiling the ratio grows without bound.
        expect(Math.abs(balanced - actual)).toBeLessThan(1e-8 * (1 + actual) ** 2);
      }),
      REPEATABLE,
    );
  });

  it('is the air temperature in saturated air', () => {
    for (const t of [0.5, 5, 20, 45, 90]) expect(wetBulbTemperature(t, 100, 1013.25)).toBeCloseTo(t, 6);
  });

  it('exists in air without vapour', () => {
    expect(wetBulbTemperature(25, 0, 1013.25)).toBeGreaterThan(5);
    expect(wetBulbTemperature(25, 0, 1013.25)).toBeLessThan(wetBulbTemperature(25, 1, 1013.25));
    expect(wetBulbTemperature(-5, 0, 1013.25)).toBeLessThan(-6);
  });

  it('takes water where water and ice both have an answer, ice where only ice has', () => {
    // At 5 °C and 1013 hPa the two overlap from 32.9 to 37.2 %.
    expect(wetBulbPhase(5, 33.5, 1013.25)).toBe('water');
    expect(wetBulbTemperature(5, 33.5, 1013.25)).toBeGreaterThanOrEqual(0);
    expect(wetBulbPhase(5, 32.5, 1013.25)).toBe('ice');
    expect(wetBulbTemperature(5, 32.5, 1013.25)).toBeLessThan(-0.3);
  });

  it('shows the air temperature, and says so, where the air is over-saturated for ice', () => {
    expect(wetBulbPhase(-10, 85, 1000)).toBe('ice');
    expect(wetBulbPhase(-10, 95, 1000)).toBe('over-saturated');
    expect(wetBulbTemperature(-10, 95, 1000)).toBe(-10);
  });

  it.each([
    { why: 'no temperature', t: Number.NaN, u: 50, p: 1000 },
    { why: 'no humidity', t: 20, u: Number.NaN, p: 1000 },
    { why: 'no pressure', t: 20, u: 50, p: Number.NaN },
    { why: 'a humidity above 104 %', t: 20, u: 105, p: 1000 },
    { why: 'a pressure in Pa', t: 20, u: 50, p: 100_000 },
    { why: 'air that would be vapour alone', t: 95, u: 100, p: 700 },
    { why: 'colder than the formula goes', t: -81, u: 50, p: 1000 },
  ])('$why → NaN and no phase', ({ t, u, p }) => {
    expect(wetBulbTemperature(t, u, p)).toBeNaN();
    expect(wetBulbPhase(t, u, p)).toBeUndefined();
  });
});
