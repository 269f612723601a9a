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
});
