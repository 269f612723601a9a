import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextStep } from '../../src/audit/steps.js';
import { piecesOf, rowsOf, without } from '../../src/log/pieces.js';
import { pointsOf } from './pointed.js';

/** Of few or of many steps, in tenths of a kelvin. */
const values = fc
  .tuple(fc.constantFrom(1, 12), fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1, maxLength: 80 }))
  .map(([seldom, steps]) => {
    let level = 150;
    return Float64Array.from(steps, (step, row) => {
      if (row % seldom === 0) level += step;
      return level / 10;
    });
  });

/** Every step, found by a look at every point. */
function allSteps(listed: readonly number[], least: number): number[] {
  return [...listed.keys()].filter((at) => at > 0 && Math.abs(listed[at]! - listed[at - 1]!) >= least);
}

describe('wide steps', () => {
  it('are found as by a look at every point, whatever is left out, and whether they are few or many', () => {
    const out = fc.array(fc.nat(79), { maxLength: 12 });
    fc.assert(
      fc.property(values, out, fc.constantFrom(0.1, 0.3, 0.55, 0.8), (column, drawn, least) => {
        const left = [...new Set(drawn)].filter((row) => row < column.length).sort((a, b) => a - b);
        const rows = without(
          piecesOf([0, column.length]),
          left.flatMap((row) => [row, row + 1]),
        );
        const points = pointsOf(column, rows);
        const found: number[] = [];
        for (let at = nextStep(points, 1, least); at < points.count; at = nextStep(points, at + 1, least))
          found.push(at);
        const listed = Array.from(rowsOf(rows), (row) => column[row]!);
        expect(found).toEqual(allSteps(listed, least));
      }),
      { numRuns: 500 },
    );
  });
});
