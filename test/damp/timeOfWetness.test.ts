import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { SurfaceCourse } from '../../src/damp/surfaceCourse.js';
import { timeOfWetness, wetnessClass, yearlyWetness } from '../../src/damp/timeOfWetness.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { hours, logOf, minutes, type Row, sampled } from '../period/logOf.js';
import { randomLog, randomPeriods } from '../period/randomLog.js';
import { reference } from '../psychrometry/reference.js';

const exact = { temperature: 0, humidity: 0 };

const only = (course: SurfaceCourse, end: number, accuracy = exact, bridge = HOUR) =>
  timeOfWetness(course, [{ start: 0, end }], { bridge, accuracy })[0]!;

const line = (before: Values, after: Values) =>
  logOf([
    [0, ...before],
    [HOUR, ...after],
  ]);
type Values = readonly [temperature: number, humidity: number];

describe('timeOfWetness', () => {
  it.each([
    { why: 'damp and above freezing', before: [5, 90], after: [5, 90], wet: 60 },
    { why: 'dry', before: [5, 70], after: [5, 79.9], wet: 0 },
    { why: 'frozen', before: [-5, 90], after: [-0.1, 90], wet: 0 },
    { why: 'exactly 0 °C is frozen', before: [0, 90], after: [0, 90], wet: 0 },
    { why: 'exactly 80 % is dry', before: [5, 80], after: [5, 80], wet: 0 },
    { why: 'from the crossing of 80 %', before: [5, 70], after: [5, 90], wet: 30 },
    { why: 'up to the crossing of 80 %', before: [5, 95], after: [5, 75], wet: 45 },
    { why: 'from the crossing of 0 °C', before: [-1, 90], after: [3, 90], wet: 45 },
    { why: 'from the later crossing', before: [-1, 70], after: [3, 90], wet: 30 },
    { why: 'between the crossings', before: [3, 70], after: [-1, 90], wet: 15 },
    { why: 'not at all, frozen before it is damp', before: [1, 70], after: [-3, 90], wet: 0 },
  ] as const)('$why: $wet min', ({ before, after, wet }) => {
    expect(only(line(before, after), HOUR)).toMatchObject({
      expected: minutes(wet),
      certain: minutes(wet),
      possible: minutes(wet),
      dry: minutes(60 - wet),
      unknown: 0,
    });
  });

  it.each([
    {
      why: 'humidity',
      before: [5, 70],
      after: [5, 90],
      accuracy: { temperature: 0, humidity: 5 },
      wet: [15, 30, 45],
    },
    {
      why: 'temperature',
      before: [-1, 90],
      after: [1, 90],
      accuracy: { temperature: 0.5, humidity: 0 },
      wet: [15, 30, 45],
    },
    {
      why: 'both',
      before: [-1, 70],
      after: [1, 90],
      accuracy: { temperature: 0.5, humidity: 3 },
      wet: [15, 30, 39],
    },
    {
      why: 'humidity near the limit',
      before: [5, 78],
      after: [5, 78],
      accuracy: { temperature: 0, humidity: 3 },
      wet: [0, 0, 60],
    },
  ] as const)('the accuracy of $why makes it uncertain', ({ before, after, accuracy, wet }) => {
    expect(only(line(before, after), HOUR, accuracy)).toMatchObject({
      certain: minutes(wet[0]),
      expected: minutes(wet[1]),
      possible: minutes(wet[2]),
    });
  });

  it('tells the time with the limit itself counted where that is over 5 % more', () => {
    // A sensor of whole percents: 10 h at 81 %, then at 80 %.
    const whole = (at80: number) =>
      sampled(0, hours(20), HOUR, (time) => [5, time <= hours(10) ? 81 : time <= hours(10 + at80) ? 80 : 60]);
    const many = only(whole(3), hours(20));
    expect(many.withLimit! - many.expected).toBeGreaterThanOrEqual(hours(2));
    expect(only(whole(0), hours(20)).withLimit).toBeNull();
    expect(
      only(
        sampled(0, hours(5), HOUR, () => [5, 80]),
        hours(5),
      ),
    ).toMatchObject({ expected: 0, withLimit: hours(5) });
  });

  it('counts hours, not rows', () => {
    const rows: Row[] = [
      [0, 5, 90],
      [minutes(1), 5, 90],
      [minutes(2), 5, 90],
      [minutes(62), 5, 90],
    ];
    expect(only(logOf(rows), minutes(62)).expected).toBe(minutes(62));
  });

  it('takes readings apart by more than the bridging limit, and half readings, for unknown', () => {
    const rows: Row[] = [
      [0, 5, 90],
      [HOUR, 5, 90],
      [hours(2), NaN, 90],
      [hours(3), 5, NaN],
      [hours(4), 5, 90],
      [hours(5), 5, 70],
    ];
    expect(only(logOf(rows), hours(6))).toMatchObject({
      expected: hours(1.5),
      dry: HOUR / 2,
      unknown: hours(4),
    });
  });

  it('accounts for every millisecond, certain within expected within possible', () => {
    fc.assert(
      fc.property(randomLog, randomPeriods, fc.nat(20), fc.nat(60), (log, periods, kelvin, percent) => {
        const accuracy = { temperature: kelvin / 10, humidity: percent / 10 };
        for (const summary of timeOfWetness(log, periods, { bridge: HOUR, accuracy })) {
          const { period, certain, expected, possible, dry, unknown } = summary;
          expect(expected + dry + unknown).toBe(period.end - period.start);
          expect(certain).toBeGreaterThanOrEqual(0);
          expect(certain).toBeLessThanOrEqual(expected);
          expect(expected).toBeLessThanOrEqual(possible);
          expect(possible).toBeLessThanOrEqual(expected + dry);
        }
      }),
    );
  });

  it('is certain only if wet under every error, and possible if wet under some', () => {
    const error = fc.integer({ min: -10, max: 10 }).map((tenths) => tenths / 10);
    fc.assert(
      fc.property(randomLog, error, error, (log, kelvin, percent) => {
        const end = 2 * DAY;
        const within = only(log, end, { temperature: 1, humidity: 1 });
        const shifted = {
          time: log.time,
          temperature: log.temperature.map((t) => t + kelvin),
          humidity: log.humidity.map((u) => u + percent),
        };
        const { expected } = only(shifted, end);
        // Every crossing is rounded to the millisecond.
        const rounding = log.length;
        expect(expected).toBeGreaterThanOrEqual(within.certain - rounding);
        expect(expected).toBeLessThanOrEqual(within.possible + rounding);
      }),
    );
  });

  it('does not depend on cadence', () => {
    const air = (time: number) =>
      [2 + 4 * Math.abs(((time / HOUR) % 4) - 2) - 3, 75 + 5 * Math.abs(((time / HOUR) % 6) - 3)] as const;
    const [coarse, fine] = [HOUR, MINUTE].map((cadence) => only(sampled(0, DAY, cadence, air), DAY));
    expect(Math.abs(coarse!.expected - fine!.expected)).toBeLessThan(100);
    expect(coarse!.expected).toBeGreaterThan(0);
  });
});

describe('wetness class', () => {
  const classes = reference<'hours_per_year_over' | 'hours_per_year_up_to' | 'percent_of_8760h_low', 'class'>(
    'iso9223_tow_classes',
    5,
  );
  it.each(classes)('$class is over $hours_per_year_over h up to $hours_per_year_up_to h', (row) => {
    expect(wetnessClass(row.hours_per_year_up_to)).toBe(row.class);
    expect(wetnessClass(row.hours_per_year_over + 0.001)).toBe(row.class);
    expect(Math.abs((100 * row.hours_per_year_over) / 8760 - row.percent_of_8760h_low)).toBeLessThan(0.001);
  });

  it('goes by hours: 60 % of a year, where tables put the last limit, is 5256 h and still the fourth', () => {
    expect(wetnessClass(0.6 * 8760 + 1)).toBe('tau4');
  });

  it('has it right where a copy has not: the first up to 250 h, the third up to 4000 h', () => {
    expect(wetnessClass(200)).toBe('tau2');
    expect(wetnessClass(3000)).toBe('tau4');
  });

  it.each([-1, NaN])('has none for %d h', (count) => {
    expect(wetnessClass(count)).toBeNull();
  });

  it.each([
    { why: 'a whole year', wet: 2628, known: 8760, class: 'tau4', lowest: 2628, highest: 2628 },
    { why: 'half a year has no class', wet: 900, known: 4380, class: null, lowest: 900, highest: 5280 },
    { why: '80 % is scaled', wet: 2000, known: 7008, class: 'tau3', lowest: 2500, highest: 2500 },
    { why: 'just less is not', wet: 2000, known: 7007, class: null, lowest: 2000, highest: 3753 },
    { why: 'two years are scaled', wet: 500, known: 17520, class: 'tau2', lowest: 250, highest: 250 },
    { why: 'nothing known', wet: 0, known: 0, class: null, lowest: 0, highest: 8760 },
  ])('$why: $wet h of $known h', ({ wet, known, class: wanted, lowest, highest }) => {
    const year = yearlyWetness(hours(wet), hours(known));
    expect(year.class).toBe(wanted);
    expect(year.lowest).toBeCloseTo(lowest, 6);
    expect(year.highest).toBeCloseTo(highest, 6);
  });
});
