import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DailyDocument, type DampDocument, documentOf, PATIENCE } from './program.js';
import { lengthOf, ZONES } from './randomCsv.js';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

/** A month of readings near 4 °C and 90 %, all dry, with four whole days of the zone and a little more left out. */
const monthWithGap = fc
  .record({
    zone: fc.constantFrom(...ZONES),
    // with the changes of daylight saving in March, April, October and November
    month: fc.constantFrom(1, 2, 3, 9, 10),
    cadence: fc.constantFrom(10, 30, 60),
    gapFrom: fc.integer({ min: 2, max: 22 }),
    more: fc.integer({ min: 27, max: 40 }),
  })
  .map(({ zone, month, cadence, gapFrom, more }) => {
    // begins and ends outside the month in every zone
    const start = Date.UTC(2025, month - 1, 1) - DAY;
    const end = Date.UTC(2025, month, 1) + DAY;
    const from = start + gapFrom * DAY;
    const until = from + 4 * DAY + more * HOUR;
    const lines = ['time,temperature_degC,humidity_pct'];
    for (let at = start, i = 0; at < end; at += cadence * 60_000, i++) {
      if (at > from && at < until) continue;
      lines.push(`${new Date(at).toISOString().slice(0, 19)}Z,${4 + (i % 7) / 10},${88 + (i % 5)}`);
    }
    const name = `2025-${String(month).padStart(2, '0')}`;
    const next = `2025-${String(month + 1).padStart(2, '0')}`;
    return {
      text: `${lines.join('\n')}\n`,
      words: ['-', '--zone', zone, '--since', `${name}-01`, '--until', `${next}-01`],
      gap: { from, until },
    };
  });

type Span = { period_start: string; period_end: string };
/** The reading before the gap may stand at a midnight, and then belongs to the day that begins with it. */
const within = (gap: { from: number; until: number }, { period_start, period_end }: Span) =>
  Date.parse(period_start) > gap.from && Date.parse(period_end) <= gap.until;
/** Hours of a period that lie in the gap. */
const unseenIn = (gap: { from: number; until: number }, { period_start, period_end }: Span) =>
  Math.max(0, Math.min(gap.until, Date.parse(period_end)) - Math.max(gap.from, Date.parse(period_start))) /
  HOUR;

describe('a month with a gap of four days and more', { timeout: PATIENCE }, () => {
  it.each(['air=PT0S', 'winch=PT3H', 'keel=PT24H'])('never calls those days dry: %s', (surface) =>
    fc.assert(
      fc.asyncProperty(monthWithGap, async ({ text, words, gap }) => {
        const damp = ['damp', ...words, '--surface', surface];
        const { surfaces } = await documentOf<DampDocument>(damp, text);
        const days = surfaces[0]!.periods;
        expect(days.filter((day) => within(gap, day)).length).toBeGreaterThanOrEqual(4);
        for (const day of days) {
          expect(day.unknown_hours).toBeGreaterThanOrEqual(unseenIn(gap, day) - 0.001);
          if (!within(gap, day)) continue;
          expect(day).toMatchObject({
            condensation_hours_certain: null,
            condensation_hours_expected: null,
            condensation_hours_possible: null,
            dry_hours: 0,
            unknown_hours: lengthOf(day),
          });
        }
        const monthly = await documentOf<DampDocument>([...damp, '--per', 'month'], text);
        const month = monthly.surfaces[0]!.periods;
        expect(month).toHaveLength(1);
        expect(month[0]!.unknown_hours).toBeGreaterThanOrEqual((gap.until - gap.from) / HOUR - 0.001);
        expect(month[0]!.dry_hours).toBeLessThanOrEqual(
          lengthOf(month[0]!) - month[0]!.unknown_hours + 0.002,
        );
      }),
      { numRuns: 8 },
    ),
  );

  it('never calls those days free of frost or complete', () =>
    fc.assert(
      fc.asyncProperty(monthWithGap, async ({ text, words, gap }) => {
        const { logs } = await documentOf<DailyDocument>(['daily', ...words], text);
        for (const day of logs[0]!.periods) {
          if (!within(gap, day)) continue;
          expect(day).toMatchObject({
            air_temperature_min_degC: null,
            air_temperature_mean_degC: null,
            relative_humidity_max_pct: null,
            frost_hours: null,
            not_frost_hours: 0,
            frost_unknown_hours: lengthOf(day),
            readings: 0,
            coverage: 0,
            complete: false,
          });
        }
        const { logs: monthly } = await documentOf<DailyDocument>(
          ['daily', ...words, '--per', 'month'],
          text,
        );
        expect(monthly[0]!.periods).toMatchObject([{ complete: false, air_temperature_mean_degC: null }]);
      }),
      { numRuns: 8 },
    ));
});
