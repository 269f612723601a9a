import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wallTime } from '../../src/calendar/civil.js';
import {
  formatDate,
  formatDuration,
  formatInstant,
  formatWall,
  formatWallMinute,
} from '../../src/calendar/print.js';
import { UTC, zoneNamed } from '../../src/calendar/zone.js';
import { DAY, HOUR, MINUTE, SECOND } from '../../src/units.js';
import { utc, ZONES } from './zones.js';

const london = zoneNamed('Europe/London');
const instants = fc.integer({ min: 0, max: Date.UTC(2201, 0, 1) - 1 });

describe('formatInstant', () => {
  it.each([
    ['2025-09-30T23:00:00Z', 'Europe/London', '2025-10-01T00:00:00+01:00'],
    ['2025-10-26T00:59:59Z', 'Europe/London', '2025-10-26T01:59:59+01:00'],
    ['2025-10-26T01:00:00Z', 'Europe/London', '2025-10-26T01:00:00+00:00'],
    ['2025-10-01T00:00:00Z', 'UTC', '2025-10-01T00:00:00Z'],
    ['2025-10-01T00:00:00Z', 'Asia/Kathmandu', '2025-10-01T05:45:00+05:45'],
    ['2025-10-01T00:00:00Z', '-03:30', '2025-09-30T20:30:00-03:30'],
    ['2025-01-01T05:00:00Z', 'America/New_York', '2025-01-01T00:00:00-05:00'],
  ])('%s in %s is %s', (instant, zone, text) => {
    expect(formatInstant(utc(instant), zoneNamed(zone))).toBe(text);
  });

  it('gives milliseconds where there are any, three of them', () => {
    expect(formatInstant(1, UTC)).toBe('1970-01-01T00:00:00.001Z');
    expect(formatInstant(120, UTC)).toBe('1970-01-01T00:00:00.120Z');
    expect(formatInstant(-1, UTC)).toBe('1969-12-31T23:59:59.999Z');
  });

  it('is read back as the same instant in every zone', () => {
    fc.assert(
      fc.property(fc.constantFrom(...ZONES, 'Africa/Monrovia'), instants, (zone, instant) => {
        expect(new Date(formatInstant(instant, zoneNamed(zone))).getTime()).toBe(instant);
      }),
      { numRuns: 500 },
    );
  });

  it('is right where the offset has seconds, which it cannot write', () => {
    const text = formatInstant(0, zoneNamed('Africa/Monrovia'));
    expect(new Date(text).getTime()).toBe(0);
  });

  it('is empty for NaN and for a year of five digits', () => {
    for (const zone of [UTC, london]) {
      expect(formatInstant(NaN, zone)).toBe('');
      expect(formatInstant(Date.UTC(12025, 0, 1), zone)).toBe('');
    }
  });
});

describe('formatDate, formatWallMinute and formatWall', () => {
  it('give what the clocks show', () => {
    const instant = utc('2025-09-30T23:30:59Z');
    expect(formatDate(instant, london)).toBe('2025-10-01');
    expect(formatDate(instant, UTC)).toBe('2025-09-30');
    expect(formatWallMinute(instant, london)).toBe('2025-10-01 00:30');
    expect(formatWall(wallTime(2025, 3, 30, 1, 5))).toBe('2025-03-30 01:05');
  });

  it('agree with formatInstant', () => {
    fc.assert(
      fc.property(fc.constantFrom(...ZONES), instants, (name, instant) => {
        const zone = zoneNamed(name);
        const full = formatInstant(instant, zone);
        fc.pre(zone.offsetAt(instant) % MINUTE === 0);
        expect(formatDate(instant, zone)).toBe(full.slice(0, 10));
        expect(formatWallMinute(instant, zone)).toBe(full.slice(0, 16).replace('T', ' '));
      }),
    );
  });

  it('are empty for NaN', () => {
    expect(formatDate(NaN, london)).toBe('');
    expect(formatWallMinute(NaN, london)).toBe('');
  });
});

describe('formatDuration', () => {
  it.each([
    [0, '0 s'],
    [0.4, '0 s'],
    [250, '250 ms'],
    [45 * SECOND, '45 s'],
    [1500, '1.5 s'],
    [59_999.6, '1 min'],
    [90 * SECOND, '1 min 30 s'],
    [10 * MINUTE, '10 min'],
    [HOUR - 400, '1 h'],
    [HOUR + 10 * MINUTE, '1 h 10 min'],
    [HOUR + 10 * MINUTE + 31 * SECOND, '1 h 11 min'],
    [DAY - 20 * SECOND, '1 d'],
    [3 * DAY + 4 * HOUR, '3 d 4 h'],
    [3 * DAY + 4 * HOUR + 29 * MINUTE, '3 d 4 h'],
    [400 * DAY, '400 d'],
    [-90 * MINUTE, '-1 h 30 min'],
    [NaN, ''],
    [Infinity, ''],
  ])('%d ms is "%s"', (duration, text) => {
    expect(formatDuration(duration)).toBe(text);
  });

  it('has at most two units and is never off by more than half of the smaller', () => {
    const size: Record<string, number> = { ms: 1, s: SECOND, min: MINUTE, h: HOUR, d: DAY };
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 * DAY }), (duration) => {
        const words = formatDuration(duration).split(' ');
        expect(words.length).toBeLessThanOrEqual(4);
        let read = 0;
        for (let i = 0; i < words.length; i += 2) read += Number(words[i]) * size[words[i + 1]!]!;
        const step = duration < MINUTE ? 1 : duration < HOUR ? SECOND : duration < DAY ? MINUTE : HOUR;
        expect(Math.abs(read - duration)).toBeLessThanOrEqual(step / 2);
      }),
    );
  });
});
