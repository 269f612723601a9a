import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type DampDocument, documentOf, PATIENCE } from './program.js';

/** The accuracy that is assumed where none is stated, in tenths. */
const KELVIN = 5;
const PERCENT = 30;
/** Two figures written to 0.001 h. */
const ROUNDING = 0.0011;

interface Step {
  readonly minutes: number;
  readonly warmer: number;
  readonly damper: number;
}

const steps = fc.array(
  fc.record({
    minutes: fc.oneof(
      { arbitrary: fc.constant(10), weight: 9 },
      { arbitrary: fc.integer({ min: 1, max: 400 }), weight: 1 },
    ),
    warmer: fc.integer({ min: -6, max: 6 }),
    damper: fc.integer({ min: -25, max: 25 }),
  }),
  { minLength: 10, maxLength: 150 },
);

/** The log of a sensor that is off by a constant [tenths]; it never shows more than 100 %. */
function csvOf(
  run: readonly Step[],
  start: { t: number; u: number },
  error: { t: number; u: number },
): string {
  let { t, u } = start;
  let time = Date.UTC(2025, 0, 10);
  const lines = ['time,temperature_degC,humidity_pct'];
  for (const { minutes, warmer, damper } of run) {
    time += minutes * 60_000;
    t = Math.max(-200, Math.min(300, t + warmer));
    u = Math.max(500, Math.min(1000, u + damper));
    const shown = [(t + error.t) / 10, Math.min(1000, u + error.u) / 10];
    lines.push(`${new Date(time).toISOString()},${shown.join(',')}`);
  }
  return `${lines.join('\n')}\n`;
}

it.each(['air=PT0S', 'winch=PT1H'])(
  'for any constant error within accuracy the hours lie between certain and possible: %s',
  { timeout: PATIENCE },
  (surface) =>
    fc.assert(
      fc.asyncProperty(
        steps,
        fc.record({ t: fc.integer({ min: -60, max: 200 }), u: fc.integer({ min: 850, max: 1000 }) }),
        fc.record({
          t: fc.integer({ min: -KELVIN, max: KELVIN }),
          u: fc.integer({ min: -PERCENT, max: PERCENT }),
        }),
        async (run, start, error) => {
          const words = ['damp', '-', '--zone', 'UTC', '--surface', surface, '--per', 'year'];
          const of = async (off: { t: number; u: number }) =>
            (await documentOf<DampDocument>(words, csvOf(run, start, off))).surfaces[0]!.periods[0]!;
          const shown = await of({ t: 0, u: 0 });
          const truth = await of(error);
          const wet = truth.condensation_hours_expected ?? 0;
          expect(wet).toBeGreaterThanOrEqual((shown.condensation_hours_certain ?? 0) - ROUNDING);
          expect(wet).toBeLessThanOrEqual((shown.condensation_hours_possible ?? 0) + ROUNDING);
          expect(truth.unknown_hours).toBe(shown.unknown_hours);
        },
      ),
      { numRuns: 40 },
    ),
);
