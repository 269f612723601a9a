import fc from 'fast-check';
import { expect, it } from 'vitest';
import { curvePath } from '../../../src/present/chart/curve.js';
import { COLUMNS, PLOT_HEIGHT, STEPS } from '../../../src/present/chart/frame.js';

const WIDTH = COLUMNS * STEPS;
const HEIGHT = PLOT_HEIGHT * STEPS;
const axis = { from: 1000, until: 1000 + WIDTH, ticks: [] };

/** The stretches of a path as places on the grid, the relative steps added up. */
function placesOf(path: string): [number, number][][] {
  let x = 0;
  let y = 0;
  return path
    .split('m')
    .slice(1)
    .map((stretch) => {
      const steps = stretch.match(/-?\d+/g)!.map(Number);
      const places: [number, number][] = [];
      for (let i = 0; i < steps.length; i += 2) {
        x += steps[i]!;
        y += steps[i + 1]!;
        places.push([x, y]);
      }
      return places;
    });
}

it('goes through every value where the grid is as fine, foot at the bottom and head at the top', () => {
  const values = fc.array(fc.double({ min: -5, max: 15, noNaN: true }), { minLength: 2, maxLength: COLUMNS });
  fc.assert(
    fc.property(values, (given) => {
      const time = Float64Array.from(given, (_, i) => axis.from + i * STEPS);
      const path = curvePath({ time, values: Float64Array.from(given) }, axis, [-5, 15]);
      const [places] = placesOf(path);
      expect(places).toHaveLength(given.length);
      for (const [i, value] of given.entries()) {
        expect(places![i]![0]).toBe(i * STEPS);
        expect(Math.abs(places![i]![1] - ((15 - value) / 20) * HEIGHT)).toBeLessThanOrEqual(0.5);
      }
    }),
  );
});

it('is broken where a value is missing, and a lone value is a dot', () => {
  const time = Float64Array.from({ length: 6 }, (_, i) => axis.from + i * STEPS);
  const values = Float64Array.of(0, 1, Number.NaN, 1, Number.NaN, 0);
  const path = curvePath({ time, values }, axis, [0, 1]);
  expect(path).toBe(`m0 ${HEIGHT} 4-${HEIGHT}m8 0zm8 ${HEIGHT}z`);
});

it('of nothing is nothing', () => {
  expect(curvePath({ time: new Float64Array(), values: new Float64Array() }, axis, [0, 1])).toBe('');
});
