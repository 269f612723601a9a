import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { board, boardTimeConstant, MOISTURE_DIFFUSIVITY } from '../../src/damp/board.js';
import type { SurfaceCourse } from '../../src/damp/surfaceCourse.js';
import { equilibriumMoisture } from '../../src/damp/wood.js';
import { InputError } from '../../src/errors.js';
import { DAY, HOUR, MINUTE, SECOND } from '../../src/units.js';
import { hours, logOf, type Row, sampled } from '../period/logOf.js';
import { randomLog, randomPeriods } from '../period/randomLog.js';
import { reference } from '../psychrometry/reference.js';

/** The humidity at 20 °C for which wood comes to this moisture. */
function humidityAt20(moisture: number): number {
  let [low, high] = [0, 99];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (equilibriumMoisture(20, middle) < moisture) low = middle;
    else high = middle;
  }
  return low;
}

/** Wood at rest at one moisture until 0, then air that asks for another. */
function step(before: number, after: number, until: number): SurfaceCourse {
  const rows: Row[] = [
    [-HOUR, 20, humidityAt20(before)],
    [-1, 20, humidityAt20(before)],
  ];
  for (let time = 0; time <= until; time += HOUR) rows.push([time, 20, humidityAt20(after)]);
  return logOf(rows);
}

const only = (course: SurfaceCourse, timeConstant: number, start: number, end: number, bridge = HOUR) =>
  board(course, [{ start, end }], { timeConstant, bridge })[0]!;

const computed: Readonly<Record<string, () => number>> = {
  wood_D: () => MOISTURE_DIFFUSIVITY / 1000, // mm²/ms → m²/s
  wood_tau_10: () => boardTimeConstant(10, 2) / HOUR,
  wood_tau_20: () => boardTimeConstant(20, 2) / HOUR,
  wood_tau_25: () => boardTimeConstant(25, 2) / HOUR,
  wood_tau_50: () => boardTimeConstant(50, 2) / HOUR,
  wood_tau_100: () => boardTimeConstant(100, 2) / HOUR,
  wood_lag: () => only(step(10, 16.037, hours(24)), 57.9 * HOUR, 0, hours(24)).max,
};

describe('worked values', () => {
  const checks = reference<'expected', 'check_id' | 'tolerance'>('board_checks', 7);
  it.each(checks)('$check_id: $expected within $tolerance', ({ check_id, expected, tolerance }) => {
    const within = tolerance === '1%' ? 0.01 * expected : Number(tolerance);
    expect(Math.abs(computed[check_id]!() - expected)).toBeLessThanOrEqual(within);
  });
});

describe('boardTimeConstant', () => {
  it('with one face open is that of a board twice as thick', () => {
    expect(boardTimeConstant(20, 1)).toBe(boardTimeConstant(40, 2));
  });

  it.each([0, -20, NaN, Number.POSITIVE_INFINITY])('refuses a thickness of %d', (thickness) => {
    expect(() => boardTimeConstant(thickness, 2)).toThrow(InputError);
  });
});

describe('board', () => {
  it('in steady air rests at equilibrium', () => {
    const course = sampled(0, DAY, HOUR, () => [20, 65]);
    const summary = only(course, hours(58), 0, DAY);
    expect(summary).toMatchObject({
      known: DAY,
      unknown: 0,
      unsettled: DAY,
      abovePanelLimit: 0,
      aboveDecayLimit: 0,
    });
    expect(summary.mean).toBeCloseTo(11.996, 3);
    expect(summary.max).toBeCloseTo(11.996, 3);
  });

  it('has the mean of the exact solution', () => {
    const tau = hours(40);
    const summary = only(step(10, 16, hours(100)), tau, 0, hours(100));
    const mean = 16 - (6 * tau * (1 - Math.exp(-2.5))) / hours(100);
    expect(summary.mean).toBeCloseTo(mean, 6);
  });

  it('crosses the limits when the exact solution does', () => {
    const tau = hours(40);
    const summary = only(step(15, 23, hours(100)), tau, 0, hours(100));
    expect(Math.abs(summary.abovePanelLimit - (hours(100) - tau * Math.log(8 / 5)))).toBeLessThan(5);
    expect(Math.abs(summary.aboveDecayLimit - (hours(100) - tau * Math.log(8 / 3)))).toBeLessThan(5);
  });

  it('sees a peak between two readings', () => {
    // From 17.8 %, in air that is damp at first and dry at last: over 18 % for a while in between.
    const [high, low] = [humidityAt20(22), humidityAt20(8)];
    const course = logOf([
      [-HOUR, 20, humidityAt20(17.8)],
      [-1, 20, humidityAt20(17.8)],
      [0, 20, high],
      [hours(3), 20, low],
    ]);
    const summary = only(course, hours(2), 0, hours(3), hours(3));
    // The same in steps of a second.
    let [moisture, highest, above] = [17.8, 17.8, 0];
    for (let at = 0; at < hours(3); at += SECOND) {
      const humidity = high + ((low - high) * at) / hours(3);
      moisture += ((equilibriumMoisture(20, humidity) - moisture) * SECOND) / hours(2);
      highest = Math.max(highest, moisture);
      if (moisture > 18) above += SECOND;
    }
    expect(moisture).toBeLessThan(18);
    expect(highest).toBeGreaterThan(18.1);
    // Means of a quarter of an hour are little for wood this thin.
    expect(Math.abs(summary.max - highest)).toBeLessThan(0.02);
    expect(Math.abs(summary.abovePanelLimit - above)).toBeLessThan(3 * MINUTE);
    expect(summary.aboveDecayLimit).toBe(0);
  });

  it.each([
    { why: 'carried over half a time constant', hole: hours(29), restarts: false },
    { why: 'anew after more', hole: hours(29) + 1, restarts: true },
  ])('$why, whose time stays unknown', ({ hole, restarts }) => {
    const tau = hours(58);
    const course = logOf([
      [-HOUR, 20, 50],
      [0, 20, 50],
      [hole, 20, 80],
      [hole + HOUR, 20, 80],
    ]);
    const [before, after] = board(
      course,
      [
        { start: -HOUR, end: hole },
        { start: hole, end: hole + HOUR },
      ],
      { timeConstant: tau, bridge: HOUR },
    );
    expect(before).toMatchObject({ known: HOUR, unknown: hole });
    expect(after).toMatchObject({ known: HOUR, unknown: 0, unsettled: HOUR });
    if (restarts) expect(after!.mean).toBeCloseTo(equilibriumMoisture(20, 80), 9);
    else expect(after!.max).toBeLessThan(12);
  });

  it('is settled 3 time constants after its start', () => {
    const course = sampled(0, DAY, HOUR, () => [20, 65]);
    expect(only(course, hours(5), 0, DAY)).toMatchObject({ known: DAY, unsettled: hours(15) });
  });

  it('takes frost and fog at the edge of the equation', () => {
    const frost = only(
      sampled(0, DAY, HOUR, () => [-8, 80]),
      HOUR,
      0,
      DAY,
    );
    expect(frost.mean).toBeCloseTo(equilibriumMoisture(-1.12, 80), 9);
    const fog = only(
      sampled(0, DAY, HOUR, () => [10, 100]),
      HOUR,
      0,
      DAY,
    );
    expect(fog).toMatchObject({ unknown: 0, aboveDecayLimit: DAY });
    expect(fog.mean).toBeCloseTo(equilibriumMoisture(10, 99), 9);
  });

  it('knows nothing of a period without readings', () => {
    expect(only(logOf([]), HOUR, 0, DAY)).toMatchObject({ mean: NaN, max: NaN, known: 0, unknown: DAY });
  });

  it.each([0, -HOUR, NaN, Number.POSITIVE_INFINITY])('is refused with a time constant of %d', (tau) => {
    expect(() => only(logOf([]), tau, 0, DAY)).toThrow(InputError);
  });

  it('with an error is that of air so much damper or drier', () => {
    fc.assert(
      fc.property(randomLog, randomPeriods, fc.integer({ min: -20, max: 20 }), (log, periods, error) => {
        const between = log.humidity.map((u) => 30 + 0.4 * u); // so that none is held
        const options = { timeConstant: hours(10), bridge: HOUR };
        const off = board({ ...log, humidity: between }, periods, { ...options, error });
        const shifted = board({ ...log, humidity: between.map((u) => u + error) }, periods, options);
        off.forEach((summary, p) => {
          expect(summary.known).toBe(shifted[p]!.known);
          if (summary.known === 0) return;
          expect(summary.mean).toBeCloseTo(shifted[p]!.mean, 9);
          expect(summary.max).toBeCloseTo(shifted[p]!.max, 9);
        });
      }),
    );
  });

  it.each([
    { humidity: 95, error: 20, held: 99 },
    { humidity: 5, error: -20, held: 0 },
  ])('with $humidity % off by $error % is that of $held %', ({ humidity, error, held }) => {
    const course = sampled(0, DAY, HOUR, () => [10, humidity]);
    const [summary] = board(course, [{ start: 0, end: DAY }], { timeConstant: HOUR, bridge: HOUR, error });
    expect(summary!.mean).toBeCloseTo(equilibriumMoisture(10, held), 9);
  });

  it('accounts for every millisecond, within bounds', () => {
    fc.assert(
      fc.property(randomLog, randomPeriods, fc.integer({ min: 1, max: 100 }), (log, periods, tau) => {
        for (const summary of board(log, periods, { timeConstant: hours(tau), bridge: HOUR })) {
          const { period, known, unknown, unsettled, mean, max } = summary;
          expect(known + unknown).toBe(period.end - period.start);
          expect(unsettled).toBeLessThanOrEqual(known);
          expect(summary.aboveDecayLimit).toBeLessThanOrEqual(summary.abovePanelLimit);
          expect(summary.abovePanelLimit).toBeLessThanOrEqual(known);
          if (known === 0) continue;
          expect(mean).toBeLessThanOrEqual(max + 1e-6);
          expect(max).toBeLessThan(30);
          if (summary.aboveDecayLimit > 0) expect(max).toBeGreaterThan(20);
        }
      }),
    );
  });

  it('does not depend on how finely a line of equilibria is sampled', () => {
    // Straight in humidity is all but straight in equilibrium over so short a stretch.
    const air = (time: number) => [15, 82 + 2 * Math.abs(((time / HOUR) % 4) - 2)] as const;
    const [coarse, fine] = [HOUR, MINUTE].map((cadence) =>
      only(sampled(0, 5 * DAY, cadence, air), hours(30), 0, 5 * DAY),
    );
    expect(Math.abs(coarse!.mean - fine!.mean)).toBeLessThan(0.01);
    expect(Math.abs(coarse!.max - fine!.max)).toBeLessThan(0.01);
  });
});
