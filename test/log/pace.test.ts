import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pacesOf } from '../../src/log/pace.js';
import { MINUTE } from '../../src/units.js';

/** Instants, minutes apart as listed: `[10, 30]` is thirty intervals of ten minutes. */
function timeOf(...runs: readonly (readonly [minutes: number, count: number])[]): Float64Array {
  const time = [0];
  for (const [minutes, count] of runs) {
    for (let i = 0; i < count; i++) time.push(time.at(-1)! + minutes * MINUTE);
  }
  return Float64Array.from(time);
}

/** First row and cadence in minutes of each stretch. */
const paces = (time: Float64Array, cadence = 10) =>
  pacesOf(time, cadence * MINUTE).map(({ first, cadence: pace }) => [first, pace / MINUTE]);

describe('the paces of a log', () => {
  it.each([
    { why: 'none', time: new Float64Array(0), found: [[0, 10]] },
    { why: 'one', time: timeOf([10, 99]), found: [[0, 10]] },
    {
      why: 'slower',
      time: timeOf([10, 50], [30, 50]),
      found: [
        [0, 10],
        [50, 30],
      ],
    },
    {
      why: 'faster',
      time: timeOf([10, 50], [5, 50]),
      found: [
        [0, 10],
        [50, 5],
      ],
    },
    {
      why: 'and back',
      time: timeOf([10, 50], [30, 50], [10, 50]),
      found: [
        [0, 10],
        [50, 30],
        [100, 10],
      ],
    },
    {
      why: 'another from the start',
      time: timeOf([30, 50], [10, 60]),
      found: [
        [0, 30],
        [50, 10],
      ],
    },
    { why: 'another all along', time: timeOf([30, 50]), found: [[0, 30]] },
    {
      why: 'twice as long, 12 times',
      time: timeOf([10, 50], [20, 12], [10, 50]),
      found: [
        [0, 10],
        [50, 20],
        [62, 10],
      ],
    },
    {
      why: 'twice as long, 11 times: lost readings',
      time: timeOf([10, 50], [20, 11], [10, 50]),
      found: [[0, 10]],
    },
    { why: 'a burst of seconds', time: timeOf([10, 50], [0.1, 60], [10, 50]), found: [[0, 10]] },
    {
      why: 'half as long for 12 of the longer',
      time: timeOf([10, 50], [5, 24]),
      found: [
        [0, 10],
        [50, 5],
      ],
    },
    { why: 'half as long for less', time: timeOf([10, 50], [5, 23]), found: [[0, 10]] },
    {
      why: 'a reading lost at the change',
      time: timeOf([10, 50], [60, 1], [30, 20]),
      found: [
        [0, 10],
        [50, 30],
      ],
    },
    {
      why: 'readings lost later',
      time: timeOf([10, 50], [30, 20], [90, 1], [30, 5], [60, 9], [30, 9]),
      found: [
        [0, 10],
        [50, 30],
      ],
    },
    {
      why: 'a pause and a restart at the change',
      time: timeOf([10, 50], [77, 1], [30, 20]),
      found: [
        [0, 10],
        [51, 30],
      ],
    },
    {
      why: 'readings lost at once',
      time: timeOf(
        [10, 50],
        ...Array.from(
          { length: 6 },
          () =>
            [
              [30, 2],
              [90, 1],
            ] as const,
        ).flat(),
      ),
      found: [
        [0, 10],
        [50, 30],
      ],
    },
    {
      why: 'readings that came twice',
      time: timeOf(
        [10, 50],
        ...Array.from(
          { length: 12 },
          () =>
            [
              [30, 1],
              [0, 1],
            ] as const,
        ).flat(),
      ),
      found: [
        [0, 10],
        [50, 30],
      ],
    },
    { why: 'a tenth longer', time: timeOf([10, 50], [11, 50]), found: [[0, 10]] },
    {
      why: 'more than that',
      time: timeOf([10, 50], [11.2, 50]),
      found: [
        [0, 10],
        [50, 11.2],
      ],
    },
  ])('$why', ({ time, found }) => {
    expect(paces(time)).toEqual(found);
  });

  it('that wobble are not seen as changes', () => {
    const time = timeOf([10, 500]).map((at, i) => at + ((i * 37) % 60) * 1000 - 30_000);
    expect(paces(time)).toEqual([[0, 10]]);
  });

  it('share out all intervals, whatever the log', () => {
    const runs = fc.array(
      fc.tuple(fc.constantFrom(0, 0.05, 1, 5, 10, 11.5, 30, 61), fc.integer({ min: 1, max: 40 })),
      {
        maxLength: 12,
      },
    );
    fc.assert(
      fc.property(runs, (drawn) => {
        const time = timeOf(...drawn);
        const found = pacesOf(time, 10 * MINUTE);
        expect(found[0]!.first).toBe(0);
        expect(found.at(-1)!.last).toBe(time.length - 1);
        for (let i = 1; i < found.length; i++) {
          expect(found[i]!.first).toBe(found[i - 1]!.last);
          expect(found[i]!.first).toBeGreaterThan(found[i - 1]!.first);
        }
        expect(found.every(({ cadence }) => cadence > 0)).toBe(true);
      }),
    );
  });
});
