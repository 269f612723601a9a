import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { periodsCovering } from '../../src/calendar/period.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { parseCondition } from '../../src/damp/condition.js';
import { type Held, heldTimes, heldTogether } from '../../src/damp/conditionHeld.js';
import { spellsOf } from '../../src/damp/spells.js';
import type { Log } from '../../src/log/log.js';
import { defaultAir } from '../../src/psychrometry/airModel.js';
import { HOUR } from '../../src/units.js';
import { hours, logOf, minutes, sampled, tiles } from '../period/logOf.js';
import { randomLog, randomPeriods } from '../period/randomLog.js';

const AIR = { pressure: 1013.25, model: defaultAir };

function heldIn(log: Log, accuracy: { temperature: number; humidity: number }, ...texts: string[]): Held {
  const loft = {
    log,
    bridge: HOUR,
    accuracy,
    surfaces: [{ surface: { name: 'hull', model: 'mass', timeConstant: HOUR } as const, companion: null }],
  };
  return texts
    .map((text) => parseCondition(text, [{ id: 'loft', surfaces: ['hull'] }]))
    .map((condition) => heldTimes(condition, 'loft', () => loft, AIR))
    .reduce(heldTogether);
}

/** The same in all three readings, known for ten hours. */
const sure = (...bounds: number[]): Held => {
  const times = bounds.map(hours);
  return { known: [0, hours(10)], certain: times, expected: times, possible: times };
};
const window = { start: 0, end: hours(10) };
const spells = (held: Held, least = 0, from = window) =>
  spellsOf(held, from, [from], least).spells.map(({ start, end, certain, possible, boundedByUnknown }) => [
    ...[start, end, certain, possible].map((time) => time / HOUR),
    boundedByUnknown,
  ]);

describe('spells', () => {
  it('shorter than asked for are left out, those just as long are not', () => {
    expect(spells(sure(1, 2, 3, 6, 7, 9.999), 3 * HOUR)).toEqual([[3, 6, 3, 3, false]]);
  });

  it('are cut at the ends of the window, and then measured', () => {
    const cut = { start: hours(2), end: hours(5) };
    expect(spells(sure(1, 3, 4, 6), 0, cut)).toEqual([
      [2, 3, 1, 1, false],
      [4, 5, 1, 1, false],
    ]);
    expect(spells(sure(1, 3, 4, 6), 2 * HOUR, cut)).toEqual([]);
  });

  it('lasted at least so long where nothing is known before or behind', () => {
    expect(spells(sure(0, 2, 4, 5, 8, 10))).toEqual([
      [0, 2, 2, 2, true],
      [4, 5, 1, 1, false],
      [8, 10, 2, 2, true],
    ]);
    // the log goes on behind the window
    expect(spells(sure(4, 10), 0, { start: hours(5), end: hours(9) })).toEqual([[5, 9, 4, 4, false]]);
  });

  it('are broken by a gap', () => {
    const dry = (time: number) => [5, time < hours(7) ? 60 : 90] as const;
    const rows = sampled(0, hours(10), minutes(30), dry);
    const gapped = logOf(
      [...rows.time]
        .filter((time) => time <= hours(3) || time >= hours(5))
        .map((time) => [time, ...dry(time)] as const),
    );
    const held = heldIn(gapped, { temperature: 0, humidity: 0 }, 'relative_humidity<75');
    const { spells: found, all } = spellsOf(held, window, [window], 0);
    expect(found).toMatchObject([
      { start: 0, end: hours(3), boundedByUnknown: true },
      { start: hours(5), end: hours(6.75), boundedByUnknown: true },
    ]);
    expect(all).toMatchObject({ expected: hours(4.75), without: hours(3.25), unknown: hours(2) });
    expect(spellsOf(held, window, [window], hours(4)).all.expected).toBe(0);
    const whole = heldIn(rows, { temperature: 0, humidity: 0 }, 'relative_humidity<75');
    expect(spellsOf(whole, window, [window], hours(4)).all.expected).toBe(hours(6.75));
  });

  it('are certain and possible where they last long enough then', () => {
    const held: Held = {
      known: [-1, hours(11)],
      certain: [1, 3, 5, 6, 8.2, 8.4].map(hours),
      expected: [1, 6.5, 8, 9].map(hours),
      possible: [0, 7, 7.5, 10].map(hours),
    };
    expect(spells(held)).toEqual([
      [1, 6.5, 3, 7, false],
      [8, 9, expect.closeTo(0.2, 9), 2.5, false],
    ]);
    expect(spells(held, 2 * HOUR)).toEqual([[1, 6.5, 2, 7, false]]);
    expect(spellsOf(held, window, [window], 2 * HOUR).all).toEqual({
      period: window,
      certain: hours(2),
      expected: hours(5.5),
      possible: hours(9.5),
      without: hours(4.5),
      unknown: 0,
    });
  });

  it('count in each day for what lies in it, on the day of 25 hours too', () => {
    const zone = zoneNamed('Europe/London');
    const [first, last] = [Date.UTC(2025, 9, 25, 12), Date.UTC(2025, 9, 27, 12)];
    const log = sampled(first, last, minutes(30), () => [5, 60]);
    const held = heldIn(log, { temperature: 0, humidity: 0 }, 'relative_humidity<75');
    const days = periodsCovering('day', first, last, zone);
    const { spells: found, all, days: daily } = spellsOf(held, { start: first, end: last }, days, hours(4));
    expect(found).toMatchObject([{ start: first, end: last }]);
    expect(daily.map(({ expected }) => expected / HOUR)).toEqual([11, 25, 12]);
    expect(all.expected).toBe(hours(48));
  });

  it('account for every millisecond, certain within expected within possible', () => {
    fc.assert(
      fc.property(
        randomLog,
        randomPeriods,
        fc.nat(20),
        fc.nat(60),
        fc.nat(5),
        (log, days, kelvin, percent, least) => {
          const accuracy = { temperature: kelvin / 10, humidity: percent / 10 };
          const held = heldIn(
            log,
            accuracy,
            'relative_humidity<=95',
            'hull.margin>=0.5',
            'air_temperature>2',
          );
          const span = { start: days[0]!.start, end: days.at(-1)!.end };
          const { spells: found, all, days: daily } = spellsOf(held, span, days, hours(least));
          for (const { period, certain, expected, possible, without, unknown } of [all, ...daily]) {
            expect(expected + without + unknown).toBe(period.end - period.start);
            expect(certain).toBeGreaterThanOrEqual(0);
            expect(certain).toBeLessThanOrEqual(expected);
            expect(expected).toBeLessThanOrEqual(possible);
            expect(possible).toBeLessThanOrEqual(expected + without);
          }
          for (const part of ['certain', 'expected', 'possible', 'without', 'unknown'] as const) {
            expect(daily.reduce((sum, day) => sum + day[part], 0)).toBe(all[part]);
          }
          expect(found.reduce((sum, { start, end }) => sum + end - start, 0)).toBe(all.expected);
          expect(found.reduce((sum, { certain }) => sum + certain, 0)).toBe(all.certain);
          for (const { start, end, certain, possible } of found) {
            expect(end - start).toBeGreaterThanOrEqual(hours(least));
            expect(certain).toBeLessThanOrEqual(end - start);
            expect(possible).toBeGreaterThanOrEqual(end - start);
          }
        },
      ),
    );
  });

  it('of a window without readings are none, and all is unknown', () => {
    const held = heldIn(logOf([]), { temperature: 0, humidity: 0 }, 'air_temperature>0');
    const { spells: found, days } = spellsOf(held, window, tiles(0, hours(4), hours(10)), 0);
    expect(found).toEqual([]);
    expect(days.map(({ unknown }) => unknown)).toEqual([hours(4), hours(6)]);
  });
});
