import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { lineNumbers } from '../log/lineNumbers.js';
import { read, readOne } from '../reading/reading.js';
import { auditOf, brief, findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';

const START = Date.UTC(2025, 9, 1);
const line = (instant: number, i = 0) =>
  `${new Date(instant).toISOString()},${(15 + (i % 7) / 10).toFixed(1)},60.0`;
const run = (from: number, count: number) =>
  Array.from({ length: count }, (_, i) => line(from + i * 10 * MINUTE, i));
const file = (lines: readonly string[]) => `time,temp,rh\n${lines.join('\n')}\n`;
const good = run(START, 100);
/** A hundred good readings, with others after so many of them. */
const within = (at: number, others: readonly string[]) => file(good.toSpliced(at, 0, ...others));

describe('a clock that was not set', () => {
  const ZERO = Date.UTC(2000, 0, 1);
  it.each([
    { why: 'at the start of the file', text: within(0, run(ZERO, 9)), lines: [2, 10] },
    { why: 'after a restart', text: within(50, run(ZERO + 20_000, 9)), lines: [52, 60] },
    { why: 'in local time', text: within(50, run(ZERO - 8 * HOUR, 9)), lines: [52, 60] },
    { why: 'before the network came at the end', text: within(100, run(ZERO, 9)), lines: [102, 110] },
    { why: 'for days', text: within(50, run(ZERO, 99)), lines: [52, 150] },
    {
      why: 'where seconds overflow',
      text: within(100, run(Date.UTC(2038, 0, 19, 3, 15), 9)),
      lines: [102, 110],
    },
    { why: 'a date of its own, once', text: within(50, [line(Date.UTC(2019, 3, 7))]), lines: [52, 52] },
    { why: 'a date to come', text: within(50, run(Date.UTC(2031, 0, 1), 4)), lines: [52, 55] },
  ])('$why: its lines are rejected and told', async ({ text, lines }) => {
    const reading = await readOne(text);
    const count = lines[1]! - lines[0]! + 1;
    expect(reading.log.length).toBe(100);
    expect(reading.lines).toMatchObject({ total: 101 + count, accepted: 100, rejected: count });
    const audited = audit(reading, SETTINGS);
    expect(audited.findings).toMatchObject([
      { check: 'clock', severity: 'warning', count, lines, message: expect.stringContaining('not set') },
    ]);
    expect(audited.cadence).toBe(10 * MINUTE);
  });

  it('time and again are one finding, between the readings around them', async () => {
    const lines = [...run(ZERO, 3), ...good.slice(0, 40), ...run(ZERO, 3), '1970-01-01T00:00:10Z,15.0,60.0'];
    const reading = await readOne(
      file([...lines, ...good.slice(40, 70), ...run(ZERO, 2), ...good.slice(70)]),
    );
    expect(reading.rejections).toMatchObject([
      { reason: 'clock', count: 9, firstLine: 2, lastLine: 80, from: null, until: START + 700 * MINUTE },
    ]);
    expect(reading.rejections[0]!.example).toBe(line(ZERO));
  });

  it.each([
    { why: 'a log that rests for years', lines: [...run(START, 50), ...run(START + 900 * DAY, 50)] },
    { why: 'and comes in the wrong order', lines: [...run(START + 900 * DAY, 50), ...run(START, 50)] },
    {
      why: 'with a few readings in between',
      lines: [...run(START, 50), ...run(START + 450 * DAY, 2), ...run(START + 900 * DAY, 50)],
    },
    { why: 'a log of January 2000', lines: run(ZERO, 400) },
    { why: 'one that goes on in 2003', lines: [...run(ZERO, 60), ...run(Date.UTC(2003, 0, 1), 40)] },
    { why: 'a reading of three months later', lines: good.toSpliced(50, 0, line(START + 90 * DAY)) },
    {
      why: 'a second file of the year before',
      lines: [...run(START, 50), ...run(START - 500 * DAY, 50), ...run(START + DAY, 50)],
    },
  ])('is none of the faults of $why', async ({ lines }) => {
    const reading = await readOne(file(lines));
    expect(reading.lines).toMatchObject({ accepted: lines.length, rejected: 0 });
  });

  it('leaves a cleaned file as it is', async () => {
    const heading =
      'time,logger,air_temperature_degC,relative_humidity_pct,air_temperature_flag,relative_humidity_flag';
    const rows = [...run(ZERO, 3), ...good].map((row) => `${row.replace(',', ',shed,')},1,1`);
    const reading = await readOne(`${[heading, ...rows].join('\n')}\n`);
    expect(reading.log.length).toBe(103);
  });

  it('loses no line, and gives back as it was what it rejects, whatever stands in the file', async () => {
    const starts = fc.constantFrom(
      ZERO,
      ZERO + HOUR,
      Date.UTC(1970, 0, 1),
      Date.UTC(2038, 0, 20),
      START,
      START + DAY,
    );
    const runs = fc.array(fc.tuple(starts, fc.integer({ min: 1, max: 30 })), { minLength: 1, maxLength: 8 });
    const windows = fc.constantFrom({ from: null, until: null }, { from: START, until: START + 2 * HOUR });
    await fc.assert(
      fc.asyncProperty(runs, windows, fc.integer({ min: 20, max: 500 }), async (drawn, window, piece) => {
        const lines = [line(START), ...drawn.flatMap(([from, count]) => run(from, count))];
        const { logs, sources, rejected } = await read(file(lines), { window, piece });
        const { lines: account, log } = logs[0]!;
        expect(account).toEqual(sources[0]!.lines);
        expect(account.total).toBe(lines.length + 1);
        expect(account.rejected).toBe(rejected.length);
        expect(log.length).toBe(account.accepted);
        const kept = lineNumbers(log.lines).map((number) => lines[number - 2]!);
        if (window.from === null) expect([...kept, ...rejected].sort()).toEqual([...lines].sort());
        else expect(lines).toEqual(expect.arrayContaining([...rejected]));
      }),
      { numRuns: 100 },
    );
  });

  it('takes nothing along with it: values, flags and the repeated hour stay with their readings', async () => {
    const wall = (day: number, clock: string, value: string) => `2025-10-${day} ${clock},${value},60`;
    const hours = ['00:30', '01:00', '01:30', '01:00', '01:30', '02:00'].map((clock, i) =>
      wall(26, clock, `1${i}.5`),
    );
    const lines = [
      ...hours.slice(0, 3),
      '2000-01-01 00:00,ERR,60',
      wall(26, '01:45', 'E'),
      ...hours.slice(3),
    ];
    const { log, unreadable } = await readOne(`time,temp,rh\n${lines.join('\n')}\n`);
    expect([...log.temperature]).toEqual([10.5, 11.5, 12.5, NaN, 13.5, 14.5, 15.5]);
    expect(lineNumbers(log.lines)).toEqual([2, 3, 4, 6, 7, 8, 9]);
    expect([...log.inputFlags!.temperature]).toEqual([0, 0, 0, 4, 0, 0, 0]);
    expect([...log.time].map((time) => (time - Date.UTC(2025, 9, 25, 23, 30)) / MINUTE)).toEqual([
      0, 30, 60, 75, 90, 120, 150,
    ]);
    expect(unreadable.map((cell) => cell.line)).toEqual([6]);
  });
});

const steady = (from: number, count: number, step = 10): Line[] =>
  Array.from({ length: count }, (_, i) => ({
    minute: from + i * step,
    temperature: 15 + ((from + i) % 13),
    humidity: 60,
  }));
const clockIn = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'clock');

describe('a clock that was set back', () => {
  it.each([
    { why: 'by 25 min', lines: [...steady(0, 31), ...steady(285, 30)], found: [[285, 300, 4, 31, 34]] },
    {
      why: 'by an hour to the minute',
      lines: [...steady(0, 31), ...steady(250, 30)],
      found: [[250, 300, 12, 27, 38]],
    },
    {
      why: 'at the end of the log',
      lines: [...steady(0, 31), ...steady(254, 5)],
      found: [[254, 300, 10, 28, 37]],
    },
    { why: 'by less than half a cadence', lines: [...steady(0, 31), ...steady(306, 9)], found: [] },
    {
      why: 'no: readings held back',
      lines: [...steady(0, 21), ...steady(300, 12), ...steady(210, 9), ...steady(420, 20)],
      found: [],
    },
    { why: 'no: lines exported twice', lines: [...steady(0, 31), ...steady(0, 60).slice(25)], found: [] },
    { why: 'no: a second device', lines: [...steady(0, 300), ...steady(3, 300)], found: [] },
    {
      why: 'no: one reading late',
      lines: [...steady(0, 20), ...steady(210, 9), ...steady(200, 1), ...steady(300, 9)],
      found: [],
    },
  ])('$why', ({ lines, found }) => {
    expect(clockIn(lines).map(brief)).toEqual(found);
  });

  it('says by how much, and that it is likely', () => {
    expect(clockIn([...steady(0, 31), ...steady(285, 30)])).toMatchObject([
      { severity: 'warning', message: 'the clock was set back by about 25 min', confidence: 'likely' },
    ]);
  });

  it('every day is one finding', () => {
    const days = Array.from({ length: 30 }, (_, day) => steady(day * 1423, 144)).flat();
    expect(clockIn(days)).toMatchObject([
      { count: 29, message: 'the clock was set back 29 times, by up to 17 min' },
    ]);
  });

  it('is seen in each of several files, and in one that runs backwards', () => {
    const lines = [...steady(0, 31), ...steady(285, 30)];
    const later = lines.map((each) => ({ ...each, minute: each.minute + 2000 }));
    const found = findingsOf(audit(readingOf([lines, later]), SETTINGS), 'clock');
    expect(found.map(({ source, count }) => [source, count])).toEqual([
      ['part-1.csv', 4],
      ['part-2.csv', 4],
    ]);
    expect(findingsOf(audit(readingOf([lines.toReversed()], true), SETTINGS), 'clock').length).toBe(1);
  });
});

describe('readings stamped on arrival', () => {
  /** Readings of one moment, some seconds apart. */
  const burst = (minute: number, count: number, apart = 1) =>
    steady(minute, count, apart / 60).map((each, i) => ({ ...each, temperature: 15 + i }));
  it.each([
    { why: 'six after an hour', lines: [...steady(0, 20), ...burst(250, 6), ...steady(260, 20)], found: [6] },
    { why: 'two', lines: [...steady(0, 20), ...burst(210, 2), ...steady(220, 20)], found: [] },
    {
      why: 'three after a day',
      lines: [...steady(0, 20), ...burst(1640, 3), ...steady(1650, 20)],
      found: [],
    },
    { why: 'without a silence', lines: [...steady(0, 20), ...burst(200, 6), ...steady(210, 20)], found: [] },
    { why: 'a minute apart', lines: [...steady(0, 20), ...burst(250, 6, 60), ...steady(260, 20)], found: [] },
  ])('$why', ({ lines, found }) => {
    expect(clockIn(lines).map(({ count }) => count)).toEqual(found);
  });

  it('says after how long', () => {
    expect(clockIn([...steady(0, 20), ...burst(250, 6), ...steady(260, 20)])).toMatchObject([
      {
        message: '6 readings at once after 1 h without any: stamped on arrival',
        lines: [22, 27],
        confidence: 'likely',
      },
    ]);
  });
});
