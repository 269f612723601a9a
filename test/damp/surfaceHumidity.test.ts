import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextKnown, surfaceHumidities, surfaceHumidity } from '../../src/damp/surfaceHumidity.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { dewPoint } from '../../src/psychrometry/dewPoint.js';
import { reference } from '../psychrometry/reference.js';

const checks = reference<'expected' | 'tolerance', 'check_id' | 'inputs'>('surface_humidity_checks', 3);

const celsius = fc.integer({ min: -300, max: 400 }).map((tenths) => tenths / 10);
const percent = fc.integer({ min: 10, max: 1000 }).map((tenths) => tenths / 10);

describe('surfaceHumidity', () => {
  it.each(checks)('$check_id: $expected within $tolerance', ({ inputs, expected, tolerance }) => {
    const [t, u, sensor] = inputs.split(';').map((input) => Number(input.split('=')[1]));
    expect(Math.abs(surfaceHumidity(t!, u!, sensor!) - expected)).toBeLessThanOrEqual(tolerance);
  });

  it('at the temperature of the air is that of the air, to the last digit', () => {
    fc.assert(
      fc.property(celsius, percent, (t, u) => {
        expect(surfaceHumidity(t, u, t)).toBe(u);
      }),
    );
    expect(surfaceHumidity(10, 103, 10)).toBe(100);
  });

  it('stays within 0 and 100, and falls as the surface gets warmer', () => {
    fc.assert(
      fc.property(celsius, percent, celsius, celsius, (t, u, one, other) => {
        const colder = surfaceHumidity(t, u, Math.min(one, other));
        const warmer = surfaceHumidity(t, u, Math.max(one, other));
        expect(warmer).toBeLessThanOrEqual(colder);
        expect(warmer).toBeGreaterThan(0);
        expect(colder).toBeLessThanOrEqual(100);
      }),
    );
  });

  it('reaches 100 at the dew point', () => {
    const dew = dewPoint(20, 60);
    expect(surfaceHumidity(20, 60, dew + 0.01)).toBeLessThan(100);
    expect(surfaceHumidity(20, 60, dew - 0.01)).toBe(100);
  });

  it('of a log is unknown where one of the three is', () => {
    const air = {
      temperature: Float64Array.of(20, NaN, 20, 20),
      humidity: Float64Array.of(60, 60, NaN, 60),
    };
    const saturation = air.temperature.map(buck1996.water);
    const surface = Float64Array.of(20, 20, 20, NaN);
    expect([...surfaceHumidities(air, saturation, surface)]).toEqual([60, NaN, NaN, NaN]);
  });

  it('of a log is that of each reading, to the last digit', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(celsius, percent, fc.option(celsius))), (rows) => {
        const air = {
          temperature: Float64Array.from(rows, ([t]) => t),
          humidity: Float64Array.from(rows, ([, u]) => u),
        };
        // now and then as warm as the air
        const surface = Float64Array.from(rows, ([t, , s]) => s ?? t);
        const one = rows.map(([t, u, s]) => surfaceHumidity(t, u, s ?? t));
        expect([...surfaceHumidities(air, air.temperature.map(buck1996.water), surface)]).toEqual(one);
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
