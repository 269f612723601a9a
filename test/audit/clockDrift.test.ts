import { describe, expect, it, vi } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { CHECK_NAMES, type CheckName, type Finding } from '../../src/log/finding.js';
import { lineAt } from '../../src/log/lines.js';
import { type Log, slice } from '../../src/log/log.js';
import { rowsWithin } from '../../src/log/span.js';
import { DAY, HOUR } from '../../src/units.js';
import { type Air, cellar, nearby, outdoors } from '../score/air.js';
import { GRADES, readingsOf } from '../score/device.js';
import { randomFrom } from '../score/random.js';
import { type Line, readingOf, SETTINGS, START } from './auditing.js';

// weather by the minute takes its time on machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const MINUTES = 1440;

/** The same weather at three places, and a cellar that has none. */
function places(seed: number, days: number): Record<'garden' | 'yard' | 'gate' | 'cellar', Air> {
  const random = randomFrom(seed);
  const air = outdoors(random, 'autumn', days * MINUTES);
  return {
    garden: nearby(random, air, 0, 0),
    yard: nearby(random, air, 4, 1.5),
    gate: nearby(random, air, 10, 0),
    cellar: cellar(random, days * MINUTES),
  };
}

/** What a logger writes of this air, every so many minutes, in tenths; `clock` makes stamps of true times. */
function logged(logger: string, air: Air, cadence: number, clock = (instant: number) => instant): Log {
  const device = { grade: GRADES[0]!, cadence: cadence * 60_000, rail: 100, wobble: 0, repeats: 0, delay: 0 };
  const rows = readingsOf(randomFrom(logger.length * 31 + cadence), air, device, START, 0);
  const lines = rows.map(
    ({ at, temperature, humidity }): Line => ({
      minute: (clock(at) - START) / 60_000,
      temperature,
      humidity,
    }),
  );
  return { ...readingOf([lines]).log, logger };
}

const running = (minutesADay: number) => (instant: number) =>
  instant + ((instant - START) * minutesADay) / MINUTES;
const ELSE: ReadonlySet<CheckName> = new Set(CHECK_NAMES.filter((name) => name !== 'clock'));
const found = (log: Log, others: readonly Log[]): readonly Finding[] => {
  const reading = { log, rejections: [], unreadable: [], parts: [{ newestFirst: false }] };
  return audit(reading, SETTINGS, ELSE, others).findings.filter(({ message }) =>
    / runs (faster|slower) /.test(message),
  );
};
/** By how much the clock runs fast, as the message says it [min a day]. */
function saidRate({ message }: Finding): number {
  const [, way, minutes, seconds] = /runs (fast|slow)er.* about (?:(\d+) min)? ?(?:(\d+) s)? ?a day/.exec(
    message,
  )!;
  return (way === 'fast' ? 1 : -1) * (Number(minutes ?? 0) + Number(seconds ?? 0) / 60);
}

describe('a clock that drifts', () => {
  it.each([
    { cadence: 1, days: 21, rate: 14 },
    { cadence: 10, days: 35, rate: -6 },
    { cadence: 10, days: 35, rate: 11 },
    { cadence: 30, days: 60, rate: 3 },
    { cadence: 60, days: 60, rate: -9 },
    { cadence: 60, days: 90, rate: 1.7 },
  ])(
    '$rate min a day, every $cadence min for $days days: found, and by how much',
    ({ cadence, days, rate }) => {
      const { garden, yard, gate } = places(7, days);
      const log = logged('garden', garden, cadence, running(rate));
      const [finding, ...more] = found(log, [logged('yard', yard, cadence), logged('gate', gate, cadence)]);
      expect(more).toEqual([]);
      expect(finding).toMatchObject({
        check: 'clock',
        quantity: 'time',
        severity: 'warning',
        confidence: 'likely',
      });
      expect(finding!.until! - finding!.from!).toBeGreaterThan((days - 2) * DAY);
      expect(Math.abs(saidRate(finding!) - rate)).toBeLessThan(Math.max(30 / days, 0.15 * Math.abs(rate)));
    },
  );

  const { garden, yard, gate, cellar: quiet } = places(11, 30);
  const there = logged('yard', yard, 10);
  const third = logged('gate', gate, 10);
  const below = logged('cellar', quiet, 10);
  const fast = logged('garden', garden, 10, running(12));

  it('is said with what it comes to, and how to put it right', () => {
    expect(found(fast, [there, third]).map(({ message }) => message)).toEqual([
      expect.stringMatching(
        /^the clock runs faster than those of 2 other loggers, by about 1[12] min( \d0 s)? a day, (5 h 50 min|6 h) in 30 d: stamps can be put right in proportion from a moment at which it was right$/,
      ),
    ]);
  });

  it.each([
    { why: 'a day in the middle', day: 12 },
    { why: 'the last day', day: 29 },
  ])('is told of $why as of the whole log', ({ day }) => {
    const span = { from: START + day * DAY, until: START + (day + 1) * DAY };
    const { first, end } = rowsWithin(fast.time, span);
    const log = slice(fast, first, end);
    const reading = { log, around: fast, rejections: [], unreadable: [], parts: [{ newestFirst: false }] };
    const told = audit(reading, { ...SETTINGS, ...span }, ELSE, [there, third]).findings;
    const [whole] = found(fast, [there, third]);
    expect(told).toMatchObject([
      {
        message: `${whole!.message}, in part outside the time asked for`,
        from: log.time[0],
        until: log.time[log.length - 1],
        lines: [lineAt(log.lines, 0), lineAt(log.lines, log.length - 1)],
      },
    ]);
  });

  it('is not blamed on those whose clocks are right', () => {
    expect(found(there, [fast, third])).toEqual([]);
    expect(found(third, [there, fast])).toEqual([]);
  });

  it('with a single other logger may be in either clock, and is said of both', () => {
    expect(found(fast, [there])).toMatchObject([
      {
        confidence: 'possible',
        message: expect.stringMatching(/faster than that of yard.*which of them is wrong cannot be told/),
      },
    ]);
    expect(found(there, [fast])).toMatchObject([
      { confidence: 'possible', message: expect.stringContaining('slower than that of garden') },
    ]);
  });

  it('is not looked for in a logger that does not share the weather, nor told by it', () => {
    expect(found(below, [fast, there])).toEqual([]);
    expect(found(fast, [below])).toEqual([]);
    expect(found(fast, [below, there, third])).toMatchObject([{ confidence: 'likely' }]);
  });

  it.each([
    { why: 'clocks that are right', clock: (instant: number) => instant },
    { why: 'a clock that is three hours off', clock: (instant: number) => instant + 3 * HOUR },
    {
      why: 'an hour put forward',
      clock: (instant: number) => instant + (instant > START + 14 * DAY ? HOUR : 0),
    },
    {
      why: 'three hours put back',
      clock: (instant: number) => instant - (instant > START + 8 * DAY ? 3 * HOUR : 0),
    },
    {
      why: 'a day on which it was two hours off',
      clock: (instant: number) => instant + (Math.abs(instant - START - 9 * DAY) < DAY ? 2 * HOUR : 0),
    },
    { why: 'a good crystal', clock: running(0.03) },
  ])('is not made of $why', ({ clock }) => {
    const log = logged('garden', garden, 10, clock);
    expect(found(log, [there, third])).toEqual([]);
    expect(found(there, [log, third])).toEqual([]);
    expect(found(log, [there])).toEqual([]);
  });

  it('asks for two weeks, and for other loggers', () => {
    const short = places(3, 13);
    const log = logged('garden', short.garden, 10, running(14));
    expect(found(log, [logged('yard', short.yard, 10), logged('gate', short.gate, 10)])).toEqual([]);
    expect(found(fast, [])).toEqual([]);
    expect(found(fast, [{ ...there, length: 0, time: new Float64Array(0) }])).toEqual([]);
  });

  it('bears with holes, hung values and codes for none', () => {
    const torn: Log = {
      ...fast,
      temperature: fast.temperature.map((value, row) =>
        row % 97 === 0 ? -127 : row > 2000 && row < 2500 ? 21 : value,
      ),
      humidity: fast.humidity.map((value, row) => (row > 900 && row < 1300 ? NaN : value)),
    };
    expect(found(torn, [there, third])).toMatchObject([{ confidence: 'likely' }]);
  });

  it('is not invented where nothing drifts, whatever the weather', () => {
    for (let seed = 20; seed < 25; seed++) {
      const { garden, yard, gate, cellar } = places(seed, 21);
      const logs = [garden, yard, gate, cellar].map((air, i) => logged(`place-${i}`, air, 30));
      for (const log of logs)
        expect(
          found(
            log,
            logs.filter((other) => other !== log),
          ),
        ).toEqual([]);
    }
  });
});
