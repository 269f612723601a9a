import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { dewPoint, frostPoint } from '../../src/psychrometry/dewPoint.js';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { magnusWmo } from '../../src/psychrometry/magnusWmo.js';
import { vapourPressure } from '../../src/psychrometry/vapourPressure.js';
import { humidities, REPEATABLE, temperatures } from './laws.js';
import { reference } from './reference.js';
import { grid, psychrolib, worst } from './secondOpinion.js';

const rows = reference<
  | 'temperature_degC'
  | 'relative_humidity_pct'
  | 'dew_point_degC'
  | 'frost_point_degC'
  | 'within_K'
  | 'within_K_magnus_wmo'
>('dew_point', 59);

describe.each([buck1996, hylandWexler, magnusWmo])('with $name', (formula) => {
  it.each(rows)(
    '$temperature_degC °C, $relative_humidity_pct % → $dew_point_degC °C ($provenance)',
    (row) => {
      const within = formula.name === 'magnusWmo' ? row.within_K_magnus_wmo : row.within_K;
      const dew = dewPoint(row.temperature_degC, row.relative_humidity_pct, formula);
      expect(Math.abs(dew - row.dew_point_degC)).toBeLessThanOrEqual(within);

      const frost = frostPoint(row.temperature_degC, row.relative_humidity_pct, formula);
      if (row.dew_point_degC > 0) expect(frost).toBeNaN();
      else if (!Number.isNaN(row.frost_point_degC)) {
        expect(Math.abs(frost - row.frost_point_degC)).toBeLessThanOrEqual(within);
      }
    },
  );
});

it('compares the frost points of all rows that have one', () => {
  expect(rows.filter((row) => !Number.isNaN(row.frost_point_degC))).toHaveLength(16);
});

describe('against psychrolib, where air and dew point are above 0 °C', () => {
  it.each([
    { formula: hylandWexler, within: 0.002 }, // what the iteration over there leaves
    { formula: buck1996, within: 0.03 }, //      two formulas, 0.02 % apart; 0.1 % at 100 °C
  ])('$formula.name within $within K, 1 to 100 °C, 5 to 100 %', ({ formula, within }) => {
    const states = grid(1, 100, 1)
      .flatMap((t) => grid(5, 100, 5).map((u) => ({ t, u })))
      .filter(({ t, u }) => dewPoint(t, u, formula) >= 0.1);
    expect(states.length).toBeGreaterThan(1500);
    expect(
      worst(
        states.map(({ t, u }) =>
          Math.abs(dewPoint(t, u, formula) - psychrolib.GetTDewPointFromRelHum(t, u / 100)),
        ),
      ),
    ).toBeLessThan(within);
  });
});

describe('the frost point lies above the dew point', () => {
  // Computed from Murphy & Koop 2005 and IAPWS R14-08. 0.02 K: the distance of the formula at −40 °C is 0.03 K
  // in both, of which the difference keeps less.
  it.each([
    { dew: -1, above: 0.12 },
    { dew: -5, above: 0.57 },
    { dew: -10, above: 1.1 },
    { dew: -20, above: 2.05 },
    { dew: -30, above: 2.85 },
    { dew: -40, above: 3.5 },
  ])('by $above K at a dew point of $dew °C', ({ dew, above }) => {
    expect(Math.abs(frostPoint(dew, 100) - dew - above)).toBeLessThan(dew < -30 ? 0.04 : 0.02);
  });

  it('in every state that has both', () => {
    fc.assert(
      fc.property(temperatures, humidities, (t, u) => {
        const frost = frostPoint(t, u);
        fc.pre(!Number.isNaN(frost) && !Number.isNaN(dewPoint(t, u)));
        expect(frost).toBeGreaterThanOrEqual(dewPoint(t, u) - 1e-9);
      }),
      REPEATABLE,
    );
  });
});

describe('dew point', () => {
  it('gives back the vapour pressure, and lies at or below the air temperature', () => {
    fc.assert(
      fc.property(temperatures, humidities, (t, u) => {
        const dew = dewPoint(t, u);
        fc.pre(!Number.isNaN(dew));
        expect(buck1996.water(dew) / vapourPressure(t, u)).toBeCloseTo(1, 9);
        expect(dew).toBeLessThanOrEqual(t + 1e-9);
      }),
      REPEATABLE,
    );
  });

  it('is the air temperature at 100 %, and at a reading of up to 104 %', () => {
    for (const t of [-30, -0.5, 0, 12.3, 60]) {
      expect(dewPoint(t, 100)).toBeCloseTo(t, 9);
      expect(dewPoint(t, 104)).toBeCloseTo(t, 9);
    }
  });

  it.each([
    { why: 'dry air has none', t: 20, u: 0 },
    { why: 'a negative humidity', t: 20, u: -0.1 },
    { why: 'a humidity beyond what a sensor may err by', t: 20, u: 104.1 },
    { why: 'no humidity', t: 20, u: Number.NaN },
    { why: 'no temperature', t: Number.NaN, u: 50 },
    { why: 'colder than the formula goes', t: -80.5, u: 50 },
    { why: 'hotter than the formula goes', t: 100.5, u: 50 },
  ])('$why → NaN, for the frost point too', ({ t, u }) => {
    expect(dewPoint(t, u)).toBeNaN();
    expect(frostPoint(t, u)).toBeNaN();
  });
});
