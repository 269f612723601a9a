import { describe, expect, it } from 'vitest';
import { logCoverage } from '../../src/report/coverage.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { at, auditOf, brief, findingsOf, type Line } from './auditing.js';

/** Readings that many minutes apart: `[10, 30]` is thirty intervals of ten minutes. */
function lines(...runs: readonly (readonly [minutes: number, count: number])[]): Line[] {
  const minutes = [0];
  for (const [step, count] of runs) {
    for (let i = 0; i < count; i++) minutes.push(minutes.at(-1)! + step);
  }
  return minutes.map((minute, i) => ({ minute, temperature: 15 + (i % 13) / 10, humidity: 60 + (i % 11) }));
}

const cadenceIn = (log: readonly Line[], settings: Parameters<typeof auditOf>[1] = {}) =>
  findingsOf(auditOf(log, settings), 'cadence');
const gapsIn = (log: readonly Line[]) =>
  findingsOf(auditOf(log), 'gap').map((each) => brief(each).slice(0, 2));

describe('another cadence', () => {
  it('is told where it begins', () => {
    const found = cadenceIn(lines([10, 100], [30, 40], [5, 80]));
    expect(found.map(({ message }) => message)).toEqual([
      'a reading every 30 min from here on, every 10 min before',
      'a reading every 5 min from here on, every 30 min before',
    ]);
    expect(found.map(brief)).toEqual([
      [1000, 1000, 1, 102, 102],
      [2200, 2200, 1, 142, 142],
    ]);
    expect(found).toMatchObject([{ severity: 'note' }, { severity: 'note' }]);
  });

  it('many times is one finding', () => {
    const days = Array.from({ length: 15 }, () => [[5, 200] as const, [30, 14] as const]).flat();
    expect(cadenceIn(lines(...days))).toMatchObject([
      { count: 29, message: 'the time between readings changes 29 times, between 5 min and 30 min' },
    ]);
  });

  it('than the one that was stated is a warning', () => {
    expect(cadenceIn(lines([30, 100]), { cadence: 10 * MINUTE })).toMatchObject([
      { severity: 'warning', message: 'a reading every 30 min, not every 10 min as stated', lines: [2, 102] },
    ]);
    expect(cadenceIn(lines([10, 100]), { cadence: 10 * MINUTE })).toEqual([]);
  });

  it('opens no gaps of its own, and hides none', () => {
    expect(gapsIn(lines([10, 100], [30, 40], [5, 80]))).toEqual([]);
    expect(gapsIn(lines([10, 100], [30, 20], [60, 1], [30, 20], [5, 40], [10, 1], [5, 40]))).toEqual([
      [1600, 1660],
      [2460, 2470],
    ]);
  });

  it.each([
    {
      why: 'all came',
      runs: [
        [10, 144],
        [30, 48],
      ],
      expected: 193,
      observed: 193,
    },
    {
      why: 'two lost at the first',
      runs: [
        [10, 100],
        [30, 1],
        [10, 41],
        [30, 48],
      ],
      expected: 193,
      observed: 191,
    },
    {
      why: 'two lost at the second',
      runs: [
        [10, 144],
        [30, 20],
        [90, 1],
        [30, 25],
      ],
      expected: 193,
      observed: 191,
    },
  ] as const)('coverage counts each stretch by its own: $why', ({ runs, expected, observed }) => {
    const { log, cadence } = auditOf(lines(...runs));
    expect(logCoverage(log, log, cadence, HOUR, null, null)).toMatchObject({ expected, observed });
    // a window of two days, which begins a little before the log
    expect(logCoverage(log, log, cadence, HOUR, at(0), at(2880))).toMatchObject({
      expected: expected - 1,
      observed: observed - 1,
    });
  });
});

describe('a shift of the beat', () => {
  const SHIFTED = 'in their beat from here on: a restart, or a clock put right';
  it.each([
    {
      why: 'after a gap',
      runs: [
        [10, 100],
        [44, 1],
        [10, 100],
      ],
      found: [[1000, 1044, 1, 102, 103]],
      said: '4 min later',
    },
    {
      why: 'without one',
      runs: [
        [10, 100],
        [3, 1],
        [10, 100],
      ],
      found: [[1000, 1003, 1, 102, 103]],
      said: '3 min later',
    },
    {
      why: 'to earlier',
      runs: [
        [10, 100],
        [27, 1],
        [10, 100],
      ],
      found: [[1000, 1027, 1, 102, 103]],
      said: '3 min earlier',
    },
    {
      why: 'of a tenth',
      runs: [
        [10, 100],
        [11, 1],
        [10, 100],
      ],
      found: [],
      said: '',
    },
    {
      why: 'of more than that',
      runs: [
        [10, 100],
        [11.1, 1],
        [10, 100],
      ],
      found: [[1000, 1011.1, 1, 102, 103]],
      said: '1 min 6 s later',
    },
    {
      why: 'that is put right at once',
      runs: [
        [10, 100],
        [13, 1],
        [7, 1],
        [10, 100],
      ],
      found: [],
      said: '',
    },
    {
      why: 'by whole readings',
      runs: [
        [10, 100],
        [40, 1],
        [10, 100],
      ],
      found: [],
      said: '',
    },
    {
      why: 'over half a day',
      runs: [
        [10, 100],
        [724, 1],
        [10, 100],
      ],
      found: [],
      said: '',
    },
    {
      why: 'with two readings behind it',
      runs: [
        [10, 100],
        [44, 1],
        [10, 2],
      ],
      found: [],
      said: '',
    },
    {
      why: 'with three',
      runs: [
        [10, 100],
        [44, 1],
        [10, 3],
      ],
      found: [[1000, 1044, 1, 102, 103]],
      said: '4 min later',
    },
    {
      why: 'of readings every minute',
      runs: [
        [1, 100],
        [1.4, 1],
        [1, 100],
      ],
      found: [],
      said: '',
    },
    {
      why: 'of readings every two',
      runs: [
        [2, 100],
        [2.4, 1],
        [2, 100],
      ],
      found: [[200, 202.4, 1, 102, 103]],
      said: '24 s later',
    },
    {
      why: 'in a log too short to have a beat',
      runs: [
        [10, 24],
        [44, 1],
        [10, 24],
      ],
      found: [],
      said: '',
    },
  ] as const)('$why', ({ runs, found, said }) => {
    const told = cadenceIn(lines(...runs));
    expect(told.map(brief)).toEqual(found);
    if (said !== '') {
      expect(told).toMatchObject([{ message: `the readings come ${said} ${SHIFTED}`, confidence: 'likely' }]);
    }
  });

  it('very often is one finding', () => {
    const runs = Array.from({ length: 30 }, () => [[10, 20] as const, [33, 1] as const]).flat();
    expect(cadenceIn(lines(...runs, [10, 5]))).toMatchObject([{ count: 30, severity: 'note' }]);
  });

  it('is none in a log that wobbles', () => {
    const wobbling = lines([10, 500]).map((line, i) => ({
      ...line,
      minute: line.minute + ((i * 7) % 5) - 2,
    }));
    expect(cadenceIn(wobbling)).toEqual([]);
  });
});

describe('a beat a little off', () => {
  const [second] = [1 / 60];
  it.each([
    {
      why: 'a wait after each reading',
      step: 10 + 2 * second,
      count: 200,
      message: 'a reading every 10 min and 2.0 s: it waits after each reading, and is not late',
    },
    {
      why: 'a timer that runs fast',
      step: 5 - 1.5 * second,
      count: 200,
      message: 'a reading every 5 min less 1.5 s: it counts by a clock of its own that runs fast',
    },
    {
      why: 'seconds of a minute',
      step: 1 + 4 * second,
      count: 200,
      message: 'a reading every 1 min and 4.0 s: it waits after each reading, and is not late',
    },
    { why: 'too many seconds of a minute', step: 1 + 5.5 * second, count: 200, message: null },
    { why: 'seconds of ten', step: 12 * second, count: 400, message: null },
    { why: 'adding up to less than half a reading', step: 10 + 2 * second, count: 149, message: null },
    {
      why: 'just half a reading',
      step: 10 + 2 * second,
      count: 150,
      message: 'a reading every 10 min and 2.0 s: it waits after each reading, and is not late',
    },
    { why: 'no cadence that people choose', step: 7.5, count: 400, message: null },
    { why: 'exact', step: 10, count: 400, message: null },
  ])('$why', ({ step, count, message }) => {
    const found = cadenceIn(lines([step, count]));
    expect(found.map((finding) => finding.message)).toEqual(message === null ? [] : [message]);
    for (const finding of found) expect(finding).toMatchObject({ severity: 'note', confidence: 'likely' });
  });

  it('is no gap, and no shift', () => {
    const log = lines([10 + 3 * second, 1000]);
    expect(gapsIn(log)).toEqual([]);
    expect(cadenceIn(log).length).toBe(1);
  });

  it('is told of the longest stretch that shows it, where the cadence changes', () => {
    const found = cadenceIn(lines([30 + 3 * second, 400], [60 + 6 * second, 320], [10, 200]));
    const beats = found.filter(({ message }) => message.includes('waits'));
    expect(beats).toMatchObject([
      {
        message: 'a reading every 1 h and 6.0 s: it waits after each reading, and is not late',
        lines: [402, 722],
      },
    ]);
  });

  it('is none where readings come late now and then', () => {
    const late = lines([10, 999]).map((line, i) => ({
      ...line,
      minute: line.minute + (i % 10 === 0 ? 0.5 : 0),
    }));
    expect(cadenceIn(late)).toEqual([]);
  });
});
