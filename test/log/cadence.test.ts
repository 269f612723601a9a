import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bridgingLimit } from '../../src/log/bridging.js';
import { inferCadence } from '../../src/log/cadence.js';
import { HOUR, MINUTE, SECOND } from '../../src/units.js';

/** Seconds from a start, as a column of instants. */
function instantsAfter(steps: readonly number[]): Float64Array {
  let at = Date.UTC(2025, 9, 1);
  return Float64Array.from([0, ...steps], (step) => {
    at += step * SECOND;
    return at;
  });
}
const times = <Item>(count: number, ...items: Item[]) => Array.from({ length: count }, () => items).flat();
/** From -1 to 1, the same at every run. */
const wobble = (i: number) => ((i * 7919) % 2001) / 1000 - 1;

describe('the cadence', () => {
  it.each([
    { why: 'steady', steps: times(10, 600), seconds: 600 },
    { why: 'two readings', steps: [300], seconds: 300 },
    { why: 'jitter of a second to either side', steps: times(30, 59, 60, 60, 61), seconds: 60 },
    { why: 'steps that are whole seconds only after rounding', steps: times(30, 299.6, 300.4), seconds: 300 },
    { why: 'every reading sent twice', steps: times(30, 0, 600), seconds: 600 },
    { why: 'holes of any length', steps: times(5, 600, 600, 7200, 600, 86_400, 1200), seconds: 600 },
    {
      why: 'a tie goes to the shorter: the longer are lost readings',
      steps: times(9, 1200, 600),
      seconds: 600,
    },
    { why: 'one lost reading of three', steps: [1200, 600], seconds: 600 },
    { why: 'faster than a second', steps: times(20, 0.25), seconds: 1 },
    {
      why: 'a clock that wobbles by a minute',
      steps: times(400, 0).map((_, i) => 1800 + 60 * wobble(i)),
      seconds: 1800,
      within: 0.01,
    },
    {
      why: 'few readings of a clock that wobbles, two of them close together',
      steps: [10, 1799, 1801, 1800, 1803],
      seconds: 1800,
    },
    { why: 'a slow second stage', steps: [...times(60, 60), ...times(20, 3600)], seconds: 60 },
  ])('$why → $seconds s', ({ steps, seconds, within = 0 }) => {
    // a wobbling clock says it only to within its wobble over the root of the readings: 1 % is allowed
    const cadence = inferCadence(instantsAfter(steps))! / SECOND;
    expect(Math.abs(cadence / seconds - 1)).toBeLessThanOrEqual(within);
  });

  it.each([
    { why: 'no reading', column: new Float64Array(0) },
    { why: 'one reading', column: instantsAfter([]) },
    { why: 'readings of one instant only', column: instantsAfter([0, 0, 0]) },
  ])('there is none with $why', ({ column }) => {
    expect(inferCadence(column)).toBeNull();
  });

  it('is one of the intervals, to the second, and does not mind duplicates', () => {
    const steps = fc.array(fc.integer({ min: 1, max: 5000 }), { minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(steps, (seconds) => {
        const cadence = inferCadence(instantsAfter(seconds))!;
        expect(seconds).toContain(cadence / SECOND);
        expect(inferCadence(instantsAfter(seconds.flatMap((step) => [step, 0])))).toBe(cadence);
      }),
    );
  });
});

describe('the bridging limit', () => {
  it.each([
    { cadence: 5 * MINUTE, limit: 10 * MINUTE },
    { cadence: 1.5 * HOUR, limit: 3 * HOUR },
    { cadence: 2 * HOUR, limit: 3 * HOUR },
    { cadence: null, limit: 3 * HOUR },
  ])('$cadence ms → $limit ms', ({ cadence, limit }) => {
    expect(bridgingLimit(cadence)).toBe(limit);
  });
});
