import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Audited, audit } from '../../src/audit/audit.js';
import { CHECKS } from '../../src/audit/checks.js';
import { clean, partOfCleaned } from '../../src/cleaning/clean.js';
import { Flag } from '../../src/log/flag.js';
import { slice } from '../../src/log/log.js';
import { rowsWithin, type Span } from '../../src/log/span.js';
import { lineNumbers } from '../log/lineNumbers.js';
import { at, findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';
import { changed, ordinary, rewritten, round } from './ordinary.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };
const LEARNING = new Set(CHECKS.filter(({ learns }) => learns === true).map(({ name }) => name));

/** The audit of the part of a log that lies in a window. */
function auditWithin(whole: Audited, { from, until }: Span) {
  const { first, end } = rowsWithin(whole.log.time, { from, until });
  const log = slice(whole.log, first, end);
  return audit({ ...whole, log, around: whole.log }, { ...SETTINGS, from, until });
}

describe('a spike in a day that by itself is too short to know its habits', () => {
  // ten days at one reading an hour, and one reading that the air cannot have made
  const lines = changed(ordinary(240, 60), { 130: { temperature: 1 } });
  const whole = readingOf([lines]);
  const day = { from: at(5 * 1440), until: at(6 * 1440) };

  it('is told of the day as of the whole log', () => {
    const [spike] = findingsOf(auditWithin(whole, day), 'spike');
    expect(spike).toMatchObject({ count: 1, from: at(130 * 60), lines: [132, 132] });
    expect(findingsOf(audit(whole, SETTINGS), 'spike')).toEqual([spike]);
  });

  it('is not told of the day after', () => {
    const after = { from: day.until, until: at(7 * 1440) };
    expect(auditWithin(whole, after).findings).toEqual([]);
  });

  it('takes its flag with it into the cleaned log of the day', () => {
    const within = auditWithin(whole, day);
    const part = partOfCleaned(clean(within.around, ACCURACY), within.asked);
    expect(part.log.length).toBe(24);
    expect(part.flags.temperature.findIndex((flag) => flag >= Flag.questionable)).toBe(10);
    expect(within.flags.temperature[10]).toBe(part.flags.temperature[10]);
  });
});

it('a stretch over the end of the window is told as far as it lies within, with its whole length', () => {
  const lines = rewritten(ordinary(), 150, 250, () => ({ temperature: 12.3, humidity: 66.6 }));
  const [flat] = findingsOf(
    auditWithin(readingOf([lines]), { from: at(2000), until: at(3000) }),
    'flat_line',
  );
  expect(flat).toMatchObject({ from: at(2000), until: at(2490), count: 50, lines: [202, 251] });
  expect(flat!.message).toBe(
    'temperature and humidity stay at 12.3 °C and 66.6 % for 16 h 30 min, in part outside the time asked for',
  );
});

it('too few readings to show a cadence have that of the log around them', () => {
  const lines = ordinary().filter((_, i) => i !== 301);
  const { cadence, findings } = auditWithin(readingOf([lines]), { from: at(3000), until: at(3030) });
  expect(cadence).toBe(600_000);
  expect(findings).toMatchObject([{ check: 'gap', severity: 'note' }]);
});

const FAULTS: readonly ((line: Line) => Partial<Line>)[] = [
  ({ temperature }) => ({ temperature: temperature + 12 }),
  ({ temperature }) => ({ temperature: round(10 * temperature) }),
  ({ temperature }) => ({ temperature: round(1.8 * temperature + 32) }),
  ({ temperature, humidity }) => ({ temperature: humidity, humidity: temperature }),
  ({ temperature }) => ({ humidity: temperature }),
  () => ({ temperature: 12.3, humidity: 66.6 }),
  () => ({ humidity: 100 }),
  () => ({ humidity: 105 }),
  () => ({ temperature: -127 }),
  () => ({ temperature: NaN }),
];

const stretch = fc.record({
  from: fc.nat(430),
  length: fc.oneof(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 5, max: 200 })),
  fault: fc.constantFrom(...FAULTS),
});
/** A log with faults, some of its readings sent again, and some in conflict. */
const logs = fc
  .record({
    stretches: fc.array(stretch, { minLength: 1, maxLength: 4 }),
    again: fc.array(fc.nat(430), { maxLength: 4 }),
    other: fc.array(fc.nat(430), { maxLength: 2 }),
  })
  .map(({ stretches, again, other }) => {
    const lines = stretches.reduce(
      (sofar, { from, length, fault }) => rewritten(sofar, from, from + length, fault),
      ordinary(),
    );
    return readingOf([
      [
        ...lines,
        ...again.map((i) => ({ ...lines[i]!, minute: lines[i]!.minute + 0.2 })),
        ...other.map((i) => ({ ...lines[i]!, temperature: lines[i]!.temperature + 1 })),
      ],
    ]);
  });
const cuts = fc.uniqueArray(fc.integer({ min: -20, max: 4400 }), { minLength: 1, maxLength: 4 });

it('what is told of windows that cover a log is what is told of the log, and each tells of itself alone', () => {
  fc.assert(
    fc.property(logs, cuts, (whole, minutes) => {
      const all = audit(whole, SETTINGS);
      const cleaned = clean(all, ACCURACY);
      const ends = [null, ...minutes.sort((a, b) => a - b).map(at), null];
      const kept: number[] = [];
      const counts = new Map<string, number>();
      for (const [i, until] of ends.slice(1).entries()) {
        const from = ends[i]!;
        const within = auditWithin(whole, { from, until });
        const own = new Set(lineNumbers(within.log.lines));
        const { first, end } = within.asked;
        expect([...within.flags.temperature]).toEqual([...all.flags.temperature.subarray(first, end)]);
        expect([...within.flags.humidity]).toEqual([...all.flags.humidity.subarray(first, end)]);
        const part = partOfCleaned(clean(within.around, ACCURACY), within.asked);
        expect(part.kept.count + part.dropped.length).toBe(within.log.length);
        kept.push(...part.log.time);
        for (const { check, quantity, from: start, until: stop, count, lines } of within.findings) {
          expect(start ?? from ?? 0).toBeGreaterThanOrEqual(from ?? -Infinity);
          expect(stop ?? 0).toBeLessThanOrEqual(until ?? Infinity);
          if (!LEARNING.has(check)) continue;
          expect(lines!.every((line) => own.has(line))).toBe(true);
          const key = `${check} ${quantity}`;
          counts.set(key, (counts.get(key) ?? 0) + count);
        }
      }
      const expected = new Map<string, number>();
      for (const { check, quantity, count } of all.findings) {
        if (!LEARNING.has(check)) continue;
        expected.set(`${check} ${quantity}`, (expected.get(`${check} ${quantity}`) ?? 0) + count);
      }
      expect(counts).toEqual(expected);
      expect(kept).toEqual([...cleaned.log.time]);
    }),
    { numRuns: 40 },
  );
}, 30_000);
