import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exactDuration, minusDuration, parseDuration } from '../../src/calendar/duration.js';
import { formatInstant } from '../../src/calendar/print.js';
import { UTC, zoneNamed } from '../../src/calendar/zone.js';
import { InputError } from '../../src/errors.js';
import { DAY, HOUR, MINUTE, SECOND } from '../../src/units.js';
import { utc, ZONES } from './zones.js';

describe('parseDuration', () => {
  it.each([
    ['P7D', { months: 0, days: 7, milliseconds: 0 }],
    ['PT30M', { months: 0, days: 0, milliseconds: 30 * MINUTE }],
    ['P1M', { months: 1, days: 0, milliseconds: 0 }],
    ['P2W', { months: 0, days: 14, milliseconds: 0 }],
    ['PT1H30M', { months: 0, days: 0, milliseconds: 90 * MINUTE }],
    ['P1Y6M', { months: 18, days: 0, milliseconds: 0 }],
    ['P1M2DT3H4M5S', { months: 1, days: 2, milliseconds: 3 * HOUR + 4 * MINUTE + 5 * SECOND }],
    ['PT1.5H', { months: 0, days: 0, milliseconds: 90 * MINUTE }],
    ['PT1,5H', { months: 0, days: 0, milliseconds: 90 * MINUTE }],
    ['P1.5D', { months: 0, days: 1, milliseconds: 12 * HOUR }],
    ['P0.5W', { months: 0, days: 3, milliseconds: 12 * HOUR }],
    ['PT0.25S', { months: 0, days: 0, milliseconds: 250 }],
    ['PT90M', { months: 0, days: 0, milliseconds: 90 * MINUTE }],
    ['P0D', { months: 0, days: 0, milliseconds: 0 }],
  ])('%s', (text, duration) => {
    expect(parseDuration(text)).toEqual(duration);
  });

  it.each([
    ...['', 'P', 'PT', 'P1DT', '7D', 'p7d', 'P7', 'P-7D', '-P7D', 'P1H', 'PT1D', 'P1D1M', 'PT1M1H'],
    ...['P1.D', 'P.5D', 'PT1.5H30M', 'P0.5M', 'P1.5Y', 'P1e3D', ' P1D', 'P1D ', 'P1D\n', '7 days', '30min'],
  ])('"%s" is refused with an example', (text) => {
    expect(() => parseDuration(text)).toThrow(InputError);
    try {
      parseDuration(text);
    } catch (error) {
      expect((error as InputError).place.text).toBe(text);
      expect((error as InputError).advice).toMatch(/P\d+D/);
    }
  });
});

describe('exactDuration', () => {
  it.each([
    ['PT30M', 30 * MINUTE],
    ['PT1H30M', 90 * MINUTE],
    ['P1DT1H', 25 * HOUR],
    ['P1W', 7 * DAY],
    ['P1.5D', 36 * HOUR],
  ])('%s is %i ms', (text, milliseconds) => {
    expect(exactDuration(text)).toBe(milliseconds);
  });

  it.each(['P1M', 'P1Y', 'P1MT1H'])('%s has no fixed length', (text) => {
    expect(() => exactDuration(text)).toThrow(/no fixed length/);
  });
});

describe('minusDuration', () => {
  const zone = 'Europe/London';
  it.each([
    { from: '2025-10-27T12:00:00Z', less: 'P1D', zone, gives: '2025-10-26T12:00:00+00:00' },
    { from: '2025-10-26T12:00:00Z', less: 'P1D', zone, gives: '2025-10-25T12:00:00+01:00' },
    { from: '2025-10-26T12:00:00Z', less: 'PT24H', zone, gives: '2025-10-25T13:00:00+01:00' },
    { from: '2025-03-31T00:30:00Z', less: 'P1D', zone, gives: '2025-03-30T02:00:00+01:00' },
    { from: '2025-10-27T01:30:00Z', less: 'P1D', zone, gives: '2025-10-26T01:30:00+01:00' },
    { from: '2025-10-26T01:30:00Z', less: 'PT10M', zone, gives: '2025-10-26T01:20:00+00:00' },
    { from: '2025-03-31T12:00:00Z', less: 'P1M', zone: 'UTC', gives: '2025-02-28T12:00:00Z' },
    { from: '2024-03-31T12:00:00Z', less: 'P1M', zone: 'UTC', gives: '2024-02-29T12:00:00Z' },
    { from: '2024-02-29T12:00:00Z', less: 'P1Y', zone: 'UTC', gives: '2023-02-28T12:00:00Z' },
    { from: '2025-01-15T12:00:00Z', less: 'P1M', zone: 'UTC', gives: '2024-12-15T12:00:00Z' },
    { from: '2025-03-31T12:00:00Z', less: 'P1M1DT1H', zone: 'UTC', gives: '2025-02-27T11:00:00Z' },
    { from: '2012-01-01T00:00:00Z', less: 'P2D', zone: 'Pacific/Apia', gives: '2011-12-31T00:00:00+14:00' },
  ])('$less before $from is $gives', ({ from, less, zone: name, gives }) => {
    const place = zoneNamed(name);
    expect(formatInstant(minusDuration(utc(from), parseDuration(less), place), place)).toBe(gives);
  });

  it('never leads forward', () => {
    const spans = fc.record({
      months: fc.integer({ min: 0, max: 30 }),
      days: fc.integer({ min: 0, max: 60 }),
      milliseconds: fc.integer({ min: 0, max: 3 * DAY }),
    });
    const instants = fc.integer({ min: Date.UTC(1980, 0, 1), max: Date.UTC(2100, 0, 1) });
    fc.assert(
      fc.property(fc.constantFrom(...ZONES), instants, spans, (name, instant, span) => {
        expect(minusDuration(instant, span, zoneNamed(name))).toBeLessThanOrEqual(instant);
      }),
    );
  });

  it('is NaN where no year is left', () => {
    expect(minusDuration(0, parseDuration('P5000Y'), UTC)).toBeNaN();
    expect(minusDuration(0, parseDuration('P5000Y'), zoneNamed('Europe/London'))).toBeNaN();
  });
});
