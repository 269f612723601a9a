import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { condensation } from '../../src/damp/condensation.js';
import type { ModelledSurface } from '../../src/damp/surface.js';
import { stretchOf, surfaceTemperature } from '../../src/damp/surfaceTemperature.js';
import { InputError } from '../../src/errors.js';
import type { Log } from '../../src/log/log.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { hours, logOf, minutes, sampled } from '../period/logOf.js';
import { humidityFor } from './humidityFor.js';

const mass = (timeConstant: number): ModelledSurface => ({
  name: 'slipway winch',
  model: 'mass',
  timeConstant,
});
const values = (log: Log, tau: number, bridge = HOUR) => [
  ...surfaceTemperature(log, mass(tau), bridge).values,
];

interface Check {
  readonly check_id: string;
  readonly inputs: string;
  readonly expected: string;
  readonly tolerance: string;
}

const checks: Check[] = parse(readFileSync(new URL('../reference/surface_lag_checks.csv', import.meta.url)), {
  columns: true,
  comment: '#',
});

/** Steady air at `before` up to `at`, at `after` a millisecond later and from then on. */
function step(before: number, after: number, at: number, until: number): Log {
  const steady = sampled(0, at, HOUR, () => [before, 50]);
  const rows = [...steady.time].map((time) => [time, before, humidityFor(before, before)] as const);
  for (let time = at + 1; time <= until; time += HOUR) rows.push([time, after, humidityFor(after, 9)]);
  return logOf(rows);
}

type Inputs = Readonly<Record<string, number>>;

const measured: Readonly<Record<string, (inputs: Inputs) => number[]>> = {
  lag_step: ({ Ts0, Tair, tau, t }) => {
    const log = step(Ts0!, Tair!, hours(24), hours(30));
    const row = log.time.indexOf(hours(24) + 1 + t! * HOUR);
    return [values(log, tau! * HOUR)[row]!];
  },
  lag_wet_time: ({ Ts0, Tair, tau, Tdew }) => {
    expect(Tdew).toBe(9);
    const log = step(Ts0!, Tair!, hours(24), hours(30));
    const [after] = condensation(log, mass(tau! * HOUR), [{ start: hours(24) + 1, end: hours(29) }], {
      bridge: HOUR,
      accuracy: { temperature: 0, humidity: 0 },
    });
    expect(after).toMatchObject({ unknown: 0, spells: 1, ice: 0 });
    return [after!.expected / HOUR];
  },
  lag_ramp: ({ Ta0, Ta1, dt, tau }) => [
    values(
      logOf([
        [0, Ta0!, 50],
        [dt! * HOUR, Ta1!, 50],
      ]),
      tau! * HOUR,
    )[1]!,
  ],
  lag_sine: ({ tau, period }) => {
    const angle = (time: number) => (2 * Math.PI * time) / (period! * HOUR);
    const log = sampled(0, hours(5 * period!), MINUTE, (time) => [Math.sin(angle(time)), 50]);
    // Sine and cosine part over the last whole period, when the start is forgotten.
    let [sine, cosine] = [0, 0];
    const first = 4 * period! * 60;
    values(log, tau! * HOUR).forEach((value, i) => {
      if (i < first || i >= first + period! * 60) return;
      sine += (value * Math.sin(angle(log.time[i]!))) / (period! * 30);
      cosine += (value * Math.cos(angle(log.time[i]!))) / (period! * 30);
    });
    return [Math.hypot(sine, cosine), (Math.atan2(-cosine, sine) / (2 * Math.PI)) * period!];
  },
};

describe('worked values of the lag', () => {
  it('are all looked at', () => {
    expect(checks.map(({ check_id }) => check_id)).toEqual(Object.keys(measured));
  });

  it.each(checks)('$check_id: $expected within $tolerance', ({ check_id, inputs, expected, tolerance }) => {
    const given = Object.fromEntries(
      inputs.split(';').map((input) => {
        const [name, value] = input.split('=');
        return [name!, Number.parseFloat(value!)] as const;
      }),
    );
    const wanted = expected.split(';').map(Number);
    const got = measured[check_id]!(given);
    expect(got).toHaveLength(wanted.length);
    for (const [i, value] of wanted.entries()) {
      expect(Math.abs(got[i]! - value)).toBeLessThanOrEqual(Number(tolerance));
    }
  });
});

describe('a mass', () => {
  it('does not depend on how finely a straight line is sampled', () => {
    const air = (time: number) => [2 + time / HOUR, 50] as const;
    const coarse = values(sampled(0, hours(12), hours(2), air), hours(3), hours(2));
    const fine = values(sampled(0, hours(12), MINUTE, air), hours(3));
    expect(coarse.at(-1)).toBeCloseTo(fine.at(-1)!, 9);
  });

  it('is as warm as the air in steady air, and where it starts', () => {
    expect(
      values(
        sampled(0, hours(3), HOUR, () => [7.3, 50]),
        hours(5),
      ),
    ).toEqual([7.3, 7.3, 7.3, 7.3]);
    expect(values(logOf([[0, 4, 50]]), HOUR)).toEqual([4]);
  });

  it.each([
    { why: 'carried over 2 h', tau: HOUR, hole: hours(2), restarts: false },
    { why: 'anew after more', tau: HOUR, hole: hours(2) + 1, restarts: true },
    { why: 'carried over half a long time constant', tau: hours(10), hole: hours(5), restarts: false },
    { why: 'anew after more', tau: hours(10), hole: hours(5) + 1, restarts: true },
  ])('$why (τ $tau ms, hole $hole ms)', ({ tau, hole, restarts }) => {
    const log = logOf([
      [0, 5, 50],
      [hole, 15, 50],
    ]);
    const { values: surface, starts, settledFrom } = surfaceTemperature(log, mass(tau), minutes(20));
    if (restarts) expect(surface[1]).toBe(15);
    else expect(surface[1]).toBeCloseTo(15 - (10 / hole) * tau * (1 - Math.exp(-hole / tau)), 9);
    expect([0, 1].map((row) => settledFrom[stretchOf(starts, row)])).toEqual([
      3 * tau,
      (restarts ? hole : 0) + 3 * tau,
    ]);
  });

  it('is carried over every hole that the bridging limit joins', () => {
    const log = logOf([
      [0, 5, 50],
      [hours(3), 15, 50],
    ]);
    expect(values(log, HOUR, hours(3))[1]).toBeLessThan(15);
  });

  it('passes over missing air temperatures', () => {
    const log = logOf([
      [0, 5, 50],
      [minutes(30), NaN, 50],
      [minutes(60), 15, 50],
    ]);
    expect(values(log, HOUR)).toEqual([5, NaN, expect.closeTo(15 - 10 * (1 - Math.exp(-1)), 9)]);
  });

  it.each([0, -HOUR, NaN, Number.POSITIVE_INFINITY])('is refused with a time constant of %d', (tau) => {
    expect(() => values(logOf([[0, 5, 50]]), tau)).toThrow(InputError);
  });
});

it('a surface at air temperature is at air temperature', () => {
  const log = logOf([
    [0, 5, 50],
    [HOUR, 15, 50],
  ]);
  const { values: surface, settledFrom } = surfaceTemperature(log, { name: 'air', model: 'air' }, HOUR);
  expect([...surface]).toEqual([5, 15]);
  expect(settledFrom).toEqual([]);
});
