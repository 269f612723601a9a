import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnOf, pairsOf, tableOf } from '../../src/log/pairs.js';
import { logOf } from '../period/logOf.js';

const MANY = 12_000;

/** Enough readings for it to be worth while, of the given values in turn. */
function turns(...values: [number, number][]) {
  return logOf(Array.from({ length: MANY }, (_, i) => [i, ...values[i % values.length]!]));
}

describe('pairsOf', () => {
  it('numbers readings with the same two values alike, colder and then drier ones first', () => {
    const { count, of, temperature, humidity } = pairsOf(turns([10.1, 80.3], [10.1, 80.4], [-7.3, 80.3]));
    expect(count).toBe(4);
    expect([...of.subarray(0, 6)]).toEqual([2, 3, 1, 2, 3, 1]);
    expect(new Set(of)).toEqual(new Set([1, 2, 3]));
    expect([...temperature]).toEqual([NaN, -7.3, 10.1, 10.1]);
    expect([...humidity]).toEqual([NaN, 80.3, 80.3, 80.4]);
  });

  it.each([
    { why: 'not in tenths', pair: [10.15, 80.3] },
    { why: 'colder than air', pair: [-40.1, 80] },
    { why: 'hotter than air', pair: [60.1, 80] },
    { why: 'damper than air', pair: [20, 104.1] },
    { why: 'drier than air', pair: [20, -0.1] },
  ] as const)('gives a reading a number of its own: $why', ({ pair: [t, u] }) => {
    const { count, of } = pairsOf(turns([t, u]));
    expect(count).toBe(1 + MANY);
    expect(of.every((number, row) => number === row + 1)).toBe(true);
  });

  it.each([
    { why: 'no temperature', pair: [NaN, 80.3] },
    { why: 'no humidity', pair: [10.1, NaN] },
  ] as const)('gives a reading number 0: $why', ({ pair: [t, u] }) => {
    const { count, of } = pairsOf(turns([t, u]));
    expect(count).toBe(1);
    expect(of.every((number) => number === 0)).toBe(true);
  });

  it('does not take the corners of what it remembers for each other', () => {
    const corners: [number, number][] = [
      [-40, 0],
      [-40, 104],
      [-39.9, 0],
      [60, 0],
      [60, 104],
    ];
    const { of } = pairsOf(turns(...corners));
    expect(of.every((number, row) => number === (row % corners.length) + 1)).toBe(true);
  });

  it('gives back every value as it was read, in tenths or not', () => {
    const tenths = fc.integer({ min: -400, max: 600 }).map((t) => t / 10);
    const temperature = fc.oneof(tenths, fc.double({ noNaN: true, min: -90, max: 120 }), fc.constant(NaN));
    const humidity = fc.oneof(
      fc.integer({ min: 0, max: 1040 }).map((u) => u / 10),
      fc.double({ noNaN: true, min: -5, max: 110 }),
      fc.constant(NaN),
    );
    fc.assert(
      fc.property(fc.array(fc.tuple(temperature, humidity), { minLength: 1, maxLength: 40 }), (values) => {
        const log = turns(...values);
        const pairs = pairsOf(log);
        pairs.of.forEach((number, row) => {
          const isKnown = !Number.isNaN(log.temperature[row]! + log.humidity[row]!);
          if (number > 0 !== isKnown) throw new Error(`row ${row} has number ${number}`);
          // −0 is 0
          if (isKnown && pairs.temperature[number] !== log.temperature[row]) throw new Error(`row ${row}`);
          if (isKnown && pairs.humidity[number] !== log.humidity[row]) throw new Error(`row ${row}`);
        });
      }),
      { numRuns: 20 },
    );
  });

  it('does not look for pairs in few readings', () => {
    const { of } = pairsOf(logOf([0, 1, 2].map((i) => [i, 10.1, i === 1 ? NaN : 80.3])));
    expect([...of]).toEqual([1, 0, 2]);
  });
});

describe('tables', () => {
  it('work out each pair once, and what is not in tenths each time', () => {
    const log = turns([10.1, 80.3], [10.15, 80.3], [NaN, 80.3], [-7.3, 50]);
    let asked = 0;
    const pairs = pairsOf(log);
    const table = tableOf(pairs, (t, u) => {
      asked++;
      return t + u;
    });
    expect(asked).toBe(2 + MANY / 4);
    expect([...columnOf(pairs, table)]).toEqual([...log.temperature].map((t, i) => t + log.humidity[i]!));
  });
});
