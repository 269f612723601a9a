import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { append, both, either, type Intervals, lasting } from '../../src/damp/intervals.js';

const SPAN = 40;
/** Which of the ticks of a span are in. The slow way of saying the same. */
const ticks = fc.array(fc.boolean(), { minLength: SPAN, maxLength: SPAN });

function intervalsOf(ticks: readonly boolean[]): Intervals {
  const intervals: number[] = [];
  ticks.forEach((isIn, tick) => {
    if (isIn) append(intervals, tick, tick + 1);
  });
  return intervals;
}

function ticksOf(intervals: Intervals): boolean[] {
  return Array.from({ length: SPAN }, (_, tick) =>
    intervals.some((start, i) => i % 2 === 0 && start <= tick && tick < intervals[i + 1]!),
  );
}

describe('intervals', () => {
  it('touching ones are one, empty ones none', () => {
    const intervals: number[] = [];
    append(intervals, 1, 1);
    append(intervals, 1, 3);
    append(intervals, 3, 5);
    append(intervals, 7, 6);
    append(intervals, 7, 8);
    expect(intervals).toEqual([1, 5, 7, 8]);
  });

  it('agree with a list of ticks', () => {
    fc.assert(
      fc.property(ticks, ticks, (one, other) => {
        const [a, b] = [intervalsOf(one), intervalsOf(other)];
        expect(ticksOf(a)).toEqual(one);
        expect(ticksOf(both(a, b))).toEqual(one.map((isIn, i) => isIn && other[i]!));
        expect(ticksOf(either(a, b))).toEqual(one.map((isIn, i) => isIn || other[i]!));
      }),
    );
  });

  it('stay in order, none touching the next', () => {
    fc.assert(
      fc.property(ticks, ticks, (one, other) => {
        for (const join of [both, either]) {
          const joined = join(intervalsOf(one), intervalsOf(other));
          expect([...new Set(joined)].sort((a, b) => a - b)).toEqual(joined);
        }
      }),
    );
  });

  it('are left out where they do not last', () => {
    expect(lasting([0, 2, 5, 8, 10, 20], 3)).toEqual([5, 8, 10, 20]);
    expect(lasting([0, 2], 0)).toEqual([0, 2]);
  });
});
