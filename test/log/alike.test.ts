import { describe, expect, it } from 'vitest';
import { columnOf, firstAlike } from '../../src/log/alike.js';
import { logOf } from '../period/logOf.js';

/** Enough readings for it to be worth while, of the given values in turn. */
function turns(...values: [number, number][]) {
  return logOf(Array.from({ length: 12_000 }, (_, i) => [i, ...values[i % values.length]!]));
}

describe('firstAlike', () => {
  it('finds the first reading with the same two values', () => {
    const first = firstAlike(turns([10.1, 80.3], [10.1, 80.4], [-7.3, 80.3]));
    expect([...first.subarray(0, 6)]).toEqual([0, 1, 2, 0, 1, 2]);
    expect(new Set(first)).toEqual(new Set([0, 1, 2]));
  });

  it.each([
    { why: 'not in tenths', pair: [10.15, 80.3] },
    { why: 'no temperature', pair: [NaN, 80.3] },
    { why: 'no humidity', pair: [10.1, NaN] },
    { why: 'colder than air', pair: [-40.1, 80] },
    { why: 'hotter than air', pair: [60.1, 80] },
    { why: 'damper than air', pair: [20, 104.1] },
    { why: 'drier than air', pair: [20, -0.1] },
  ] as const)('takes a reading for itself: $why', ({ pair: [t, u] }) => {
    const first = firstAlike(turns([t, u]));
    expect(first.every((row, i) => row === i)).toBe(true);
  });

  it('does not take the corners of what it remembers for each other', () => {
    const corners: [number, number][] = [
      [-40, 0],
      [-40, 104],
      [-39.9, 0],
      [60, 104],
      [60, 0],
    ];
    const first = firstAlike(turns(...corners));
    expect(first.every((row, i) => row === i % corners.length)).toBe(true);
  });
});

describe('columnOf', () => {
  it('works out each pair once, and what is not in tenths each time', () => {
    const log = turns([10.1, 80.3], [10.15, 80.3], [NaN, 80.3], [-7.3, 50]);
    let asked = 0;
    const values = columnOf(log, firstAlike(log), (t, u) => {
      asked++;
      return t + u;
    });
    expect(asked).toBe(2 + 2 * 3000);
    expect([...values]).toEqual([...log.temperature].map((t, i) => t + log.humidity[i]!));
  });
});
