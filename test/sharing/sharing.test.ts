import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UTC, zoneNamed } from '../../src/calendar/zone.js';
import { burstsOf } from '../../src/sharing/bursts.js';
import { dayShapes } from '../../src/sharing/civilDays.js';
import { solarPlace } from '../../src/sharing/longitude.js';
import { stampTrace } from '../../src/sharing/stamps.js';
import { steepestRise } from '../../src/sharing/steepestRise.js';
import { weekdayRhythm } from '../../src/sharing/weekdays.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { readingOf, START, steadily } from '../audit/auditing.js';

const LONDON = zoneNamed('Europe/London');
/** Scatter between -1 and 1: Lehmer's generator, with the multiplier of Park and Miller (from memory). */
function scatter(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return (2 * state) / 2_147_483_647 - 1;
  };
}

/** A log every 10 minutes by what the clocks show: weekday (0 is Sunday), hour and the running number. */
function logOf(days: number, temperature: (weekday: number, hour: number) => number, zone = UTC) {
  const count = days * 144;
  const values = Array.from({ length: count }, (_, i) => {
    const wall = zone.wallAt(START + i * 10 * MINUTE);
    return temperature((Math.floor(wall / DAY) + 4) % 7, (wall % DAY) / HOUR);
  });
  return readingOf([steadily(10, { temperature: values })]).log;
}

const isWeekend = (weekday: number) => weekday === 0 || weekday === 6;

describe('workdays and weekends', () => {
  const rhythmOf = (log: ReturnType<typeof logOf>) =>
    weekdayRhythm(dayShapes(log, log.temperature, LONDON.wallAt));

  it('are told apart where the heating starts later on weekends, by the hours in which it does', () => {
    const noise = scatter(1);
    const log = logOf(
      42,
      (weekday, hour) => 17 + (hour >= (isWeekend(weekday) ? 9 : 6) && hour < 22 ? 3 : 0) + 0.5 * noise(),
      LONDON,
    );
    expect(rhythmOf(log)).toMatchObject({ isSure: true, from: 6, until: 9 });
    expect(rhythmOf(log)!.difference).toBeGreaterThan(2);
  });

  it('are not where they are the same, whatever the weather: it goes on from hour to hour and day to day', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2e9 }), (seed) => {
        const noise = scatter(seed);
        let weather = 0;
        const log = logOf(42, (_, hour) => {
          weather = 0.995 * weather + 0.3 * noise();
          return 12 + 4 * Math.sin(hour / 4) + weather;
        });
        expect(rhythmOf(log)!.isSure).toBe(false);
      }),
      { numRuns: 40, seed: 7 },
    );
  }, 30_000);

  it('are not asked about in three weeks', () => {
    expect(rhythmOf(logOf(21, () => 15))).toBeNull();
  });
});

describe('the steepest rise of the day', () => {
  it('has an hour where a timer makes it', () => {
    const noise = scatter(2);
    const log = logOf(20, (_, hour) => (hour >= 7 && hour < 21 ? 20 : 16) + 0.2 * noise(), LONDON);
    expect(steepestRise(dayShapes(log, log.temperature, LONDON.wallAt))).toMatchObject({ hour: 7, share: 1 });
  });

  it('is none where nothing rises', () => {
    const log = logOf(20, () => 15);
    expect(steepestRise(dayShapes(log, log.temperature, UTC.wallAt))).toBeNull();
  });
});

describe('bursts of moisture', () => {
  const MINUTES = [0, 10, 20, 30, 40, 50];
  const withShowers = (hour: number, lines = steadily(10, {}, 20 * 144)) =>
    readingOf([
      lines.map((line) => ({
        ...line,
        humidity: MINUTES.slice(0, 4).includes((line.minute - hour * 60) % 1440) ? 90 : 60,
      })),
    ]).log;

  it('are counted once each, with the part of the day in which they come', () => {
    const bursts = burstsOf(withShowers(7), 10 * MINUTE, UTC.wallAt)!;
    expect(bursts).toMatchObject({ count: 20, share: 1 });
    expect(bursts.perDay).toBeCloseTo(1, 1);
    expect(bursts.from).toBeGreaterThan(3);
    expect(bursts.from).toBeLessThan(8);
  });

  it('are not a rise that lasts, nor warm air that keeps its vapour', () => {
    const lasting = steadily(10, { humidity: Array.from({ length: 600 }, (_, i) => (i < 300 ? 50 : 80)) });
    expect(burstsOf(readingOf([lasting]).log, 10 * MINUTE, UTC.wallAt)!.count).toBe(0);
  });

  it('cannot be seen by the hour', () => {
    expect(burstsOf(withShowers(7), HOUR, UTC.wallAt)).toBeNull();
  });
});

it.each([-150, -75, 0, 24, 100, 179])(
  'the longitude is that of the place whose sun makes the wave: %i°',
  (longitude) => {
    // warmest at half past two by the sun
    const log = logOf(
      20,
      (_, hour) => 10 + 4 * Math.cos((2 * Math.PI * (hour + longitude / 15 - 14.5)) / 24),
    );
    const found = solarPlace(dayShapes(log, log.temperature, UTC.wallAt))!;
    const off = ((found.longitude - longitude + 540) % 360) - 180;
    expect(Math.abs(off)).toBeLessThan(3);
    expect(found.tolerance).toBeGreaterThan(15);
  },
);

it('a room without a daily wave says nothing of its longitude', () => {
  const log = logOf(20, (_, hour) => 20 + Math.sin(hour / 4));
  expect(solarPlace(dayShapes(log, log.temperature, UTC.wallAt))).toBeNull();
});

it('stamps tell whether they are exact, and which changes of the clocks they span', () => {
  const log = logOf(40, () => 15);
  expect(stampTrace(log, LONDON)).toEqual({ offMinute: 0, changes: [Date.UTC(2025, 9, 26, 1)] });
  expect(stampTrace({ time: log.time.map((instant) => instant + 1000), length: log.length }, UTC)).toEqual({
    offMinute: 1,
    changes: [],
  });
});
