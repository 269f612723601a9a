import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { displacedRows } from '../../src/audit/disorder.js';
import { lineAt } from '../../src/log/lines.js';
import { MINUTE } from '../../src/units.js';
import { lineNumbers } from '../log/lineNumbers.js';
import { auditOf, brief, findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';

const lines = (minutes: readonly number[]): Line[] =>
  minutes.map((minute) => ({ minute, temperature: 15, humidity: 60 }));
const run = (from: number, to: number) => Array.from({ length: to - from }, (_, i) => 10 * (from + i));
const TEN = 10 * MINUTE;
const IN_2036 = (Date.UTC(2036, 0, 1) - Date.UTC(2025, 9, 1)) / MINUTE;

/** Lines, counted from 1 among the readings, that are out of order. */
function displaced(minutes: readonly number[]): number[] {
  const { log, parts } = readingOf([lines(minutes)]);
  const rows = displacedRows(
    log,
    parts.map(({ newestFirst }) => newestFirst),
    TEN,
  );
  return [...rows].map((row) => lineAt(log.lines, row) - 1).sort((a, b) => a - b);
}
const places = (from: number, to: number) => Array.from({ length: to - from + 1 }, (_, i) => from + i);

describe('lines out of order', () => {
  it.each([
    { why: 'in order', minutes: run(0, 50), out: [] },
    { why: 'in order with ties', minutes: [0, 10, 10, 20, 20], out: [] },
    { why: 'one late', minutes: [0, 10, 30, 20, 40, 50], out: [4] },
    {
      why: 'more late than new before them',
      minutes: [...run(0, 50), ...run(70, 73), ...run(50, 70), ...run(73, 99)],
      out: places(54, 73),
    },
    {
      why: 'fewer late than new before them',
      minutes: [...run(0, 50), ...run(53, 80), ...run(50, 53)],
      out: [78, 79, 80],
    },
    {
      why: 'the late ones end the file',
      minutes: [...run(0, 50), ...run(70, 73), ...run(50, 70)],
      out: places(54, 73),
    },
    { why: 'one reading of 2036 in the midst', minutes: [...run(0, 50), IN_2036, ...run(51, 99)], out: [51] },
    { why: 'one reading of 2036 at the start', minutes: [IN_2036, ...run(0, 50)], out: [1] },
    {
      why: 'one of a day ahead, in a log that goes on past it',
      minutes: [...run(0, 50), 10 * 194 + 3, ...run(51, 300)],
      out: [51],
    },
    {
      why: 'one ahead, on the minute of a true one',
      minutes: [...run(0, 50), 1940, ...run(51, 300)],
      out: [51],
    },
    {
      why: 'an hour by a clock set a day ahead',
      minutes: [...run(0, 50), ...run(200, 206), ...run(56, 300)],
      out: places(51, 56),
    },
    {
      why: 'one of 2000, from a clock that was reset',
      minutes: [...run(0, 50), -13_000_000, ...run(51, 99)],
      out: [51],
    },
    { why: 'one of 2036 at the end is in order', minutes: [...run(0, 50), IN_2036], out: [] },
    {
      why: 'an old file behind a new one',
      minutes: [...run(100, 160), ...run(0, 100)],
      out: places(61, 160),
    },
  ])('$why → $out', ({ minutes, out }) => {
    expect(displaced(minutes)).toEqual(out);
  });

  it('a thousand late ones after three new are one note with their lines', () => {
    const late = [...run(0, 100), ...run(1100, 1103), ...run(100, 1100), ...run(1103, 1200)];
    const found = findingsOf(auditOf(lines(late)), 'disorder');
    expect(found.map(brief)).toEqual([[1000, 10_990, 1000, 105, 1104]]);
    expect(found[0]!.severity).toBe('note');
  });

  it('without them a file is in order, whatever it holds', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 40 })), fc.boolean(), (steps, newestFirst) => {
        const { log, parts } = readingOf([lines(steps.map((step) => 5 * step))], newestFirst);
        const out = displacedRows(
          log,
          parts.map((part) => part.newestFirst),
          TEN,
        );
        const left = lineNumbers(log.lines).filter((_, row) => !out.includes(row));
        const ascending = [...left].sort((x, y) => x - y);
        expect(left).toEqual(newestFirst ? ascending.reverse() : ascending);
        expect([...out]).toEqual([...new Set(out)].sort((x, y) => x - y));
      }),
    );
  });

  it('none in a file from the newest to the oldest, and the late one in it', () => {
    const backward = (minutes: number[]) => readingOf([lines([...minutes].reverse())], true);
    expect(findingsOf(audit(backward(run(0, 50)), SETTINGS), 'disorder')).toEqual([]);
    const late = audit(backward([...run(0, 50), 520, 500, 510, ...run(53, 60)]), SETTINGS);
    expect(findingsOf(late, 'disorder').map(brief)).toEqual([[500, 510, 2, 9, 10]]);
  });

  it('two files of one logger are in order in either order', () => {
    const [older, newer] = [lines(run(0, 50)), lines(run(50, 99))];
    for (const inputs of [
      [older, newer],
      [newer, older],
    ]) {
      const audited = audit(readingOf(inputs), SETTINGS);
      expect(findingsOf(audited, 'disorder')).toEqual([]);
      expect(audited.log.time).toEqual(readingOf([lines(run(0, 99))]).log.time);
    }
  });

  it('a late line is told with the file that it stands in', () => {
    const audited = audit(readingOf([lines(run(0, 50)), lines([500, 520, 510, 530])]), SETTINGS);
    expect(findingsOf(audited, 'disorder')).toMatchObject([
      { source: 'part-2.csv', lines: [4, 4], count: 1 },
    ]);
  });
});
