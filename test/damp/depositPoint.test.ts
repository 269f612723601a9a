import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { depositPoints, withErrors } from '../../src/damp/depositPoint.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { dewPoint, frostPoint } from '../../src/psychrometry/dewPoint.js';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { magnusWmo } from '../../src/psychrometry/magnusWmo.js';
import { logOf } from '../period/logOf.js';

const exact = { temperature: 0, humidity: 0 };

function deposit(t: number, u: number, accuracy = exact, formula = buck1996) {
  const { lowest, expected, highest, pairs } = depositPoints(logOf([[0, t, u]]), accuracy, formula);
  const number = pairs.of[0]!;
  return { lowest: lowest[number]!, expected: expected[number]!, highest: highest[number]! };
}

describe('deposit point', () => {
  it('is the dew point above 0 °C and the frost point below', () => {
    expect(deposit(20, 60).expected).toBe(dewPoint(20, 60));
    expect(deposit(2, 60).expected).toBe(frostPoint(2, 60));
    expect(deposit(-20, 60).expected).toBe(frostPoint(-20, 60));
  });

  it('passes 0 °C without a step back', () => {
    let before = deposit(5, 70.5).expected;
    for (let u = 70.5; u < 70.7; u += 0.0005) {
      const { expected } = deposit(5, u);
      expect(expected).toBeGreaterThanOrEqual(before);
      before = expected;
    }
  });

  it.each([
    { why: 'no temperature', t: NaN, u: 50 },
    { why: 'no humidity', t: 10, u: NaN },
    { why: 'humidity no air can have', t: 10, u: 104.5 },
    { why: 'temperature outside the formula', t: 120, u: 50 },
  ])('$why: none of the three', ({ t, u }) => {
    expect(deposit(t, u, { temperature: 0.5, humidity: 3 })).toEqual({
      lowest: NaN,
      expected: NaN,
      highest: NaN,
    });
  });

  it('of air without any vapour is far below every surface', () => {
    expect(deposit(10, 0).expected).toBeLessThan(-60);
  });

  it('at the corners of the accuracy', () => {
    const { lowest, highest } = deposit(15, 80, { temperature: 0.5, humidity: 3 });
    expect(lowest).toBe(dewPoint(15.5, 77) - 0.5);
    expect(highest).toBe(dewPoint(14.5, 83) + 0.5);
  });

  it('holds the humidity to 0..100 after adding its error', () => {
    expect(deposit(15, 98, { temperature: 0, humidity: 5 }).highest).toBe(dewPoint(15, 100));
    expect(deposit(15, 2, { temperature: 0, humidity: 5 }).lowest).toBe(deposit(15, 0).expected);
  });

  it('for no error within accuracy lies outside the corners', () => {
    const part = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        fc.constantFrom(buck1996, magnusWmo, hylandWexler),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        part,
        part,
        (formula, where, u, aT, aU, partT, partU) => {
          const [coldest, hottest] = formula.waterRange;
          const bottom = Math.max(coldest + 3, -62);
          const t = bottom + (hottest - 3 - bottom) * where;
          const { lowest, highest } = deposit(t, u, { temperature: aT, humidity: aU }, formula);
          const [dT, dU] = [aT * partT, aU * partU];
          const off = deposit(t + dT, Math.min(100, Math.max(0, u + dU)), exact, formula).expected - dT;
          // 1e-6 K: the iterated inverse of one formula.
          expect(off).toBeGreaterThanOrEqual(lowest - 1e-6);
          expect(off).toBeLessThanOrEqual(highest + 1e-6);
        },
      ),
      { numRuns: 2000 },
    );
  });

  describe('for a surface that shares the error of the air thermometer in part', () => {
    const share = (t: number, u: number, accuracy: typeof exact, shared: number, own: number) => {
      const log = logOf([[0, t, u]]);
      const points = withErrors(depositPoints(log, accuracy), { shared, own });
      const number = points.pairs.of[0]!;
      return {
        lowest: points.lowest[number]!,
        highest: points.highest[number]!,
        expected: points.expected[number]!,
      };
    };

    it('or not at all, is at the other corners', () => {
      const { lowest, highest } = share(15, 80, { temperature: 0.5, humidity: 3 }, 0, 0.2);
      expect(lowest).toBe(dewPoint(14.5, 77) - 0.2);
      expect(highest).toBe(dewPoint(15.5, 83) + 0.2);
    });

    it('is at the more extreme of both', () => {
      // At (15, 80) the dew point moves by 0.97 K per kelvin.
      const little = share(15, 80, { temperature: 1, humidity: 0 }, 0.3, 0);
      expect(little.highest).toBe(dewPoint(16, 80) - 0.3);
      const much = share(15, 80, { temperature: 1, humidity: 0 }, 0.99, 0);
      expect(much.highest).toBe(dewPoint(14, 80) + 0.99);
    });

    it('for no error within accuracy lies outside by more than is stated', () => {
      const part = fc.double({ min: -1, max: 1, noNaN: true });
      fc.assert(
        fc.property(
          fc.double({ min: -33, max: 48, noNaN: true }),
          fc.double({ min: 15, max: 100, noNaN: true }),
          fc.record({
            temperature: fc.double({ min: 0, max: 2, noNaN: true }),
            humidity: fc.double({ min: 0, max: 5, noNaN: true }),
          }),
          fc.double({ min: 0, max: 1, noNaN: true }),
          fc.double({ min: 0, max: 1, noNaN: true }),
          fc.tuple(part, part, part),
          (t, u, accuracy, shared, own, [partT, partU, partS]) => {
            const { lowest, expected, highest } = share(t, u, accuracy, shared, own);
            const [dT, dU] = [accuracy.temperature * partT, accuracy.humidity * partU];
            const off =
              deposit(t + dT, Math.min(100, Math.max(0, u + dU))).expected - shared * dT - own * partS;
            const frostToDew = Math.abs(expected) < 6;
            const beyond = 0.001 + (frostToDew ? accuracy.temperature / 40 : 0);
            expect(off).toBeGreaterThanOrEqual(lowest - beyond);
            expect(off).toBeLessThanOrEqual(highest + beyond);
            // the same sum in another order, where a sensor is off by nothing
            expect(lowest).toBeLessThanOrEqual(expected + 1e-9);
            expect(highest).toBeGreaterThanOrEqual(expected - 1e-9);
          },
        ),
        { numRuns: 2000 },
      );
    });
  });
});
