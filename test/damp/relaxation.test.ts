import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { belowZero, turningPoint, valueAt } from '../../src/damp/relaxation.js';
import { HOUR, MINUTE } from '../../src/units.js';

function stretches(
  start: number,
  slope: number,
  bend: number,
  timeConstant: number,
  length: number,
): number[] {
  const bounds = new Float64Array(4);
  const count = belowZero(start, slope, bend, timeConstant, length, bounds);
  return [...bounds.subarray(0, count)];
}

describe('belowZero', () => {
  it.each([
    { why: 'line that stays above', start: 1, end: 2, bounds: [] },
    { why: 'line that stays below', start: -1, end: -2, bounds: [0, 1000] },
    { why: 'falling line', start: 1, end: -3, bounds: [250, 1000] },
    { why: 'rising line', start: -3, end: 1, bounds: [0, 750] },
    { why: 'steady zero, which is not below', start: 0, end: 0, bounds: [] },
    { why: 'line that only touches', start: 2, end: 0, bounds: [] },
    { why: 'line down from zero', start: 0, end: -2, bounds: [0, 1000] },
  ])('$why: $bounds', ({ start, end, bounds }) => {
    expect(stretches(start, (end - start) / 1000, 0, 0, 1000)).toEqual(bounds);
  });

  it('finds when a difference has died away to a given one: τ ln(7/3)', () => {
    // −4 at first, 3 at last: −4 + 7 (1 − exp(−t/τ)).
    const passed = Math.round(2 * HOUR * Math.log(7 / 3));
    expect(stretches(-4, 0, -7, 2 * HOUR, 10 * HOUR)).toEqual([0, passed]);
    expect(stretches(4, 0, 7, 2 * HOUR, 10 * HOUR)).toEqual([passed, 10 * HOUR]);
  });

  it('finds both zeros around a lowest and around a highest point', () => {
    // Falls, turns at τ ln 2 and rises again; mirrored, the time outside is below.
    const [start, slope, bend, tau] = [0.1, 1 / HOUR, 2, HOUR] as const;
    expect(turningPoint(slope, bend, tau)).toBeCloseTo(HOUR * Math.log(2), 6);
    const [first, second] = stretches(start, slope, bend, tau, 3 * HOUR);
    for (const zero of [first!, second!])
      expect(Math.abs(valueAt(zero, start, slope, bend, tau))).toBeLessThan(1e-6);
    expect(first).toBeLessThan(HOUR * Math.log(2));
    expect(second).toBeGreaterThan(HOUR * Math.log(2));
    expect(stretches(-start, -slope, -bend, tau, 3 * HOUR)).toEqual([0, first, second, 3 * HOUR]);
  });

  it('finds a dip that lasts a second between two dry readings', () => {
    const [slope, bend, tau] = [1 / HOUR, 2, HOUR] as const;
    const lowest = HOUR * Math.log(2);
    const depth = -valueAt(lowest, 0, slope, bend, tau);
    const bounds = stretches(depth - 1e-8, slope, bend, tau, 3 * HOUR);
    expect(bounds).toHaveLength(2);
    expect(bounds[1]! - bounds[0]!).toBeLessThan(1500);
    expect(Math.abs((bounds[0]! + bounds[1]!) / 2 - lowest)).toBeLessThan(2);
  });

  it('has a change of sign at every bound and nowhere else', () => {
    const kelvin = fc.integer({ min: -500, max: 500 }).map((hundredths) => hundredths / 100);
    fc.assert(
      fc.property(
        kelvin,
        kelvin,
        kelvin,
        fc.integer({ min: 1, max: 3000 }),
        fc.integer({ min: 1, max: 180 }),
        (start, rise, bend, tauMinutes, minutes) => {
          const [tau, length] = [tauMinutes * MINUTE, minutes * MINUTE];
          const bounds = stretches(start, rise / length, bend, tau, length);
          for (let part = 0; part <= 400; part++) {
            const t = (length * part) / 400;
            // A bound is right to the millisecond.
            if (bounds.some((bound) => Math.abs(bound - t) <= 1)) continue;
            const inside = bounds.filter((bound) => bound < t).length % 2 === 1;
            expect(valueAt(t, start, rise / length, bend, tau) < 0).toBe(inside);
          }
        },
      ),
    );
  });
});
