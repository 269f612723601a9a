import { readFileSync } from 'node:fs';
import { parse as parseCsv } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { condensation } from '../../src/damp/condensation.js';
import { parseCondition } from '../../src/damp/condition.js';
import { type Held, heldTimes, heldTogether, type Station } from '../../src/damp/conditionHeld.js';
import { airingConditions, paintingConditions } from '../../src/damp/conditionPresets.js';
import { depositPoints } from '../../src/damp/depositPoint.js';
import { both, type Intervals } from '../../src/damp/intervals.js';
import type { ModelledSurface } from '../../src/damp/surface.js';
import { InputError } from '../../src/errors.js';
import type { Log } from '../../src/log/log.js';
import { absoluteHumidity } from '../../src/psychrometry/absoluteHumidity.js';
import { defaultAir } from '../../src/psychrometry/airModel.js';
import { dewPoint } from '../../src/psychrometry/dewPoint.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { hours, logOf, minutes, sampled } from '../period/logOf.js';
import { randomLog } from '../period/randomLog.js';

const exact = { temperature: 0, humidity: 0 };
const AIR = { pressure: 1013.25, model: defaultAir };

function station(log: Log, more: Partial<Station> = {}): Station {
  return { log, bridge: HOUR, accuracy: exact, surfaces: [], ...more };
}

const surfaces = (...list: ModelledSurface[]) => list.map((surface) => ({ surface, companion: null }));
const mass = (name: string, timeConstant: number): ModelledSurface => ({ name, model: 'mass', timeConstant });

/** When a condition held in the loft, beside which there may be the hall. */
function held(text: string, loft: Station, hall: Station = loft): Held {
  const stations: Readonly<Record<string, Station>> = { loft, hall };
  const loggers = Object.entries(stations).map(([id, each]) => ({
    id,
    surfaces: each.surfaces.map(({ surface }) => surface.name),
  }));
  return heldTimes(parseCondition(text, loggers), 'loft', (id) => stations[id]!, AIR);
}

const within = (inner: Intervals, outer: Intervals) => expect(both(inner, outer)).toEqual(inner);
/** How much of `inner` lies outside `outer` [ms]. */
const outside = (inner: Intervals, outer: Intervals) => lengthOf(inner) - lengthOf(both(inner, outer));
const lengthOf = (intervals: Intervals) =>
  intervals.reduce((sum, bound, i) => sum + (i % 2 === 0 ? -bound : bound), 0);

/** Both rise from 0 °C and 60 % to 10 °C and 100 % in an hour. */
const ramp = logOf([
  [0, 0, 60],
  [HOUR, 10, 100],
]);

describe('a condition on a ramp', () => {
  it.each([
    { text: 'air_temperature<2.5', times: [0, 15] },
    { text: 'air_temperature>2.5', times: [15, 60] },
    { text: 'air_temperature>=10', times: [] },
    { text: 'air_temperature<=10', times: [0, 60] },
    { text: 'air_temperature>-1', times: [0, 60] },
    { text: 'air_temperature<0', times: [] },
    { text: 'relative_humidity<=85', times: [0, 37.5] },
    { text: 'air_temperature<relative_humidity', times: [0, 60] },
    { text: 'relative_humidity>hall/relative_humidity', times: [30, 60] },
  ])('$text holds from and to $times min', ({ text, times }) => {
    const hall = station(sampled(0, HOUR, minutes(20), () => [5, 80]));
    const { known, certain, expected, possible } = held(text, station(ramp), hall);
    expect(known).toEqual([0, HOUR]);
    expect(expected).toEqual(times.map(minutes));
    expect(certain).toEqual(expected);
    expect(possible).toEqual(expected);
  });

  it('takes derived quantities at the readings, and straight lines between', () => {
    const [before, after] = [absoluteHumidity(0, 60, AIR.pressure), absoluteHumidity(10, 100, AIR.pressure)];
    const { expected } = held('absolute_humidity>=6', station(ramp));
    expect(expected).toEqual([Math.round((HOUR * (6 - before)) / (after - before)), HOUR]);
  });

  it('tells the limit itself apart, where a reading stands on it', () => {
    const still = station(sampled(0, HOUR, minutes(10), () => [3, 85]));
    const times = (text: string) => held(text, still).expected;
    expect(times('relative_humidity<=85')).toEqual([0, HOUR]);
    expect(times('relative_humidity>=85')).toEqual([0, HOUR]);
    expect(times('relative_humidity<85')).toEqual([]);
    expect(times('relative_humidity>85')).toEqual([]);
  });

  it('is unknown beyond the bridging limit, where a value is missing, and where a quantity is not defined', () => {
    const log = logOf([
      [0, 5, 80],
      [HOUR, 5, NaN],
      [hours(1.5), 5, 80],
      [hours(2), 5, 80],
      [hours(4), 5, 80],
      [hours(5), 5, 80],
    ]);
    expect(held('air_temperature>0', station(log)).known).toEqual([0, hours(2), hours(4), hours(5)]);
    expect(held('relative_humidity>0', station(log)).known).toEqual([
      hours(1.5),
      hours(2),
      hours(4),
      hours(5),
    ]);
    expect(held('frost_point_temperature<0', station(ramp)).known).toEqual([]);
    // nor possible where it would be defined for a humidity within the accuracy
    const wet = station(
      sampled(0, HOUR, minutes(10), () => [5, 106]),
      { accuracy: { temperature: 0, humidity: 3 } },
    );
    expect(held('dew_point_temperature>0', wet)).toEqual({
      known: [],
      certain: [],
      expected: [],
      possible: [],
    });
  });
});

describe('a surface', () => {
  // 10 °C for a day, then within a minute 15 °C: the winch follows, 3 h slow
  const step = sampled(0, 2 * DAY, MINUTE, (time) => [time <= DAY ? 10 : 15, 60]);
  const winch = mass('winch', hours(3));

  it('is the exact exponential between readings', () => {
    const { expected } = held('winch.temperature<12', station(step, { surfaces: surfaces(winch) }));
    // of a ramp of a minute the lag is that of a step in its middle, but for (1 min / 3 h)² / 24
    const passed = DAY + MINUTE / 2 + hours(3) * Math.log(5 / 3);
    expect(expected[0]).toBe(hours(9));
    expect(Math.abs(expected[1]! - passed)).toBeLessThan(100);
  });

  it('crosses to the millisecond, whatever the cadence', () => {
    const steps = [1, 20, 60].map((cadence) =>
      sampled(0, DAY, minutes(cadence), (time) => [10 + time / HOUR, 60]),
    );
    // behind a ramp of 1 K/h since 0:00, having started on it: T(t) = 10 + t − 3 (1 − exp(−t / 3))
    for (const log of steps) {
      const [start, end] = held('winch.temperature<20', station(log, { surfaces: surfaces(winch) })).expected;
      expect(start).toBe(hours(9));
      const t = end! / HOUR;
      expect(10 + t - 3 * (1 - Math.exp(-t / 3))).toBeCloseTo(20, 5);
    }
  });

  it('against the air, which it follows: neither error nor start count', () => {
    const accuracy = { temperature: 1, humidity: 5 };
    const day = (time: number) => 10 - 5 * Math.cos((2 * Math.PI * time) / DAY);
    const log = sampled(0, 3 * DAY, minutes(10), (time) => [day(time), 60]);
    const { certain, expected, possible } = held(
      'winch.temperature<air_temperature',
      station(log, { accuracy, surfaces: surfaces(winch) }),
    );
    expect(certain).toEqual(expected);
    expect(possible).toEqual(expected);
    // a wave of a day that lags behind is crossed where it is highest and lowest, half a day apart
    const lag = Math.atan((2 * Math.PI * 3) / 24) / (2 * Math.PI);
    expect(Math.abs(expected[2]! - (1 + lag) * DAY)).toBeLessThan(minutes(1));
    expect(Math.abs(expected[3]! - (1.5 + lag) * DAY)).toBeLessThan(minutes(1));
  });

  it('with a margin of 0 or less is wet: the same hours as condensation', () => {
    fc.assert(
      fc.property(randomLog, fc.nat(20), fc.nat(60), (log, kelvin, percent) => {
        const accuracy = { temperature: kelvin / 10, humidity: percent / 10 };
        const hull = mass('hull', hours(1));
        const wet = held('hull.margin<=0', station(log, { accuracy, surfaces: surfaces(hull) }));
        const [summary] = condensation(log, hull, [{ start: -DAY, end: 100 * DAY }], {
          bridge: HOUR,
          accuracy,
        });
        // Every crossing is rounded to the millisecond.
        for (const kind of ['certain', 'expected', 'possible'] as const) {
          expect(Math.abs(lengthOf(wet[kind]) - summary![kind])).toBeLessThanOrEqual(2 * log.length);
        }
        expect(lengthOf(wet.known)).toBe(101 * DAY - summary!.unknown);
      }),
    );
  });

  it('under the open sky is colder between sunset and sunrise', () => {
    const position = { latitude: 54, longitude: 0 };
    const roof: ModelledSurface = { name: 'roof', model: 'night-sky', drop: 3, position };
    const log = sampled(Date.UTC(2025, 2, 20), Date.UTC(2025, 2, 22), minutes(30), () => [10, 60]);
    const { expected } = held('roof.temperature<10', station(log, { surfaces: surfaces(roof) }));
    // the equinox: night is half of the day, but for refraction and the size of the sun
    expect(expected).toHaveLength(6);
    expect(Math.abs((expected[3]! - expected[2]!) / HOUR - 12)).toBeLessThan(0.5);
  });

  it('is crossed at the same moment, whatever readings of another logger lie between', () => {
    const hourly = sampled(0, DAY, HOUR, (time) => [10 + time / HOUR, 60]);
    const loft = station(hourly, { surfaces: surfaces(winch) });
    const hall = station(sampled(minutes(-3), 2 * DAY, minutes(7), () => [20, 60]));
    const [, crossed] = held('winch.temperature<20', loft).expected;
    const [start, end] = held('winch.temperature<hall/air_temperature', loft, hall).expected;
    expect(start).toBe(hours(9));
    expect(Math.abs(end! - crossed!)).toBeLessThanOrEqual(1);
  });

  it('with a thermometer of its own is unknown where that was silent between two readings', () => {
    const hull: ModelledSurface = {
      name: 'hull',
      model: 'measured',
      thermometer: { logger: 'hull' },
      accuracy: 0,
      accuracySource: 'site',
    };
    const times = [0, 10, 20, 30, 40, 55, 65].map(minutes);
    const companion = { log: logOf(times.map((time) => [time, 5, 60])), bridge: minutes(10) };
    const log = sampled(0, HOUR, minutes(20), () => [5, 60]);
    const { known } = held('hull.temperature>0', station(log, { surfaces: [{ surface: hull, companion }] }));
    expect(known).toEqual([0, minutes(40)]);
  });

  it('is not compared with one that follows at another speed', () => {
    const two = station(ramp, { surfaces: surfaces(winch, mass('hull', HOUR)) });
    expect(() => held('winch.temperature<hull.temperature', two)).toThrow(InputError);
    const alike = station(step, { surfaces: surfaces(winch, mass('hull', hours(3))) });
    expect(held('winch.temperature<=hull.temperature', alike).expected).toEqual([hours(9), 2 * DAY]);
  });
});

describe('two logs', () => {
  it('have the breakpoints of both', () => {
    // 0, 10, 0, 10 … °C every half hour, against a line from 0 to 10 °C in two hours
    const zigzag = sampled(0, hours(2), minutes(30), (time) => [time % HOUR === 0 ? 0 : 10, 60]);
    const line = logOf([
      [minutes(-40), 0 - 10 / 3, 60],
      [minutes(80), 20 / 3, 60],
      [minutes(200), 50 / 3, 60],
    ]);
    const { known, expected } = held(
      'air_temperature>hall/air_temperature',
      station(zigzag),
      station(line, { bridge: hours(2) }),
    );
    expect(known).toEqual([0, hours(2)]);
    // by hand, t in hours: the line is 5t, the zigzag 20t, 20 − 20t, 20t − 20 and 40 − 20t
    expect(expected).toEqual([0, hours(0.8), hours(4 / 3), hours(1.6)]);
  });

  it('are unknown where one of them is', () => {
    const loft = station(sampled(0, hours(6), minutes(30), () => [5, 60]));
    const hall = station(
      logOf([
        [minutes(-10), 3, 60],
        [minutes(40), 3, 60],
        [hours(3), 3, 60],
        [hours(3.5), 3, 60],
      ]),
    );
    const { known, expected } = held('hall/air_temperature<air_temperature', loft, hall);
    expect(known).toEqual([0, minutes(40), hours(3), hours(3.5)]);
    expect(expected).toEqual(known);
  });

  it('are off each on its own', () => {
    const accuracy = { temperature: 0.5, humidity: 0 };
    const loft = station(ramp, { accuracy });
    const hall = station(
      logOf([
        [0, 5, 60],
        [HOUR, 5, 60],
      ]),
      { accuracy },
    );
    const { certain, expected, possible } = held('air_temperature>hall/air_temperature', loft, hall);
    expect([certain, expected, possible]).toEqual([
      [minutes(36), HOUR],
      [minutes(30), HOUR],
      [minutes(24), HOUR],
    ]);
  });

  it('say when airing is worth it: a gram and more', () => {
    const outdoor = station(sampled(0, HOUR, minutes(10), () => [10, 60]));
    const [condition] = airingConditions('hall');
    const gained = absoluteHumidity(20, 50, AIR.pressure) - absoluteHumidity(10, 60, AIR.pressure);
    expect(gained).toBeGreaterThan(1);
    for (const [indoor, times] of [
      [20, [0, HOUR]],
      [10, []],
    ] as const) {
      const loft = station(sampled(0, HOUR, minutes(10), () => [indoor, indoor === 20 ? 50 : 65]));
      expect(heldTimes(condition!, 'loft', (id) => (id === 'hall' ? outdoor : loft), AIR).expected).toEqual(
        times,
      );
    }
  });
});

describe('the accuracy', () => {
  it.each([
    { text: 'air_temperature<=5', accuracy: { temperature: 0.5, humidity: 9 }, times: [27, 30, 33] },
    { text: 'relative_humidity<=80', accuracy: { temperature: 9, humidity: 4 }, times: [24, 30, 36] },
  ])('moves the crossing of $text, $times min', ({ text, accuracy, times }) => {
    const { certain, expected, possible } = held(text, station(ramp, { accuracy }));
    expect([certain, expected, possible]).toEqual(times.map((end) => [0, minutes(end)]));
  });

  it('of a thermometer on the surface counts besides', () => {
    const hull: ModelledSurface = {
      name: 'hull',
      model: 'measured',
      thermometer: { logger: 'hull' },
      accuracy: 0.5,
      accuracySource: 'site',
    };
    const companion = { log: ramp, bridge: HOUR };
    const air = sampled(0, HOUR, MINUTE, () => [10, 60]);
    const loft = station(air, { surfaces: [{ surface: hull, companion }] });
    const { certain, expected, possible } = held('hull.temperature>=5', loft);
    expect([certain, expected, possible]).toEqual([
      [minutes(33), HOUR],
      [minutes(30), HOUR],
      [minutes(27), HOUR],
    ]);
    const margin = held('hull.margin>=0', loft);
    const dew = (dewPoint(10, 60) / 10) * HOUR;
    expect(Math.abs(margin.expected[0]! - dew)).toBeLessThan(2);
    expect(margin.certain[0]! - margin.expected[0]!).toBe(minutes(3));
  });

  const pane: ModelledSurface = {
    name: 'pane',
    model: 'between',
    outside: 'hall',
    temperatureFactor: 0.6,
    outsideAccuracy: 0,
    accuracySource: 'site',
  };

  it.each([
    {
      why: 'a wall that hangs on the air outside: damp air is worse if it is warmer',
      factor: 0.2,
      u: 60,
      margin: 0,
      worse: 1,
    },
    {
      why: 'one that hangs on dry air inside: worse if that is colder',
      factor: 0.95,
      u: 10,
      margin: 30,
      worse: -1,
    },
  ])('of $why', ({ factor, u, margin, worse }) => {
    const accuracy = { temperature: 1, humidity: 0 };
    const wall: ModelledSurface = { ...pane, temperatureFactor: factor, outsideAccuracy: 0.5 };
    // outside it warms from −60 to 20 °C in an hour
    const outdoors = logOf([
      [0, -60, 60],
      [HOUR, 20, 60],
    ]);
    const inside = sampled(0, HOUR, minutes(10), () => [20, u]);
    const companion = { log: outdoors, bridge: HOUR };
    const loft = station(inside, { accuracy, surfaces: [{ surface: wall, companion }] });
    /** When the margin passes its limit, the air's thermometer and that outside being off by so much. */
    const passes = (kelvin: number, own: number) => {
      const dew = depositPoints(logOf([[0, 20 + kelvin, u]]), exact).expected[1]!;
      return HOUR * (((dew + margin - factor * (20 + kelvin)) / (1 - factor) - own + 60) / 80);
    };
    const { certain, expected, possible } = held(`pane.margin>=${margin}`, loft);
    expect(Math.abs(certain[0]! - passes(worse, -0.5))).toBeLessThan(2);
    expect(Math.abs(expected[0]! - passes(0, 0))).toBeLessThan(2);
    expect(Math.abs(possible[0]! - passes(-worse, 0.5))).toBeLessThan(2);
  });

  const TEXTS = [
    'air_temperature<=5',
    'relative_humidity>95',
    'dew_point_temperature<4',
    'absolute_humidity>=6',
    'saturation_deficit<0.3',
    'air_density<1.26',
    'hull.margin>=0.5',
    'hull.temperature>3',
    'pane.margin<2',
    'air_temperature>wet_bulb_temperature',
    'hull.temperature<=air_temperature',
    'vapour_pressure<hall/vapour_pressure',
  ];
  it.each(TEXTS)('%s: certain for every constant error, possible for some', (text) => {
    const part = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(randomLog, randomLog, part, part, (log, other, kelvin, percent) => {
        const accuracy = { temperature: 0.5, humidity: 3 };
        const loftAs = (each: Log, accurate = exact) =>
          station(each, {
            accuracy: accurate,
            surfaces: [
              { surface: mass('hull', HOUR), companion: null },
              { surface: pane, companion: { log: other, bridge: HOUR } },
            ],
          });
        const all = held(text, loftAs(log, accuracy), station(other));
        within(all.certain, all.expected);
        within(all.expected, all.possible);
        within(all.possible, all.known);

        const off = loftAs({
          ...log,
          temperature: log.temperature.map((t) => t + kelvin * accuracy.temperature),
          humidity: log.humidity.map((u) => Math.min(Math.max(u + percent * accuracy.humidity, 0), 104)),
        });
        const { expected, known } = held(text, off, station(other));
        // Every crossing is rounded to the millisecond.
        const rounding = 2 * (log.length + other.length);
        expect(outside(both(all.certain, known), expected)).toBeLessThanOrEqual(rounding);
        expect(outside(both(expected, all.known), all.possible)).toBeLessThanOrEqual(rounding);
      }),
      { numRuns: 60 },
    );
  });
});

interface Check {
  readonly check_id: string;
  readonly inputs: string;
  readonly expected: string;
}

const paint = parseCsv<Check>(
  readFileSync(new URL('../reference/surface_model_checks.csv', import.meta.url)),
  {
    columns: true,
    comment: '#',
  },
).filter(({ check_id }) => check_id.startsWith('paint'));

describe('painting', () => {
  const hull: ModelledSurface = {
    name: 'hull',
    model: 'measured',
    thermometer: { logger: 'hull' },
    accuracy: 0,
    accuracySource: 'site',
  };

  /** Whether a surface may be painted in this air, all the time. */
  function mayPaint(t: number, u: number, ts: number): boolean {
    const companion = { log: sampled(0, HOUR, minutes(10), () => [ts, 50]), bridge: HOUR };
    const at = station(
      sampled(0, HOUR, minutes(10), () => [t, u]),
      { surfaces: [{ surface: hull, companion }] },
    );
    const { known, expected } = paintingConditions(['hull'])
      .map((condition) => heldTimes(condition, 'loft', () => at, AIR))
      .reduce(heldTogether);
    expect(known).toEqual([0, HOUR]);
    return expected.length > 0;
  }

  it('has worked values', () => expect(paint).toHaveLength(4));

  it.each(paint)('$check_id: $expected', ({ inputs, expected }) => {
    const [t, u, ts] = inputs.split(';').map((input) => Number(input.split('=')[1])) as [
      number,
      number,
      number,
    ];
    expect(mayPaint(t, u, ts)).toBe(expected.endsWith('yes'));
  });

  it.each([
    { why: 'in the middle', t: 20, u: 60, ts: 20, yes: true },
    { why: 'at 85 %', t: 20, u: 85, ts: 22, yes: true },
    { why: 'at 3 K', t: 20, u: 60, ts: dewPoint(20, 60) + 3, yes: true },
    { why: 'under 3 K', t: 20, u: 60, ts: dewPoint(20, 60) + 2.999, yes: false },
    { why: 'air too cold', t: 4.9, u: 40, ts: 10, yes: false },
    { why: 'surface too cold', t: 10, u: 40, ts: 4.9, yes: false },
    { why: 'air too hot', t: 40.1, u: 30, ts: 30, yes: false },
    { why: 'surface too hot', t: 30, u: 30, ts: 40.1, yes: false },
  ])('$why: $yes', ({ t, u, ts, yes }) => {
    expect(mayPaint(t, u, ts)).toBe(yes);
  });
});

describe('conditions together', () => {
  it('hold where all hold, and are known where all are known', () => {
    const one: Held = { known: [0, 10], certain: [2, 4], expected: [1, 6], possible: [0, 8] };
    const other: Held = { known: [3, 12], certain: [], expected: [5, 12], possible: [3, 12] };
    expect(heldTogether(one, other)).toEqual({
      known: [3, 10],
      certain: [],
      expected: [5, 6],
      possible: [3, 8],
    });
  });
});
