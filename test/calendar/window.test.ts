import { describe, expect, it } from 'vitest';
import { formatInstant } from '../../src/calendar/print.js';
import { type WindowOptions, windowFrom } from '../../src/calendar/window.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { InputError } from '../../src/errors.js';
import { HOUR } from '../../src/units.js';
import { utc } from './zones.js';

const london = zoneNamed('Europe/London');

function windowAt(now: string, options: WindowOptions, zone = london): (string | null)[] {
  const { from, until } = windowFrom(options, zone, () => utc(now));
  return [from, until].map((instant) => (instant === null ? null : formatInstant(instant, zone)));
}

function never(): number {
  throw new Error('the present was asked for');
}

describe('windowFrom', () => {
  it('is open without options', () => {
    expect(windowFrom({}, london, never)).toEqual({ from: null, until: null });
  });

  it('takes each bound alone, a date for its start, without asking for the present', () => {
    expect(windowFrom({ since: '2025-10-01' }, london, never)).toEqual({
      from: utc('2025-09-30T23:00:00Z'),
      until: null,
    });
    expect(windowFrom({ until: '2025-11-01' }, london, never)).toEqual({
      from: null,
      until: utc('2025-11-01T00:00:00Z'),
    });
  });

  it.each([
    { day: '2025-10-26', hours: 25 },
    { day: '2025-03-30', hours: 23 },
    { day: '2025-10-01', hours: 24 },
  ])('--day $day has $hours h', ({ day, hours }) => {
    const { from, until } = windowFrom({ day }, london, never);
    expect(until! - from!).toBe(hours * HOUR);
    expect(formatInstant(from!, london).slice(0, 19)).toBe(`${day}T00:00:00`);
  });

  // The autumn night, before the change, in both repeated hours and after: always the same day.
  it.each([
    ['2025-10-25T23:00:00Z', 'today', ['2025-10-26T00:00:00+01:00', '2025-10-27T00:00:00+00:00']],
    ['2025-10-26T00:30:00Z', 'today', ['2025-10-26T00:00:00+01:00', '2025-10-27T00:00:00+00:00']],
    ['2025-10-26T01:30:00Z', 'today', ['2025-10-26T00:00:00+01:00', '2025-10-27T00:00:00+00:00']],
    ['2025-10-26T23:30:00Z', 'today', ['2025-10-26T00:00:00+01:00', '2025-10-27T00:00:00+00:00']],
    ['2025-10-26T00:30:00Z', 'yesterday', ['2025-10-25T00:00:00+01:00', '2025-10-26T00:00:00+01:00']],
    ['2025-10-26T23:30:00Z', 'yesterday', ['2025-10-25T00:00:00+01:00', '2025-10-26T00:00:00+01:00']],
    ['2025-10-27T00:00:00Z', 'yesterday', ['2025-10-26T00:00:00+01:00', '2025-10-27T00:00:00+00:00']],
    ['2025-10-27T23:59:59Z', 'yesterday', ['2025-10-26T00:00:00+01:00', '2025-10-27T00:00:00+00:00']],
    ['2025-03-30T23:30:00Z', 'yesterday', ['2025-03-30T00:00:00+00:00', '2025-03-31T00:00:00+01:00']],
    ['2025-03-31T22:59:59Z', 'yesterday', ['2025-03-30T00:00:00+00:00', '2025-03-31T00:00:00+01:00']],
  ])('at %s, --day %s', (now, day, bounds) => {
    expect(windowAt(now, { day })).toEqual(bounds);
  });

  it('yesterday is the day that ended, where the day before was skipped', () => {
    expect(windowAt('2011-12-30T12:00:00Z', { day: 'yesterday' }, zoneNamed('Pacific/Apia'))).toEqual([
      '2011-12-29T00:00:00-10:00',
      '2011-12-31T00:00:00+14:00',
    ]);
  });

  it('a day that was skipped is refused', () => {
    expect(() => windowFrom({ day: '2011-12-30' }, zoneNamed('Pacific/Apia'), never)).toThrow(/skipped/);
  });

  it.each([
    ['2025-10-26T12:00:00Z', 'P1D', ['2025-10-25T12:00:00+01:00', '2025-10-26T12:00:00+00:00']],
    ['2025-10-26T12:00:00Z', 'PT24H', ['2025-10-25T13:00:00+01:00', '2025-10-26T12:00:00+00:00']],
    ['2025-03-31T12:00:00Z', 'P1M', ['2025-02-28T13:00:00+00:00', '2025-03-31T13:00:00+01:00']],
  ])('at %s, --last %s', (now, last, bounds) => {
    expect(windowAt(now, { last })).toEqual(bounds);
  });

  it.each([
    { options: { day: 'today', since: '2025-10-01' }, says: /--day .* --since/ },
    { options: { day: 'today', until: '2025-10-01' }, says: /--day .* --until/ },
    { options: { day: 'today', last: 'P1D' }, says: /--day .* --last/ },
    { options: { last: 'P1D', since: '2025-10-01' }, says: /--last .* --since/ },
    { options: { last: 'P1D', until: '2025-10-01' }, says: /--last .* --until/ },
    { options: { since: '2025-10-02', until: '2025-10-01' }, says: /not later/ },
    { options: { since: '2025-10-01', until: '2025-10-01' }, says: /not later/ },
    { options: { last: 'PT0S' }, says: /no length/ },
    { options: { last: 'P9000Y' }, says: /too far/ },
    { options: { last: '7 days' }, says: /duration/ },
    { options: { day: 'tomorrow' }, says: /takes a date/ },
    { options: { day: '2025-10-01T06:00' }, says: /takes a date/ },
    { options: { day: '2025-02-30' }, says: /no such date/ },
    { options: { since: 'monday' }, says: /not a date/ },
  ])('$options is refused', ({ options, says }) => {
    const refused = () => windowFrom(options, london, () => utc('2025-10-26T12:00:00Z'));
    expect(refused).toThrow(InputError);
    expect(refused).toThrow(says);
  });
});
