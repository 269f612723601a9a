import { describe, expect, it } from 'vitest';
import { type Completeness, judge, partOf } from '../../src/period/completeness.js';
import { type PeriodSummary, summarise } from '../../src/period/summary.js';
import { DAY, HOUR } from '../../src/units.js';
import { hours, logOf, minutes, sampled, tiles } from './logOf.js';

const BRIDGE = minutes(20);

/** A day of ten-minute readings without those in the given holes (hours of the day). */
function dayWithout(...holes: (readonly [from: number, until: number])[]): PeriodSummary {
  const whole = sampled(0, DAY, minutes(10), (time) => [10 + time / HOUR, 80]);
  const rows = [...whole.time.keys()]
    .filter(
      (i) => !holes.some(([from, until]) => whole.time[i]! > hours(from) && whole.time[i]! < hours(until)),
    )
    .map((i) => [whole.time[i]!, whole.temperature[i]!, whole.humidity[i]!] as const);
  return summarise(logOf(rows), tiles(0, DAY), { bridge: BRIDGE })[0]!;
}

describe('a day', () => {
  it.each([
    { why: 'nothing missing', holes: [], verdict: 'complete' },
    {
      why: 'two holes of 1 h, 92 %',
      holes: [
        [1, 2],
        [5, 6],
      ],
      verdict: 'complete',
    },
    {
      why: 'three holes of 1 h, 88 %',
      holes: [
        [1, 2],
        [5, 6],
        [9, 10],
      ],
      verdict: 'usable',
    },
    { why: 'one hole over 1 h', holes: [[1, 2.5]], verdict: 'usable' },
    {
      why: 'two holes of 3 h, 75 %',
      holes: [
        [1, 4],
        [8, 11],
      ],
      verdict: 'usable',
    },
    { why: 'one hole over 3 h', holes: [[1, 4.5]], verdict: 'bounded' },
    {
      why: 'many holes of 1 h, 71 %',
      holes: [1, 3, 5, 7, 9, 11, 13].map((h) => [h, h + 1] as const),
      verdict: 'bounded',
    },
    { why: 'one reading left', holes: [[0, 24]], verdict: 'bounded' },
    { why: 'nothing left', holes: [[-1, 24]], verdict: 'empty' },
  ] as const)('$why: $verdict', ({ holes, verdict }) => {
    const [day] = judge('day', [dayWithout(...holes)], []);
    expect(day!.both.completeness).toBe(verdict);
    expect(day!.airTemperature.completeness).toBe(verdict);
  });

  it('keeps its extremes and loses its means when it is only bounded', () => {
    const [day] = judge('day', [dayWithout([1, 12])], []);
    expect(day!.airTemperature).toMatchObject({ completeness: 'bounded', mean: NaN, min: 10 });
    expect(day).toMatchObject({ dewPointMean: NaN });
    const [better] = judge('day', [dayWithout([1, 2.5])], []);
    expect(better!.airTemperature.mean).not.toBeNaN();
    expect(better!.dewPointMean).not.toBeNaN();
  });

  it('is judged for each quantity', () => {
    const log = sampled(0, DAY, minutes(10), (time) => [10, time < hours(12) ? 80 : NaN]);
    const [day] = judge('day', summarise(log, tiles(0, DAY), { bridge: BRIDGE }), []);
    expect(day!.airTemperature).toMatchObject({ completeness: 'complete', mean: 10 });
    expect(day!.relativeHumidity).toMatchObject({ completeness: 'bounded', mean: NaN });
    expect(day!.both.completeness).toBe('bounded');
  });

  it('of hourly readings is complete', () => {
    const log = sampled(0, hours(23), HOUR, () => [10, 80]);
    const [day] = judge('day', summarise(log, tiles(0, DAY), { bridge: hours(2) }), []);
    expect(day!.both.completeness).toBe('complete');
  });
});

/** Days with readings only where `present` says so, and the period over all of them. */
function daysAndWhole(present: readonly boolean[]) {
  const log = sampled(0, present.length * DAY, minutes(30), (time) =>
    present[Math.floor(time / DAY)] ? [10, 80] : [NaN, NaN],
  );
  const bounds = [...present.keys(), present.length].map((day) => day * DAY);
  const days = judge('day', summarise(log, tiles(...bounds), { bridge: HOUR }), []);
  const whole = summarise(log, tiles(0, present.length * DAY), { bridge: HOUR });
  return { days, whole };
}

/** 1 for a day that is there, 0 for one that is missing. */
const pattern = (text: string) => [...text].map((sign) => sign === '1');

describe('a month, by the strict 3/5 rule', () => {
  it.each<{ why: string; days: string; verdict: Completeness }>([
    { why: 'all there', days: '1'.repeat(30), verdict: 'complete' },
    { why: '5 missing, never over 3 in a row', days: `10001${'1'.repeat(20)}10011`, verdict: 'usable' },
    { why: '4 in a row', days: `100001${'1'.repeat(24)}`, verdict: 'bounded' },
    { why: '6 in all', days: `${'01'.repeat(6)}${'1'.repeat(18)}`, verdict: 'bounded' },
    { why: 'none there', days: '0'.repeat(30), verdict: 'empty' },
  ])('$why: $verdict', ({ days: text, verdict }) => {
    const { days, whole } = daysAndWhole(pattern(text));
    const [month] = judge('month', whole, days);
    expect(month!.both.completeness).toBe(verdict);
    expect(Number.isNaN(month!.airTemperature.mean)).toBe(verdict === 'bounded' || verdict === 'empty');
  });

  it('is not complete for want of days to look at', () => {
    expect(judge('month', daysAndWhole(pattern('1'.repeat(30))).whole, [])[0]!.both.completeness).toBe(
      'bounded',
    );
  });
});

describe('a week', () => {
  it.each<{ days: string; verdict: Completeness }>([
    { days: '1111111', verdict: 'complete' },
    { days: '1101111', verdict: 'usable' },
    { days: '1101011', verdict: 'bounded' },
  ])('$days: $verdict', ({ days: text, verdict }) => {
    const { days, whole } = daysAndWhole(pattern(text));
    expect(judge('week', whole, days)[0]!.both.completeness).toBe(verdict);
  });

  it('looks only at its own days', () => {
    const { days } = daysAndWhole(pattern('00000001111111'));
    const log = sampled(0, 14 * DAY, minutes(30), (time) => [time < 7 * DAY ? NaN : 10, 80]);
    const weeks = summarise(log, tiles(0, 7 * DAY, 14 * DAY), { bridge: HOUR });
    expect(judge('week', weeks, days).map(({ both }) => both.completeness)).toEqual(['empty', 'complete']);
  });
});

it('a year is judged by its months, a month and a week by their days, the rest by themselves', () => {
  expect((['year', 'month', 'week', 'day', 'hour'] as const).map(partOf)).toEqual([
    'month',
    'day',
    'day',
    null,
    null,
  ]);
});
