import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { gapsOf } from '../../src/audit/gap.js';
import { MINUTE } from '../../src/units.js';
import { readOne } from '../reading/reading.js';
import { at, auditOf, brief, findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';

const lines = (minutes: readonly number[]): Line[] =>
  minutes.map((minute) => ({ minute, temperature: 15, humidity: 60 }));
const every = (step: number, from: number, until: number) =>
  Array.from({ length: Math.floor((until - from) / step) + 1 }, (_, i) => from + i * step);

const gapsIn = (minutes: readonly number[], settings: Parameters<typeof auditOf>[1] = {}) =>
  findingsOf(auditOf(lines(minutes), settings), 'gap');
const TEN = { cadence: 10 * MINUTE };

describe('a gap', () => {
  it.each([
    { why: 'no reading missing', minutes: [0, 10, 20], gaps: [] },
    { why: 'just 1.5 cadences', minutes: [0, 10, 25, 35], gaps: [] },
    { why: 'a second more than that', minutes: [0, 10, 25 + 1 / 60, 35], gaps: [[10, 25 + 1 / 60]] },
    { why: 'one reading lost', minutes: [0, 10, 30, 40], gaps: [[10, 30]] },
    {
      why: 'twice in a row',
      minutes: [0, 10, 30, 50],
      gaps: [
        [10, 30],
        [30, 50],
      ],
    },
    { why: 'hidden by the order of the lines', minutes: [0, 10, 40, 20, 50], gaps: [[20, 40]] },
    { why: 'one reading, no window', minutes: [0], gaps: [] },
  ])('$why → $gaps', ({ minutes, gaps }) => {
    expect(gapsIn(minutes, TEN).map((finding) => brief(finding).slice(0, 2))).toEqual(gaps);
  });

  it.each([
    { why: 'one lost', step: 20, missed: 1, severity: 'note' },
    { why: 'one lost, by the rounding', step: 24, missed: 1, severity: 'note' },
    { why: 'two lost', step: 30, missed: 2, severity: 'warning' },
    { why: 'nearly 3 h', step: 179, missed: 17, severity: 'warning' },
    { why: '3 h', step: 180, missed: 17, severity: 'error' },
  ])('$why: $severity', ({ step, missed, severity }) => {
    const [finding] = gapsIn([0, 10, 10 + step, 20 + step], TEN);
    expect(finding).toMatchObject({ severity, quantity: 'time', count: 1, lines: [3, 4] });
    expect(finding!.message).toMatch(new RegExp(`, ${missed} missed$`));
  });

  it('3 h between readings 3 h apart are none', () => {
    expect(gapsIn([0, 180, 360], { cadence: 180 * MINUTE })).toEqual([]);
  });
});

describe('at the edges of a window', () => {
  const midday = every(10, 720, 780);
  it.each([
    { why: 'first reading at the start, last a cadence before the end', from: 720, until: 790, gaps: [] },
    { why: 'just 1.5 cadences at both', from: 705, until: 795, gaps: [] },
    { why: 'before the first', from: 704, until: 790, gaps: [[704, 720, 2]] },
    { why: 'after the last', from: 720, until: 796, gaps: [[780, 796, 1]] },
    {
      why: 'a day about an hour',
      from: 0,
      until: 1440,
      gaps: [
        [0, 720, 72],
        [780, 1440, 65],
      ],
    },
  ])('$why', ({ from, until, gaps }) => {
    const found = gapsOf(Float64Array.from(midday, at), 10 * MINUTE, at(from), at(until));
    expect(found.map((gap) => [gap.from, gap.until, gap.missed])).toEqual(
      gaps.map(([start, end, missed]) => [at(start!), at(end!), missed]),
    );
  });

  it('readings that came and readings missed are those due', () => {
    const minutes = [...every(10, 30, 200), ...every(10, 500, 900)];
    const missed = gapsOf(Float64Array.from(minutes, at), 10 * MINUTE, at(0), at(1440))
      .map((gap) => gap.missed)
      .reduce((sum, count) => sum + count, 0);
    expect(missed + minutes.length).toBe(144);
  });

  it('say on which side the readings are missing, and in which line the log goes on or ends', () => {
    const found = gapsIn(midday, { ...TEN, from: at(0), until: at(1440) });
    expect(found.map(({ message, lines: where, severity }) => ({ message, where, severity }))).toEqual([
      { message: 'no reading for 12 h before the first, 72 missed', where: [2, 2], severity: 'error' },
      { message: 'no reading for 11 h after the last, 65 missed', where: [8, 8], severity: 'error' },
    ]);
  });

  it('a single reading has no cadence, but its silent day does not pass for a good one', () => {
    const found = gapsIn([60], { from: at(0), until: at(1440) });
    expect(found.map(({ message, severity }) => [severity, message])).toEqual([
      ['error', 'no reading for 23 h after the last'],
    ]);
    expect(gapsIn([60], { from: at(0), until: at(120) })).toEqual([]);
  });
});

describe('a log without readings', () => {
  it.each([
    { window: {}, message: 'no reading at all' },
    { window: { from: at(0), until: at(1440) }, message: 'no reading in the time that was asked for' },
    { window: { from: at(0) }, message: 'no reading in the time that was asked for' },
  ])('$message', ({ window, message }) => {
    expect(gapsIn([], window)).toMatchObject([{ severity: 'error', message, lines: null, count: 1 }]);
  });
});

describe('many gaps', () => {
  /** Readings every 10 min, `count` times followed by a hole of so many minutes. */
  const holes = (count: number, hole: number) =>
    Array.from({ length: count + 1 }, (_, i) => [i * (10 + hole), i * (10 + hole) + 10]).flat();

  it('20 lost readings are 20 notes, 21 are one', () => {
    expect(gapsIn(holes(20, 20), TEN).length).toBe(20);
    const found = gapsIn(holes(21, 20), TEN);
    expect(found.map(brief)).toEqual([[10, 630, 21, 3, 44]]);
    expect(found[0]!.severity).toBe('note');
  });

  it.each([
    { hole: 60, severity: 'warning', message: '1000 times no reading for up to 1 h, 5000 missed' },
    { hole: 300, severity: 'error', message: '1000 times no reading for up to 5 h, 29000 missed' },
  ])('a thousand of $hole min are one $severity', ({ hole, severity, message }) => {
    expect(gapsIn(holes(1000, hole), TEN)).toMatchObject([
      { severity, message, count: 1000, lines: [3, 2002] },
    ]);
    expect(gapsIn(holes(100, hole), TEN).length).toBe(100);
  });

  it('do not swallow the few of another kind', () => {
    const minutes = holes(40, 20);
    const last = minutes.at(-1)!;
    const found = gapsIn([...minutes, last + 300, last + 310], TEN);
    expect(found.map(({ severity, count }) => [severity, count])).toEqual([
      ['note', 40],
      ['error', 1],
    ]);
  });
});

describe('an export that may be cut', () => {
  const cutsIn = async (count: number, text = '') => {
    const stamp = (i: number) => new Date(at(10 * i)).toISOString();
    const rows = Array.from(
      { length: count },
      (_, i) => `${stamp(i)},${15 + (i % 13) / 10},${60 + (i % 7)}\n`,
    );
    const reading = await readOne(`time,temp,rh\n${rows.join('')}${text}`);
    return findingsOf(audit(reading, SETTINGS), 'gap');
  };

  it.each([999, 1000, 1001, 10_000, 50_000, 65_535, 65_536])('of %i lines', async (count) => {
    const isRound = count !== 999 && count !== 1001;
    expect(await cutsIn(count)).toMatchObject(
      isRound
        ? [
            {
              severity: 'note',
              from: at(0),
              until: at(10 * (count - 1)),
              lines: [2, count + 1],
              message: `the file holds exactly ${count} lines of readings: the export may be cut at a limit, and the log go on`,
              confidence: 'likely',
            },
          ]
        : [],
    );
  });

  it('counts rejected lines, but neither headings nor blank lines', async () => {
    expect((await cutsIn(999, 'torn\n')).length).toBe(1);
    expect((await cutsIn(1000, 'torn\n')).length).toBe(0);
    expect((await cutsIn(1000, '\n\ntime,temp,rh\n')).length).toBe(1);
  });

  it.each([
    { why: 'another file goes on from it', after: 10_000, found: 0 },
    { why: 'another file comes later', after: 10_500, found: 1 },
  ])('$why', ({ after, found }) => {
    const first = lines(every(10, 0, 9990));
    const second = lines(every(10, after, after + 500));
    const reading = readingOf([first, second]);
    const parts = [first, second].map(({ length }) => ({ newestFirst: false, dataLines: length }));
    const told = findingsOf(audit({ ...reading, parts }, SETTINGS), 'gap');
    expect(told.filter(({ message }) => message.includes('exactly 1000')).length).toBe(found);
  });
});
