import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Course, courseOf, csvOf, wetHours } from './course.js';
import { type DampDocument, documentOf, PATIENCE } from './program.js';

const HOURS = 96;
/** The first day, on which a mass with up to 6 h of time constant settles, is left out. */
const FROM = 24;
const CADENCES = [1, 10, 30];

async function foundHours(course: Course, timeConstant: number, cadence: number): Promise<number> {
  const words = ['damp', '-', '--zone', 'UTC', '--surface', `winch=PT${timeConstant}H`];
  const { surfaces } = await documentOf<DampDocument>(words, csvOf(course, HOURS, cadence));
  const days = surfaces[0]!.periods.slice(FROM / 24, HOURS / 24);
  expect(days.map(({ unknown_hours }) => unknown_hours)).toEqual([0, 0, 0]);
  return days.reduce((sum, { condensation_hours_expected: hours }) => sum + hours!, 0);
}

const day = { mean: 9, amplitude: 4, period: 24, phase: 8 };
const front = { mean: 0, amplitude: 5, period: 66, phase: 10 };
const drying = { mean: 0, amplitude: 1, period: 31, phase: 3 };
const still = { ...front, amplitude: 0 };

describe('hours of condensation on a mass do not depend on the cadence', { timeout: PATIENCE }, () => {
  it.each([
    { why: 'a daily wave, damp air', course: courseOf(day, still, 0.4, drying), timeConstant: 3 },
    { why: 'a warm front over a cold mass', course: courseOf(day, front, 0.5, drying), timeConstant: 6 },
    { why: 'a light thing', course: courseOf(day, front, 0.2, drying), timeConstant: 1 },
    {
      why: 'short swings',
      course: courseOf({ ...day, period: 7, amplitude: 2 }, front, 0.6, drying),
      timeConstant: 2,
    },
  ])('$why', async ({ course, timeConstant }) => {
    const truth = wetHours(course, timeConstant, FROM, HOURS, [0])[0]!;
    expect(truth).toBeGreaterThan(10);
    for (const cadence of CADENCES) {
      const found = await foundHours(course, timeConstant, cadence);
      expect(Math.abs(found / truth - 1), `${found} h of ${truth} h at ${cadence} min`).toBeLessThan(0.02);
    }
  });

  it('for any course, to what a straight line between readings can tell', () =>
    fc.assert(
      fc.asyncProperty(
        fc.record({
          amplitude: fc.double({ min: 1, max: 5, noNaN: true }),
          phase: fc.double({ min: 0, max: 24, noNaN: true }),
          swell: fc.double({ min: 0, max: 4, noNaN: true }),
          spread: fc.double({ min: 0.05, max: 2, noNaN: true }),
          dry: fc.double({ min: 0, max: 1.5, noNaN: true }),
        }),
        fc.integer({ min: 1, max: 6 }),
        fc.constantFrom(...CADENCES),
        async ({ amplitude, phase, swell, spread, dry }, timeConstant, cadence) => {
          const course = courseOf(
            { ...day, mean: 14, amplitude, phase },
            { ...front, amplitude: swell },
            spread,
            { ...drying, amplitude: dry },
          );
          // Between readings h apart a wave of amplitude A bends away from its chord by A (πh/P)² / 2:
          // 5 K in 24 h, read twice an hour, by 0.011 K; air and dew point may both do so, and the swell adds a little.
          const bend = 0.03;
          const found = await foundHours(course, timeConstant, cadence);
          const [least, most] = wetHours(course, timeConstant, FROM, HOURS, [-bend, bend]);
          expect(found).toBeGreaterThanOrEqual(least! - 0.005);
          expect(found).toBeLessThanOrEqual(most! + 0.005);
        },
      ),
      { numRuns: 8 },
    ));
});
