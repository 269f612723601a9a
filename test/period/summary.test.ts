import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Log } from '../../src/log/log.js';
import { summarise } from '../../src/period/summary.js';
import { dewPoint } from '../../src/psychrometry/dewPoint.js';
import { HOUR, MINUTE, SECOND } from '../../src/units.js';
import { hours, logOf, minutes, sampled, tiles } from './logOf.js';
import { randomLog, randomPeriods } from './randomLog.js';

const only = (log: Log, start: number, end: number, bridge = HOUR) =>
  summarise(log, [{ start, end }], { bridge })[0]!;

describe('extremes', () => {
  const log = logOf([
    [0, 5, 80],
    [minutes(10), 9, 70],
    [minutes(20), NaN, 95],
    [minutes(30), 9, 70],
    [minutes(40), 2, NaN],
    [minutes(50), 2, 90],
    [minutes(60), 99, 1],
  ]);
  const hour = only(log, 0, minutes(60));

  it('are readings, with the instant of the first', () => {
    expect(hour.airTemperature).toMatchObject({ min: 2, minTime: minutes(40), max: 9, maxTime: minutes(10) });
    expect(hour.relativeHumidity).toMatchObject({
      min: 70,
      minTime: minutes(10),
      max: 95,
      maxTime: minutes(20),
    });
  });

  it('leave a reading at the end to the next period', () => {
    expect(hour.readings).toBe(6);
    expect(only(log, minutes(60), minutes(70)).airTemperature).toMatchObject({ max: 99, readings: 1 });
  });

  it('are absent where there is no reading', () => {
    const later = only(log, hours(2), hours(3));
    expect(later.airTemperature).toMatchObject({
      min: NaN,
      minTime: null,
      max: NaN,
      maxTime: null,
      mean: NaN,
    });
    expect(later).toMatchObject({ readings: 0, dewPointMean: NaN });
  });
});

describe('mean', () => {
  it('is weighted by time: 13.8333 for an uneven hour, not 14.8', () => {
    // Vector of the project's reference sheet on data quality, section 7; exact value 83/6.
    const values = [
      [0, 10],
      [30, 12],
      [35, 20],
      [40, 20],
      [60, 12],
    ] as const;
    const log = logOf(values.map(([minute, value]) => [minutes(minute), value, value]));
    const hour = only(log, 0, HOUR, minutes(30));
    expect(hour.airTemperature.mean).toBeCloseTo(83 / 6, 10);
    expect(hour.relativeHumidity.mean).toBeCloseTo(83 / 6, 10);
  });

  it.each([
    { day: 'of 23 h in spring', length: 23 },
    { day: 'of 25 h in autumn', length: 25 },
  ])('and coverage are those of a day $day', ({ length }) => {
    const log = sampled(hours(-2), hours(length + 2), minutes(30), (time) => [time / HOUR, 50]);
    const day = only(log, 0, hours(length));
    expect(day.airTemperature.mean).toBeCloseTo(length / 2, 10);
    expect(day).toMatchObject({ readings: 2 * length, both: { coverage: 1, longestHole: 0 } });
  });

  it('cuts a line at the end of the period', () => {
    // 0 to 12 in 2 h, of which the first period holds 30 min and the second 90 min.
    const log = logOf([
      [minutes(-30), 0, 50],
      [minutes(90), 12, 50],
    ]);
    const means = summarise(log, tiles(minutes(-60), 0, minutes(90)), { bridge: hours(2) });
    expect(means.map(({ airTemperature }) => airTemperature.mean)).toEqual([
      expect.closeTo(1.5, 10),
      expect.closeTo(7.5, 10),
    ]);
    expect(means.map(({ airTemperature }) => airTemperature.coverage)).toEqual([0.5, 1]);
  });

  it('joins good readings over a bad one, but not over more than the bridging limit', () => {
    const log = logOf([
      [0, 4, 50],
      [minutes(20), NaN, 50],
      [minutes(40), 8, 50],
      [minutes(100), 0, 50],
    ]);
    const { airTemperature } = only(log, 0, hours(2), minutes(40));
    expect(airTemperature).toMatchObject({
      mean: 6,
      covered: minutes(40),
      longestHole: minutes(80),
      readings: 3,
    });
  });

  it('needs two readings for time, not for extremes', () => {
    expect(only(logOf([[minutes(10), 4, 50]]), 0, HOUR).airTemperature).toMatchObject({
      min: 4,
      max: 4,
      mean: NaN,
      coverage: 0,
      longestHole: HOUR,
    });
  });

  it('of the dew point is taken over dew points, not from mean temperature and humidity', () => {
    const log = logOf([
      [0, 5, 95],
      [HOUR, 25, 40],
    ]);
    const { dewPointMean } = only(log, 0, HOUR);
    expect(dewPointMean).toBeCloseTo((dewPoint(5, 95) + dewPoint(25, 40)) / 2, 10);
    expect(Math.abs(dewPointMean - dewPoint(15, 67.5))).toBeGreaterThan(0.5);
  });

  it('of the dew point counts up to 104 % as saturated', () => {
    expect(
      only(
        logOf([
          [0, 10, 104],
          [HOUR, 10, 101],
        ]),
        0,
        HOUR,
      ).dewPointMean,
    ).toBeCloseTo(10, 9);
  });
});

describe('time known for both', () => {
  it('lies between readings that carry both', () => {
    const log = logOf([
      [0, 5, 80],
      [minutes(20), 5, NaN],
      [minutes(40), NaN, 80],
      [minutes(60), 5, 80],
    ]);
    const { airTemperature, relativeHumidity, both } = only(log, 0, HOUR, minutes(45));
    expect([airTemperature.coverage, relativeHumidity.coverage, both.coverage]).toEqual([1, 1, 0]);
  });

  it('knows no hole in a log of one reading an hour', () => {
    const log = sampled(0, hours(24), HOUR, () => [5, 80]);
    expect(only(log, 0, hours(24), hours(2)).both).toMatchObject({ coverage: 1, longestHole: 0 });
  });
});

describe('frost', () => {
  it('begins and ends where the line passes 0 °C', () => {
    const log = logOf([
      [0, 2, 80],
      [hours(3), -1, 80],
      [hours(6), -1, 80],
      [hours(8), 3, 80],
    ]);
    expect(only(log, 0, hours(9), hours(3)).frost).toEqual({
      below: hours(1) + hours(3) + minutes(30),
      above: hours(2) + minutes(90),
      unknown: hours(1),
    });
  });

  it.each([
    { why: 'steady 0 °C is none', temperatures: [0, 0], below: 0 },
    { why: 'steady below is all', temperatures: [-0.1, -0.1], below: HOUR },
    { why: 'from 0 °C down is all', temperatures: [0, -4], below: HOUR },
    { why: 'up to 0 °C is all', temperatures: [-4, 0], below: HOUR },
  ] as const)('$why', ({ temperatures, below }) => {
    expect(
      only(
        logOf([
          [0, temperatures[0], 80],
          [HOUR, temperatures[1], 80],
        ]),
        0,
        HOUR,
      ).frost.below,
    ).toBe(below);
  });
});

describe('against the obvious way', () => {
  /** Every period looks at every pair of neighbours; area and frost of a piece by a sum over seconds. */
  function obvious(log: Log, start: number, end: number, bridge: number) {
    const good = [...log.time]
      .map((time, i) => ({ time, value: log.temperature[i]! }))
      .filter(({ value }) => !Number.isNaN(value));
    const inside = good.filter(({ time }) => time >= start && time < end).map(({ value }) => value);
    let [covered, area, below, crossings] = [0, 0, 0, 0];
    for (let i = 1; i < good.length; i++) {
      const [a, b] = [good[i - 1]!, good[i]!];
      if (b.time - a.time > bridge) continue;
      crossings++;
      for (let t = Math.max(a.time, start); t < Math.min(b.time, end); t += 10 * SECOND) {
        const middle = t + 5 * SECOND;
        const value = a.value + ((b.value - a.value) * (middle - a.time)) / (b.time - a.time);
        covered += 10 * SECOND;
        area += value * 10 * SECOND;
        if (value < 0) below += 10 * SECOND;
      }
    }
    return {
      min: Math.min(...inside),
      max: Math.max(...inside),
      readings: inside.length,
      covered,
      mean: area / covered,
      below,
      crossings,
    };
  }

  it('gives the same for random logs with gaps', () => {
    fc.assert(
      fc.property(randomLog, randomPeriods, fc.integer({ min: 5, max: 90 }), (log, periods, limit) => {
        const bridge = limit * MINUTE;
        for (const { period, airTemperature, frost } of summarise(log, periods, { bridge })) {
          const slow = obvious(log, period.start, period.end, bridge);
          expect(airTemperature.covered).toBe(slow.covered);
          expect(airTemperature.readings).toBe(slow.readings);
          if (slow.readings > 0) expect(airTemperature).toMatchObject({ min: slow.min, max: slow.max });
          if (slow.covered > 0) expect(airTemperature.mean).toBeCloseTo(slow.mean, 8);
          // The slow way is off by up to half a step at each crossing.
          expect(Math.abs(frost.below - slow.below)).toBeLessThanOrEqual(5 * SECOND * slow.crossings);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('leaves no millisecond out: below + above + unknown is the period', () => {
    fc.assert(
      fc.property(randomLog, randomPeriods, (log, periods) => {
        for (const { period, frost, airTemperature, relativeHumidity, both } of summarise(log, periods, {
          bridge: HOUR,
        })) {
          const length = period.end - period.start;
          expect(frost.below + frost.above + frost.unknown).toBe(length);
          expect(Math.min(frost.below, frost.above, frost.unknown)).toBeGreaterThanOrEqual(0);
          expect(both.covered).toBeLessThanOrEqual(
            Math.min(airTemperature.covered, relativeHumidity.covered),
          );
          expect(both.longestHole).toBeLessThanOrEqual(length - both.covered);
        }
      }),
    );
  });
});
