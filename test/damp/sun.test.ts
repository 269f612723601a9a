import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nights, type Position, sunAltitude } from '../../src/damp/sun.js';
import { DAY, HOUR, MINUTE, SECOND } from '../../src/units.js';

interface Row {
  readonly place: string;
  readonly latitude: string;
  readonly longitude: string;
  readonly event: 'sunrise' | 'sunset';
  readonly time: string;
  readonly within_s: string;
}

const rows: Row[] = parse(readFileSync(new URL('../reference/sun_times.csv', import.meta.url)), {
  columns: true,
  comment: '#',
});

/** Night time within a stretch [ms]. */
function dark(position: Position, from: number, until: number): number {
  const bounds = nights(position, from, until);
  let time = 0;
  for (let b = 0; b < bounds.length; b += 2) time += bounds[b + 1]! - bounds[b]!;
  return time;
}

/** Length of the day whose local noon falls on a date [h]. */
function dayLength(position: Position, date: string): number {
  const noon = Date.parse(`${date}T12:00Z`) - (position.longitude / 360) * DAY;
  return 24 - dark(position, noon - DAY / 2, noon + DAY / 2) / HOUR;
}

describe('published times', () => {
  it('are all looked at', () => {
    expect(rows).toHaveLength(22);
  });

  it.each(rows)('$event at $place, $time', ({ latitude, longitude, event, time, within_s }) => {
    const position = { latitude: Number(latitude), longitude: Number(longitude) };
    const published = Date.parse(time);
    // Within an hour either way there is this one change and no other.
    const night = [...nights(position, published - HOUR, published + HOUR)];
    const [changed, cut] = event === 'sunset' ? night : night.toReversed();
    expect(night).toHaveLength(2);
    expect(cut).toBe(event === 'sunset' ? published + HOUR : published - HOUR);
    expect(Math.abs(changed! - published)).toBeLessThanOrEqual(Number(within_s) * SECOND);
  });

  it('of the altitude: 39.872° (solar position algorithm, its printed example)', () => {
    const position = { latitude: 39.742476, longitude: -105.1786 };
    // 0.02°: one arc minute.
    expect(Math.abs(sunAltitude(position, Date.parse('2003-10-17T19:30:30Z')) - 39.872046)).toBeLessThan(
      0.02,
    );
  });
});

describe('the seasons', () => {
  it.each([-50, -20, 0, 20, 50])('at %d° an equinox day lasts 12 h and a little', (latitude) => {
    for (const date of ['2025-03-20', '2025-09-22']) {
      const hours = dayLength({ latitude, longitude: 10 }, date);
      // The upper edge and refraction add 7 min at the equator, more where the sun rises at a slant.
      expect(hours).toBeGreaterThan(12.08);
      expect(hours).toBeLessThan(12.25);
    }
  });

  it('turn at the solstices', () => {
    const north = { latitude: 54.4, longitude: -3 };
    const june = dayLength(north, '2025-06-21');
    for (const date of ['2025-06-01', '2025-07-12', '2025-03-20']) {
      expect(dayLength(north, date)).toBeLessThan(june);
    }
    const december = dayLength(north, '2025-12-21');
    for (const date of ['2025-12-01', '2026-01-12', '2025-09-22']) {
      expect(dayLength(north, date)).toBeGreaterThan(december);
    }
  });

  it('are half a year apart on the other half of the globe', () => {
    // The sun's path is not quite round: minutes remain.
    expect(
      Math.abs(
        dayLength({ latitude: -50, longitude: 0 }, '2025-12-21') -
          dayLength({ latitude: 50, longitude: 0 }, '2025-06-21'),
      ),
    ).toBeLessThan(2 / 60);
  });
});

describe('near the poles', () => {
  const place = { latitude: 69.65, longitude: 18.96 };
  const at = (date: string) => Date.parse(`${date}T00:00Z`);

  it('the sun does not set in June', () => {
    expect([...nights(place, at('2025-06-01'), at('2025-07-01'))]).toEqual([]);
  });

  it('nor rise in December', () => {
    const [from, until] = [at('2025-12-01'), at('2026-01-01')];
    expect([...nights(place, from, until)]).toEqual([from, until]);
  });

  it('the year has one night at the pole', () => {
    const bounds = nights({ latitude: 90, longitude: 0 }, at('2025-06-01'), at('2026-06-01'));
    expect(bounds).toHaveLength(2);
    // From about 25 September to 18 March (from memory), as the sun's upper edge and refraction have it.
    expect(Math.abs(bounds[0]! - at('2025-09-25'))).toBeLessThan(2 * DAY);
    expect(Math.abs(bounds[1]! - at('2026-03-18'))).toBeLessThan(2 * DAY);
  });
});

describe('nights', () => {
  const positions = fc.record({
    latitude: fc.double({ min: -90, max: 90, noNaN: true }),
    longitude: fc.double({ min: -180, max: 180, noNaN: true }),
  });
  const starts = fc.integer({ min: Date.UTC(1990, 0), max: Date.UTC(2060, 0) });

  it('are where the sun is below the horizon, ascending, within the stretch', () => {
    fc.assert(
      fc.property(positions, starts, fc.integer({ min: 1, max: 60 * 24 * 10 }), (position, from, minutes) => {
        const until = from + minutes * MINUTE;
        const bounds = [...nights(position, from, until)];
        expect(bounds.length % 2).toBe(0);
        for (const [b, bound] of bounds.entries()) {
          expect(bound).toBeGreaterThanOrEqual(b === 0 ? from : bounds[b - 1]! + 1);
          expect(bound).toBeLessThanOrEqual(until);
          if (bound === from || bound === until) continue;
          const turn = b % 2 === 0 ? 1 : -1;
          expect(turn * (sunAltitude(position, bound - 1) - sunAltitude(position, bound))).toBeGreaterThan(
            -1e-9,
          );
          expect(Math.abs(sunAltitude(position, bound) + 50 / 60)).toBeLessThan(1e-4);
        }
        for (let part = 0.05; part < 1; part += 0.1) {
          const at = Math.floor(from + part * (until - from));
          const altitude = sunAltitude(position, at) + 50 / 60;
          // A day or a night shorter than what half a degree of slope leaves is not told (near the poles).
          if (Math.abs(altitude) < 0.01) continue;
          expect(bounds.filter((bound) => bound <= at).length % 2 === 1).toBe(altitude < 0);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('do not depend on where the stretch is cut', () => {
    fc.assert(
      fc.property(positions, starts, fc.integer({ min: 1, max: 5000 }), (position, from, minutes) => {
        const [cut, until] = [from + minutes * MINUTE, from + 5001 * MINUTE];
        const whole = dark(position, from, until);
        const parts = dark(position, from, cut) + dark(position, cut, until);
        // Where the sun grazes the horizon, a cut shows what lay hidden between two of its stands.
        if (Math.abs(position.latitude) < 65) expect(parts).toBe(whole);
        else expect(Math.abs(parts - whole)).toBeLessThan(HOUR);
      }),
      { numRuns: 200 },
    );
  });
});
