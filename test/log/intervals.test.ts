import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nextOff } from '../../src/log/intervals.js';

describe('intervals that are off', () => {
  const time = Float64Array.of(0, 10, 20, 20, 31, 40, 70);

  it.each([
    [1, 0, Infinity, 7],
    [1, 1, Infinity, 3],
    [4, 1, Infinity, 7],
    [1, 9, 11, 3],
    [4, 9, 11, 6],
    [7, 9, 11, 7],
    [4, 10, 10, 4],
  ])('from row %i on those not within %i to %i ms', (from, shortest, longest, row) => {
    expect(nextOff(time, from, shortest, longest)).toBe(row);
  });

  it('are the same ones in a long log, however it is asked for them', () => {
    const step = fc.constantFrom(0, 1, 60_000, 60_000, 60_000, 61_000, 600_000);
    const odd = fc.array(fc.tuple(fc.nat({ max: 11_999 }), step), { maxLength: 40 });
    const limit = fc.constantFrom(0, Number.MIN_VALUE, 59_000, 60_000, 60_001, 70_000, Infinity);
    const asked = fc.array(fc.tuple(fc.integer({ min: 1, max: 12_000 }), limit, limit), {
      minLength: 1,
      maxLength: 20,
    });
    fc.assert(
      fc.property(odd, fc.integer({ min: 1, max: 9 }), asked, (odds, kinds, questions) => {
        const steps = Array.from({ length: 12_000 }, (_, i) => (i % kinds === 0 ? 60_000 : 60_000 + (i % 3)));
        for (const [row, length] of odds) steps[row] = length;
        let at = 0;
        const time = Float64Array.from(steps, (length) => (at += length));
        for (const [from, shortest, longest] of questions) {
          let row = from;
          while (row < time.length && !(steps[row]! < shortest || steps[row]! > longest)) row++;
          expect(nextOff(time, from, shortest, longest)).toBe(row);
          // and the next of them
          if (row < time.length) {
            let next = row + 1;
            while (next < time.length && !(steps[next]! < shortest || steps[next]! > longest)) next++;
            expect(nextOff(time, row + 1, shortest, longest)).toBe(next);
          }
        }
      }),
      { numRuns: 200 },
    );
  });
});
