import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { type CondensationSummary, condensation } from '../../src/damp/condensation.js';
import { exposingAir, exposureOf } from '../../src/damp/exposure.js';
import { lagOf } from '../../src/damp/material.js';
import { nights } from '../../src/damp/sun.js';
import type { ModelledSurface } from '../../src/damp/surface.js';
import { surfaceTemperature } from '../../src/damp/surfaceTemperature.js';
import type { Log } from '../../src/log/log.js';
import { dewPoint } from '../../src/psychrometry/dewPoint.js';
import { vapourPressure } from '../../src/psychrometry/vapourPressure.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { hours, logOf, minutes, type Row, sampled } from '../period/logOf.js';
import { humidityFor } from './humidityFor.js';

const exact = { temperature: 0, humidity: 0 };
const air: ModelledSurface = { name: 'air', model: 'air' };
const measured = (accuracy: number): ModelledSurface => ({
  name: 'hull',
  model: 'measured',
  thermometer: { logger: 'hull' },
  accuracy,
  accuracySource: 'site',
});
const between = (temperatureFactor: number, outsideAccuracy = 0): ModelledSurface => ({
  name: 'pane',
  model: 'between',
  outside: 'north-wall',
  temperatureFactor,
  outsideAccuracy,
  accuracySource: 'site',
});

const steady = (t: number, u: number, until = HOUR) => sampled(0, until, minutes(10), () => [t, u]);

/** Condensation in the first hour, the companion's readings being joined over 20 min. */
function hourOf(
  log: Log,
  surface: ModelledSurface,
  companion: Log | null = null,
  accuracy = exact,
): CondensationSummary {
  return condensation(log, surface, [{ start: 0, end: HOUR }], {
    bridge: minutes(20),
    accuracy,
    ...(companion === null ? {} : { companion: { log: companion, bridge: minutes(20) } }),
  })[0]!;
}

interface Check {
  readonly check_id: string;
  readonly inputs: string;
  readonly expected: string;
  readonly tolerance: string;
}

const checks: Check[] = parse<Check>(
  readFileSync(new URL('../reference/surface_model_checks.csv', import.meta.url)),
  { columns: true, comment: '#' },
).filter(({ check_id }) => !check_id.startsWith('tau_'));

type Inputs = Readonly<Record<string, number>>;

/** By the first word of the check: what the program makes of the inputs. */
const worked: Readonly<Record<string, (inputs: Inputs) => number>> = {
  paint: ({ T, RH, Ts }) => hourOf(steady(T!, RH!), measured(0), steady(Ts!, 50)).marginMin,
  dT: ({ T, RH, sensor }) => (100 * vapourPressure(T!, RH!)) / vapourPressure(sensor!, 100),
  frsi: ({ Ti, Te, fRsi }) => {
    const companion = { log: steady(Te!, 80), bridge: HOUR };
    return surfaceTemperature(steady(Ti!, 50), between(fRsi!), HOUR, companion).values[3]!;
  },
  frsi_rh: ({ Ti, RHi, Te, fRsi }) =>
    (100 * vapourPressure(Ti!, RHi!)) / vapourPressure(Te! + fRsi! * (Ti! - Te!), 100),
  // The saturation formula is the program's, not that of the standard: 0.05 % and 0.05 °C cover both.
  frsi_min: ({ Ti, RHi }) => dewPoint(Ti!, RHi! / 0.8),
  frsi_min_f: ({ Ti, RHi, Te }) => (dewPoint(Ti!, RHi! / 0.8) - Te!) / (Ti! - Te!),
};

function kindOf({ check_id, inputs }: Check): string {
  const [family = ''] = check_id.split('_');
  if (family !== 'frsi') return family;
  if (check_id.startsWith('frsi_min')) return inputs.includes('Te=') ? 'frsi_min_f' : 'frsi_min';
  return check_id.endsWith('_rh') ? 'frsi_rh' : 'frsi';
}

describe('worked values', () => {
  it('are all looked at', () => {
    expect(checks).toHaveLength(18);
    expect([...new Set(checks.map(kindOf))].sort()).toEqual(Object.keys(worked).sort());
  });

  it.each(checks)('$check_id: $expected within $tolerance', (check) => {
    const given = Object.fromEntries(
      check.inputs.split(';').map((input) => {
        const [name, value] = input.split('=');
        return [name!, Number(value)] as const;
      }),
    );
    const got = worked[kindOf(check)]!(given);
    expect(Math.abs(got - Number.parseFloat(check.expected))).toBeLessThanOrEqual(Number(check.tolerance));
  });

  it.each(checks.filter(({ check_id }) => check_id.endsWith('_rh')))(
    'of the humidity at a wall say when it is wet: $check_id, $expected %',
    ({ inputs, expected }) => {
      const factor = Number(/fRsi=([\d.]+)/.exec(inputs)![1]);
      const { expected: wet } = hourOf(steady(20, 50), between(factor), steady(-5, 80));
      expect(wet).toBe(Number(expected) > 100 ? HOUR : 0);
    },
  );
});

describe('near misses', () => {
  it.each([
    { why: 'half a kelvin', margin: 0.5, near1: HOUR, near3: HOUR },
    { why: 'two kelvins', margin: 2, near1: 0, near3: HOUR },
    { why: 'more than three', margin: 3.1, near1: 0, near3: 0 },
    { why: 'wet is not near', margin: -0.1, near1: 0, near3: 0 },
  ])('$why: $near1 and $near3 ms', ({ margin, near1, near3 }) => {
    const summary = hourOf(steady(15, 60), measured(0), steady(dewPoint(15, 60) + margin, 50));
    expect(summary).toMatchObject({ near1, near3, expected: margin < 0 ? HOUR : 0 });
  });

  it('begin and end where the margin passes the limit', () => {
    const dew = dewPoint(15, 60);
    const falling = sampled(0, HOUR, minutes(10), (time) => [dew + 4 - (5 * time) / HOUR, 50]);
    const { near1, near3, expected, dry } = hourOf(steady(15, 60), measured(0), falling);
    expect([near1, near3, expected, dry].map((time) => time / HOUR)).toEqual([
      expect.closeTo(0.2, 6),
      expect.closeTo(0.6, 6),
      expect.closeTo(0.2, 6),
      expect.closeTo(0.8, 6),
    ]);
  });

  it('of a mass are on its curve', () => {
    // Steady air at 12 °C with its dew point at 9 °C, a mass that comes from 5 °C: margin 3 − 7 exp(−t/τ).
    const rows: Row[] = [];
    for (let time = 0; time <= DAY; time += HOUR) rows.push([time, 5, humidityFor(5, 2)]);
    for (let time = DAY + 1; time <= DAY + 12 * HOUR; time += HOUR) rows.push([time, 12, humidityFor(12, 9)]);
    const [summary] = condensation(
      logOf(rows),
      { name: 'winch', model: 'mass', timeConstant: hours(2) },
      [{ start: DAY + 1, end: DAY + hours(10) + 1 }],
      { bridge: HOUR, accuracy: exact },
    );
    const passes = (margin: number) => 2 * Math.log(7 / (3 - margin));
    expect(summary!.expected / HOUR).toBeCloseTo(passes(0), 3);
    expect(summary!.near1 / HOUR).toBeCloseTo(passes(1) - passes(0), 3);
    expect(summary!.near3 / HOUR).toBeCloseTo(10 - passes(0), 3);
  });
});

describe('a measured surface', () => {
  it('is wet by its own thermometer, whatever the air is', () => {
    const cold = dewPoint(15, 60) - 0.1;
    expect(hourOf(steady(15, 60), measured(0), steady(cold, NaN))).toMatchObject({
      expected: HOUR,
      marginMin: expect.closeTo(-0.1, 9),
    });
    expect(hourOf(steady(15, 60), air)).toMatchObject({ expected: 0 });
  });

  it('is unknown where the second thermometer is silent, and not unsettled', () => {
    const log = steady(15, 60);
    const silent = logOf([
      [0, 5, NaN],
      [minutes(10), 5, NaN],
      [minutes(40), 5, NaN],
      [minutes(60), 5, NaN],
    ]);
    expect(hourOf(log, measured(0), silent)).toMatchObject({
      expected: minutes(30),
      unknown: minutes(30),
      unsettled: 0,
      spells: 2,
    });
    expect(hourOf(log, measured(0))).toMatchObject({ unknown: HOUR, unsettled: 0, marginMin: NaN });
  });

  it('is unknown over a silence that lies between two readings of the air', () => {
    const log = sampled(0, HOUR, minutes(20), () => [15, 60]);
    const silent = sampled(0, HOUR, MINUTE, (time) => [
      time > minutes(22) && time < minutes(38) ? NaN : 5,
      50,
    ]);
    const [summary] = condensation(log, measured(0), [{ start: 0, end: HOUR }], {
      bridge: minutes(20),
      accuracy: exact,
      companion: { log: silent, bridge: minutes(2) },
    });
    expect(summary).toMatchObject({ expected: minutes(40), unknown: minutes(20), spells: 2 });
  });

  it.each([
    { why: 'its own error alone', off: 0.4, accuracy: 0.5, sensor: exact, is: [0, 0, HOUR] },
    { why: 'its own error, too small', off: 0.6, accuracy: 0.5, sensor: exact, is: [0, 0, 0] },
    { why: 'its own error, wet', off: -0.4, accuracy: 0.5, sensor: exact, is: [0, HOUR, HOUR] },
    { why: 'its own error, wet for all', off: -0.6, accuracy: 0.5, sensor: exact, is: [HOUR, HOUR, HOUR] },
    {
      // The dew point moves by about 0.95 K per kelvin of the air, and the surface does not follow.
      why: 'the air thermometer counts too',
      off: 1.4,
      accuracy: 0.5,
      sensor: { temperature: 1, humidity: 0 },
      is: [0, 0, HOUR],
    },
    {
      why: 'and no more than that',
      off: 1.5,
      accuracy: 0.5,
      sensor: { temperature: 1, humidity: 0 },
      is: [0, 0, 0],
    },
  ])('$why', ({ off, accuracy, sensor, is }) => {
    const summary = hourOf(steady(15, 60), measured(accuracy), steady(dewPoint(15, 60) + off, 50), sensor);
    expect([summary.certain, summary.expected, summary.possible]).toEqual(is);
  });

  it('is unknown from the last reading of its thermometer on', () => {
    const ended = logOf([
      [0, 20, 50],
      [minutes(20), 20, 50],
    ]);
    const summary = hourOf(steady(15, 60), measured(0.3), ended);
    expect(summary).toMatchObject({ dry: minutes(20), unknown: minutes(40) });
  });

  it('shares deposit points with surfaces that follow the air', () => {
    const log = steady(15, 60);
    const accuracy = { temperature: 0.5, humidity: 3 };
    const companion = { log: steady(7, 50), bridge: HOUR };
    const periods = [{ start: 0, end: HOUR }];
    const surface = { ...measured(0.3), board: null, mould: { class: 'sensitive', decline: 1 } as const };
    const exposure = exposureOf(exposingAir(log, accuracy, periods, [], HOUR), surface, companion);
    expect(exposure.condensation).toEqual(
      condensation(log, surface, periods, { bridge: HOUR, accuracy, companion }),
    );
  });
});

describe('a surface between inside and outside', () => {
  it('is the air inside with a factor of 1, and the air outside with 0', () => {
    const inside = sampled(0, HOUR, minutes(10), (time) => [18 + time / HOUR, 60]);
    const outside = sampled(0, HOUR, minutes(7), (time) => [2 - time / HOUR, 80]);
    const values = (factor: number) => [
      ...surfaceTemperature(inside, between(factor), HOUR, { log: outside, bridge: HOUR }).values,
    ];
    expect(values(1).slice(0, 6)).toEqual([...inside.temperature].slice(0, 6));
    values(0)
      .slice(0, 6)
      .forEach((value, i) => {
        expect(value).toBeCloseTo(2 - inside.time[i]! / HOUR, 9);
      });
    // Ten to the hour ends what was read outside before.
    expect(values(0.5)[6]).toBeNaN();
  });

  it.each([
    { why: 'half of an error outside reaches the middle', off: 0.4, outside: 1, sensor: 0, possible: HOUR },
    { why: 'and not more than half', off: 0.6, outside: 1, sensor: 0, possible: 0 },
    // The dew point of (20 °C, 50 %) moves by 0.91 K per kelvin, the surface by 0.5.
    { why: 'inside, what the dew point moves more', off: 0.4, outside: 0, sensor: 1, possible: HOUR },
    { why: 'and not what it moves', off: 0.45, outside: 0, sensor: 1, possible: 0 },
  ])('$why', ({ off, outside, sensor, possible }) => {
    const dew = dewPoint(20, 50);
    const te = 2 * (dew + off) - 20;
    const summary = hourOf(steady(20, 50), between(0.5, outside), steady(te, 80), {
      temperature: sensor,
      humidity: 0,
    });
    expect(summary).toMatchObject({ certain: 0, expected: 0, possible });
  });

  it('that follows nearly as far as the dew point moves is hardly in doubt', () => {
    // The dew point of (10 °C, 97 %) moves by 0.99 K per kelvin; the margin is 0.01 K.
    const summary = (factor: number) => {
      const dew = dewPoint(10, 97);
      const te = (dew + 0.01 - factor * 10) / (1 - factor);
      return hourOf(steady(10, 97), between(factor), steady(te, 80), { temperature: 1, humidity: 0 });
    };
    expect(summary(0.999)).toMatchObject({ expected: 0, possible: 0 });
    expect(summary(0.9)).toMatchObject({ expected: 0, possible: HOUR });
  });
});

describe('a surface under the night sky', () => {
  const position = { latitude: 54.4, longitude: -3 };
  const roof: ModelledSurface = { name: 'roof', model: 'night-sky', drop: 3, position };
  const start = Date.UTC(2025, 9, 10, 12);
  const [sunset, sunrise] = nights(position, start, start + DAY) as unknown as [number, number];
  const night = sunrise - sunset;
  const damp = (u: number) => sampled(start, start + DAY, minutes(30), () => [10, u]);
  const summaryOf = (u: number, accuracy = exact) =>
    condensation(damp(u), roof, [{ start, end: start + DAY }], { bridge: HOUR, accuracy })[0]!;

  it('is wet from sunset to sunrise, to the millisecond', () => {
    // Dew point 2 K below the air: dry by day, wet 3 K below.
    expect(summaryOf(87.5)).toMatchObject({
      expected: night,
      dry: DAY - night,
      unknown: 0,
      spells: 1,
      longestSpell: night,
      near3: DAY - night,
      marginMinTime: sunset,
    });
  });

  it('is as warm as the air by day', () => {
    const { values } = surfaceTemperature(damp(50), roof, HOUR);
    const row = (at: number) => Math.floor((at - start) / minutes(30));
    expect([values[row(sunset)], values[row(sunset) + 1]]).toEqual([10, 7]);
    expect([values[row(sunrise)], values[row(sunrise) + 1]]).toEqual([7, 10]);
  });

  it('has a drop that is assumed, not in error: the thermometer moves air and roof alike', () => {
    expect(summaryOf(87.5, { temperature: 3, humidity: 0 })).toMatchObject({
      certain: night,
      possible: night,
    });
  });

  it('is dry where the drop is nothing', () => {
    const flat = { ...roof, drop: 0 };
    const options = { bridge: HOUR, accuracy: exact };
    const periods = [{ start, end: start + DAY }];
    expect(condensation(damp(87.5), flat, periods, options)).toEqual(
      condensation(damp(87.5), air, periods, options),
    );
  });

  it('never drops where the sun does not set', () => {
    const june = sampled(Date.UTC(2025, 5, 10), Date.UTC(2025, 5, 11), HOUR, () => [10, 87.5]);
    const north = { ...roof, position: { latitude: 69.65, longitude: 18.96 } };
    expect([...surfaceTemperature(june, north, HOUR).values]).toEqual(Array(25).fill(10));
  });

  it('of an empty log is nothing', () => {
    expect(surfaceTemperature(logOf([]), roof, HOUR).values).toHaveLength(0);
  });
});

it('only a mass needs time to settle', () => {
  const position = { latitude: 54.4, longitude: -3 };
  const roof: ModelledSurface = { name: 'roof', model: 'night-sky', drop: 3, position };
  const winch: ModelledSurface = { name: 'winch', model: 'mass', timeConstant: hours(2) };
  const companion = { log: steady(7, 50), bridge: HOUR };
  const settled = [air, measured(0), between(0.7), roof, winch].map(
    (surface) => surfaceTemperature(steady(15, 60), surface, HOUR, companion).settledFrom,
  );
  expect(settled).toEqual([[], [], [], [], [hours(6)]]);
});

describe('a warm damp front in a spring week', () => {
  // Cool dry days between 3 and 9 °C; in the fifth night the air warms by 7 K within 3 h and brings a dew
  // point of 9.5 °C, a kelvin and more below the air at all times.
  const front = (h: number) => Math.min(Math.max((h - 4 * 24 - 4) / 3, 0), 1);
  const week = sampled(0, 7 * DAY, minutes(15), (time) => {
    const h = time / HOUR;
    const t = 6 - 3 * Math.cos((2 * Math.PI * (h - 3)) / 24) * (1 - 0.5 * front(h)) + 7 * front(h);
    return [t, humidityFor(t, 1 + 8.5 * front(h))];
  });
  const block = lagOf({ material: 'steel', thickness: 40, faces: 1, exposure: 'indoors' });
  const days = Array.from({ length: 7 }, (_, day) => ({ start: day * DAY, end: (day + 1) * DAY }));
  const wet = (surface: ModelledSurface) =>
    condensation(week, surface, days, { bridge: HOUR, accuracy: exact });

  it('wets a heavy steel body in the morning, and not what is as warm as the air', () => {
    const steel: ModelledSurface = { name: 'winch', model: 'mass', timeConstant: block.timeConstant };
    const morning = wet(steel)[4]!;
    expect(morning.expected).toBeGreaterThan(2 * HOUR);
    expect(morning.spells).toBe(1);
    // Coldest against the dew point while the front comes in, between 4 and 10 in the morning.
    const at = (morning.marginMinTime! - 4 * DAY) / HOUR;
    expect(at).toBeGreaterThan(4);
    expect(at).toBeLessThan(10);
    expect(wet(air).map(({ expected }) => expected)).toEqual(Array(7).fill(0));
    expect(wet(steel).map(({ expected }) => expected > 0)).toEqual([
      false,
      false,
      false,
      false,
      true,
      false,
      false,
    ]);
  });

  it('wets a thin sheet of it hardly at all', () => {
    const { timeConstant } = lagOf({ material: 'steel', thickness: 1, faces: 2, exposure: 'outdoors' });
    expect(wet({ name: 'sheet', model: 'mass', timeConstant })[4]!.expected).toBe(0);
  });
});
