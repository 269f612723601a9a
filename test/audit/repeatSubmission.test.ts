import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { UTC } from '../../src/calendar/zone.js';
import { changesOf } from '../../src/cleaning/changes.js';
import { clean } from '../../src/cleaning/clean.js';
import { rowsOf } from '../../src/log/pieces.js';
import { auditOf, brief, findingsOf, type Line, readAgain, readingOf, SETTINGS } from './auditing.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };
const SECOND = 1 / 60;

/** Every ten minutes, each reading other than the one before. */
const moving = (count: number, step = 10): Line[] =>
  Array.from({ length: count }, (_, i) => ({ minute: i * step, temperature: 15 + i / 10, humidity: 60 }));
/** The same reading again, some seconds later. */
const again = (line: Line, seconds: number): Line => ({ ...line, minute: line.minute + seconds * SECOND });
const other = (line: Line, seconds: number): Line => ({
  ...again(line, seconds),
  temperature: line.temperature + 3,
});

const repeatsIn = (lines: readonly Line[], settings: Parameters<typeof auditOf>[1] = {}) =>
  findingsOf(auditOf(lines, settings), 'repeat_submission');
const keptOf = (lines: readonly Line[], skip: Parameters<typeof auditOf>[2] = []) => [
  ...rowsOf(clean(auditOf(lines, {}, skip), ACCURACY).kept),
];

const [a, b, c, ...rest] = moving(12) as [Line, Line, Line, ...Line[]];

describe('a reading sent again', () => {
  it.each([
    { why: 'a few milliseconds later', lines: [a, b, again(b, 0.0036), c], count: [1], kept: [0, 1, 3] },
    {
      why: 'five times in as many seconds',
      lines: [a, b, ...[1, 2, 3, 4, 5].map((s) => again(b, s)), c],
      count: [5],
      kept: [0, 1, 7],
    },
    { why: 'just under half a minute', lines: [a, b, again(b, 29.9), c], count: [1], kept: [0, 1, 3] },
    { why: 'half a minute', lines: [a, b, again(b, 30), c], count: [], kept: [0, 1, 2, 3] },
    { why: 'the first of the log', lines: [a, again(a, 2), b, c], count: [1], kept: [0, 2, 3] },
    { why: 'another reading', lines: [a, b, other(b, 2), c], count: [], kept: [0, 1, 2, 3] },
    {
      why: 'another reading with them',
      lines: [a, b, again(b, 2), other(b, 4), c],
      count: [],
      kept: [0, 1, 2, 3, 4],
    },
    {
      why: 'without a value',
      lines: [a, { ...b, temperature: NaN }, again({ ...b, temperature: NaN }, 2), c],
      count: [],
      kept: [0, 1, 2, 3],
    },
    {
      why: 'at the same instant too',
      lines: [a, b, b, again(b, 2), again(b, 2), c],
      count: [2],
      kept: [0, 1, 5],
    },
  ])('$why', ({ lines, count, kept }) => {
    expect(repeatsIn([...lines, ...rest]).map((finding) => finding.count)).toEqual(count);
    const tail = rest.map((_, i) => lines.length + i);
    expect(keptOf([...lines, ...rest])).toEqual([...kept, ...tail]);
  });

  it('says how long after, in which lines, and speaks against no value', () => {
    const audited = auditOf([a, b, again(b, 3), c, ...rest]);
    const [finding] = findingsOf(audited, 'repeat_submission');
    expect(brief(finding!)).toEqual([10, 10 + 3 * SECOND, 1, 3, 4]);
    expect(finding).toMatchObject({
      severity: 'note',
      message: '1 line with a reading that came up to 3 s before',
      confidence: 'certain',
    });
    expect([...audited.flags.temperature].some((flag) => flag > 2)).toBe(false);
  });

  it.each([
    { cadence: 1, seconds: 14, confidence: ['likely'] },
    { cadence: 1, seconds: 15, confidence: [] },
    { cadence: 2, seconds: 29, confidence: ['certain'] },
  ])('every $cadence min, $seconds s later: $confidence', ({ cadence, seconds, confidence }) => {
    const lines = moving(30, cadence);
    expect(repeatsIn([...lines, again(lines[9]!, seconds)]).map((finding) => finding.confidence)).toEqual(
      confidence,
    );
  });

  it('very often is one finding', () => {
    const lines = moving(200).flatMap((line, i) => (i % 3 === 0 ? [line, again(line, 5)] : [line]));
    expect(repeatsIn(lines).map(({ count }) => count)).toEqual([67]);
  });
});

describe('readings close together that are none', () => {
  it.each([
    { why: 'equal ones a cadence apart', lines: moving(30).map((line) => ({ ...line, temperature: 15 })) },
    {
      why: 'held back and stamped on arrival',
      lines: [
        ...moving(5),
        ...[0, 1, 2, 3].map((s) => again({ minute: 90, temperature: 15, humidity: 60 }, s)),
        ...moving(20).slice(10),
      ],
    },
    {
      why: 'two devices under one name, of which some are equal by chance',
      lines: moving(60).flatMap((line, i) => [line, i % 3 === 0 ? again(line, 4) : other(line, 4)]),
    },
    {
      why: 'a stretch at a pace of seconds in quiet air',
      lines: [
        ...moving(30),
        ...Array.from({ length: 25 }, (_, i) => ({ minute: 300 + i / 3, temperature: 15, humidity: 60 })),
      ],
    },
  ])('$why', ({ lines }) => {
    expect(repeatsIn(lines)).toEqual([]);
    expect(keptOf(lines).length).toBe(lines.length);
  });

  it('a log without a cadence', () => {
    expect(repeatsIn([a])).toEqual([]);
  });
});

describe('cleaning', () => {
  it('lists them with the line that was kept', () => {
    const audited = auditOf([a, b, b, again(b, 3), c, ...rest]);
    const changes = changesOf(audited, clean(audited, ACCURACY), UTC);
    expect(changes.map(({ line, field, before, reason }) => [line, field, before, reason])).toEqual([
      [4, 'reading', '2025-10-01T00:10:00Z 15.1 60', 'duplicate, line 3 kept'],
      [5, 'reading', '2025-10-01T00:10:03Z 15.1 60', 'repeat_submission, line 3 kept'],
    ]);
  });

  it('keeps them where the check is skipped', () => {
    expect(keptOf([a, b, again(b, 3), c], ['repeat_submission'])).toEqual([0, 1, 2, 3]);
  });

  it('once done changes nothing more', () => {
    const seconds = fc.constantFrom(0, 0, 0, 2, 20, 40);
    const value = fc.constantFrom(15, 16, -999, NaN);
    const lines = fc.array(
      fc.record({
        step: fc.nat({ max: 40 }),
        seconds,
        temperature: value,
        humidity: fc.constantFrom(60, 61, NaN),
      }),
      { maxLength: 60 },
    );
    fc.assert(
      fc.property(lines, (drawn) => {
        const given = drawn.map(({ step, seconds: late, ...values }) => ({
          ...values,
          minute: step * 10 + late * SECOND,
        }));
        const settings = { ...SETTINGS, cadence: 600_000 };
        const once = clean(audit(readingOf([given]), settings), ACCURACY);
        expect(clean(audit(readAgain(once), settings), ACCURACY).dropped).toEqual([]);
        expect(once.kept.count + once.dropped.length).toBe(given.length);
        const kept = new Set(rowsOf(once.kept));
        expect(once.dropped.every((each) => kept.has(each.for) && !kept.has(each.row))).toBe(true);
      }),
    );
  });
});
