import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pressureAltitude, stationPressure } from '../../src/psychrometry/stationPressure.js';
import { between, REPEATABLE } from './laws.js';
import { reference } from './reference.js';
import { grid, psychrolib, worst } from './secondOpinion.js';

const rows = reference<'altitude_m' | 'pressure_Pa' | 'within_Pa', 'altitude_kind' | 'provenance'>(
  'pressure_altitude',
  29,
);

/** The radius of the Earth in the standard atmosphere [m] (ICAO; from memory). */
const EARTH = 6_356_766;
const geopotential = (geometric: number) => (EARTH * geometric) / (EARTH + geometric);

describe('station pressure', () => {
  it.each(rows)('$altitude_m m ($altitude_kind) → $pressure_Pa Pa', (row) => {
    const altitude = row.altitude_kind === 'geometric' ? geopotential(row.altitude_m) : row.altitude_m;
    expect(Math.abs(100 * stationPressure(altitude) - row.pressure_Pa)).toBeLessThanOrEqual(row.within_Pa);
  });

  it('agrees with psychrolib to 0.1 Pa', () => {
    const apart = (z: number) => Math.abs(100 * stationPressure(z) - psychrolib.GetStandardAtmPressure(z));
    expect(worst(grid(-5000, 11_000, 250).map(apart))).toBeLessThan(0.1);
  });

  it('gives back the altitude', () => {
    fc.assert(
      fc.property(between(-5000, 11_000), (z) => {
        expect(pressureAltitude(stationPressure(z))).toBeCloseTo(z, 6);
      }),
      REPEATABLE,
    );
  });

  it('is NaN outside −5 to 11 km, and the altitude for what is not such a pressure', () => {
    for (const z of [-5001, 11_001, Number.NaN]) expect(stationPressure(z)).toBeNaN();
    for (const p of [0, -1, 200, 101_325, Number.NaN]) expect(pressureAltitude(p)).toBeNaN();
  });
});
