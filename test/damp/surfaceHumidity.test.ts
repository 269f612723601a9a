import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { humidityOf } from '../../src/damp/climateSteps.js';
import { nextKnown } from '../../src/damp/surfaceCourse.js';
import { surfaceHumidity, surfaceSteps } from '../../src/damp/surfaceHumidity.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { dewPoint } from '../../src/psychrometry/dewPoint.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { reference } from '../psychrometry/reference.js';

const checks = reference<'expected' | 'tolerance', 'check_id' | 'inputs'>('surface_humidity_checks', 3);

/** Of pure vapour in air of this temperature and humidity [hPa]. */
const pressureOf = (t: number, u: number) => (u / 100) * buck1996.water(t);

const celsius = fc.integer({ min: -300, max: 400 }).map((tenths) => tenths / 10);
const percent = fc.integer({ min: 10, max: 1000 }).map((tenths) => tenths / 10);

describe('surfaceHumidity', () => {
  it.each(checks)('$check_id: $expected within $tolerance', ({ inputs, expected, tolerance }) => {
    const [t, u, sensor] = inputs.split(';').map((input) => Number(input.split('=')[1]));
    expect(Math.abs(surfaceHumidity(pressureOf(t!, u!), sensor!) - expected)).toBeLessThanOrEqual(tolerance);
  });

  it('at the temperature of the air is that of the air', () => {
    fc.assert(
      fc.property(celsius, percent, (t, u) => {
        expect(surfaceHumidity(pressureOf(t, u), t)).toBeCloseTo(u, 9);
      }),
    );
  });

  it('stays within 0 and 100, and falls as the surface gets warmer', () => {
    fc.assert(
      fc.property(celsius, percent, celsius, celsius, (t, u, one, other) => {
        const colder = surfaceHumidity(pressureOf(t, u), Math.min(one, other));
        const warmer = surfaceHumidity(pressureOf(t, u), Math.max(one, other));
        expect(warmer).toBeLessThanOrEqual(colder);
        expect(warmer).toBeGreaterThan(0);
        expect(colder).toBeLessThanOrEqual(100);
      }),
    );
  });

  it('reaches 100 at the dew point', () => {
    const dew = dewPoint(20, 60);
    expect(surfaceHumidity(pressureOf(20, 60), dew + 0.01)).toBeLessThan(100);
    expect(surfaceHumidity(pressureOf(20, 60), dew - 0.01)).toBe(100);
  });
});

describe('surfaceSteps', () => {
  const steady = (surface: number) =>
    surfaceSteps(
      Float64Array.of(0, HOUR),
      Float64Array.of(pressureOf(20, 50), pressureOf(20, 50)),
      Float64Array.of(surface, surface),
      new Float64Array(0),
      HOUR,
      buck1996,
    );

  it.each([15, 20, 25, 5])(
    'in steady air have the humidity at %d °C, and the saturation there',
    (surface) => {
      const { steps, saturation } = steady(surface);
      expect(steps.count).toBe(4);
      for (const step of [0, 3]) {
        expect(humidityOf(steps, step)).toBeCloseTo(surfaceHumidity(pressureOf(20, 50), surface), 9);
      }
      expect(saturation).toBeCloseTo(buck1996.water(surface), 9);
    },
  );

  it('follow the mean of air that changes', () => {
    fc.assert(
      fc.property(celsius, percent, percent, (t, from, until) => {
        const { steps } = surfaceSteps(
          Float64Array.of(0, 15 * MINUTE),
          Float64Array.of(pressureOf(t, from), pressureOf(t, until)),
          Float64Array.of(t, t),
          new Float64Array(0),
          HOUR,
          buck1996,
        );
        expect(humidityOf(steps, 0)).toBeCloseTo((from + until) / 2, 9);
      }),
    );
  });
});

it('nextKnown passes over rows in which one value is missing', () => {
  const course = {
    time: Float64Array.of(0, 1, 2, 3),
    temperature: Float64Array.of(NaN, 5, 5, 5),
    humidity: Float64Array.of(50, NaN, 50, NaN),
  };
  expect([nextKnown(course, 0), nextKnown(course, 3)]).toEqual([2, 4]);
});
