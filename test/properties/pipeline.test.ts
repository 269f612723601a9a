import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type AuditDocument,
  type DailyDocument,
  type DampDocument,
  dewledger,
  documentOf,
  PATIENCE,
} from './program.js';
import { lengthOf, type RandomCsv, randomCsv, textOf } from './randomCsv.js';

/** Hours are written to 0.001 h, so a sum of three may be off by three halves of that. */
const THREE_ROUNDINGS = 0.0016;
const RUNS = { numRuns: 60 };

const any = randomCsv(['utc', 'offset', 'epoch', 'local']);
const placed = randomCsv(['utc', 'offset', 'epoch']);

const read = ({ zone }: RandomCsv) => ['-', '--zone', zone];

describe('any log', { timeout: PATIENCE }, () => {
  it('has every line and every reading accounted for', () =>
    fc.assert(
      fc.asyncProperty(any, async (csv) => {
        const text = textOf(csv);
        const { logs, sources } = await documentOf<AuditDocument>(['audit', ...read(csv)], text);
        for (const { lines } of [...logs, ...sources]) {
          expect(lines.header + lines.blank + lines.accepted + lines.rejected + lines.outside_window).toBe(
            lines.total,
          );
          expect(lines.total).toBe(text.split('\n').length - 1);
        }
        for (const { lines, readings } of logs) {
          expect(readings.accepted).toBe(lines.accepted);
          expect(readings.duplicates_dropped + readings.kept).toBe(readings.accepted);
        }
      }),
      RUNS,
    ));

  it.each(['hour', 'day', 'week', 'month'])('has every %s divided into frost, no frost and unknown', (per) =>
    fc.assert(
      fc.asyncProperty(any, async (csv) => {
        const { logs } = await documentOf<DailyDocument>(['daily', ...read(csv), '--per', per], textOf(csv));
        for (const period of logs.flatMap(({ periods }) => periods)) {
          const { frost_hours, not_frost_hours, frost_unknown_hours } = period;
          const sum = (frost_hours ?? 0) + not_frost_hours + frost_unknown_hours;
          expect(Math.abs(sum - lengthOf(period))).toBeLessThan(THREE_ROUNDINGS);
          // no frost and nothing known are told apart
          if (frost_hours === null) expect(frost_unknown_hours).toBe(lengthOf(period));
          else expect(frost_unknown_hours).toBeLessThanOrEqual(lengthOf(period));
        }
      }),
      { numRuns: 25 },
    ),
  );

  it.each(['hour', 'day', 'month'])('has every %s divided into wet, dry and unknown', (per) =>
    fc.assert(
      fc.asyncProperty(any, fc.constantFrom('PT0S', 'PT20M', 'PT3H'), async (csv, timeConstant) => {
        const words = ['damp', ...read(csv), '--per', per, '--surface', `winch=${timeConstant}`];
        const { surfaces } = await documentOf<DampDocument>(words, textOf(csv));
        for (const period of surfaces.flatMap(({ periods }) => periods)) {
          const certain = period.condensation_hours_certain ?? 0;
          const expected = period.condensation_hours_expected ?? 0;
          const possible = period.condensation_hours_possible ?? 0;
          expect(
            Math.abs(expected + period.dry_hours + period.unknown_hours - lengthOf(period)),
          ).toBeLessThan(THREE_ROUNDINGS);
          expect(certain).toBeLessThanOrEqual(expected);
          expect(expected).toBeLessThanOrEqual(possible);
          // what could be wet is known time too
          expect(possible + period.unknown_hours).toBeLessThanOrEqual(lengthOf(period) + THREE_ROUNDINGS);
        }
      }),
      { numRuns: 25 },
    ),
  );

  it.each([
    { policy: 'blank', why: 'bad values blank' },
    { policy: 'keep', why: 'bad values kept with their flag' },
  ])('cleaned twice is what it was cleaned once: $why', ({ policy }) =>
    fc.assert(
      fc.asyncProperty(any, async (csv) => {
        const words = ['clean', ...read(csv), '--bad', policy];
        const once = await dewledger(words, textOf(csv));
        const twice = await dewledger(words, once.stdout);
        expect(twice).toMatchObject({ code: 0, stdout: once.stdout });
      }),
      RUNS,
    ),
  );

  it('cleaned does not depend on the order of its lines, where the stamps say their offset', () =>
    fc.assert(
      fc.asyncProperty(
        placed.chain((csv) =>
          fc
            .shuffledSubarray([...csv.lines], { minLength: csv.lines.length })
            .map((lines) => ({ csv, shuffled: textOf({ ...csv, lines }) })),
        ),
        async ({ csv, shuffled }) => {
          const inOrder = await dewledger(['clean', ...read(csv)], textOf(csv));
          const mixed = await dewledger(['clean', ...read(csv)], shuffled);
          expect(mixed.stdout).toBe(inOrder.stdout);
        },
      ),
      RUNS,
    ));

  it('cut in two at a midnight has the readings and the days of the whole', () =>
    fc.assert(
      // which of several readings of one instant stays may hang on readings further off than the window's run-up
      fc.asyncProperty(randomCsv(['utc', 'offset', 'epoch'], false), async (csv) => {
        const text = textOf(csv);
        // of the cadence a part may have another opinion than the whole
        const words = [...read(csv), '--cadence', 'PT30M'];
        const whole = await documentOf<DailyDocument>(['daily', ...words], text);
        const days = whole.logs[0]!.periods;
        fc.pre(days.length > 1);
        const cut = days[days.length >> 1]!.period_start.slice(0, 10);
        const parts = await Promise.all(
          [
            ['--until', cut],
            ['--since', cut],
          ].map(async (window) => {
            const { logs } = await documentOf<AuditDocument>(['audit', ...words, ...window], text);
            const daily = await documentOf<DailyDocument>(['daily', ...words, ...window], text);
            const damp = await documentOf<DampDocument>(['damp', ...words, ...window], text);
            return {
              readings: logs[0]!.readings,
              days: daily.logs[0]!.periods,
              wet: damp.surfaces[0]!.periods,
            };
          }),
        );
        const { logs } = await documentOf<AuditDocument>(['audit', ...words], text);
        const damp = await documentOf<DampDocument>(['damp', ...words], text);
        const both = (of: 'accepted' | 'kept') => parts[0]!.readings[of] + parts[1]!.readings[of];
        expect([both('accepted'), both('kept')]).toEqual([
          logs[0]!.readings.accepted,
          logs[0]!.readings.kept,
        ]);
        expect(parts.flatMap((part) => part.days)).toEqual(days);
        expect(parts.flatMap(({ wet }) => wet)).toEqual(damp.surfaces[0]!.periods);
      }),
      { numRuns: 25 },
    ));
});
