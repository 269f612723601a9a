import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { wallTime } from '../../src/calendar/civil.js';
import { formatInstant, formatWall } from '../../src/calendar/print.js';
import { instantFrom, offsetText, parseOffset, systemZone, UTC, zoneNamed } from '../../src/calendar/zone.js';
import { InputError } from '../../src/errors.js';
import { DAY, HOUR, type Instant, MINUTE, SECOND, type WallTime } from '../../src/units.js';
import { changes, utc, ZONES } from './zones.js';

/** What Intl says the clocks show, as milliseconds: the slow way. */
function wallByIntl(zone: string): (instant: Instant) => number {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    dateStyle: 'short',
    timeStyle: 'medium',
  });
  return (instant) => {
    const part: Record<string, number> = {};
    for (const { type, value } of format.formatToParts(instant)) part[type] = Number(value);
    const { year, month, day, hour, minute, second } = part;
    return Date.UTC(year!, month! - 1, day!, hour!, minute!, second!);
  };
}

const named = ZONES.filter((zone) => /^[A-Z]/.test(zone));
const slow = new Map(named.map((zone) => [zone, wallByIntl(zone)]));
const zones = fc.constantFrom(...named);
/** Whole seconds from 1970 to the end of 2200. */
const seconds = fc
  .integer({ min: 0, max: Date.UTC(2201, 0, 1) / SECOND - 1 })
  .map((second) => second * SECOND);
/** Instants within 30 h of a change of offset. */
const nearChange = fc
  .tuple(fc.constantFrom(...changes()), fc.integer({ min: -30 * 60, max: 30 * 60 }))
  .map(([{ zone, at }, minutes]) => ({ zone, instant: at + minutes * MINUTE }));
const anywhere = fc.record({ zone: zones, instant: seconds });

describe('changes of offset', () => {
  it.each(changes())('$zone at $before', ({ zone: name, at, before, after }) => {
    const zone = zoneNamed(name);
    expect(formatInstant(at, zone)).toBe(after);
    expect(zone.offsetAt(at - 1)).toBe(parseOffset(before.slice(19)));
    expect(formatInstant(at - 1, zone).slice(23)).toBe(before.slice(19));
    expect(zone.changeBetween(at - HOUR, at + HOUR)).toBe(at);
    expect(zone.changeBetween(at - HOUR, at)).toBe(at);
    expect(zone.changeBetween(at - HOUR, at - 1)).toBeNull();
    expect(zone.changeBetween(at, at + HOUR)).toBeNull();
  });

  it('are exact where the old offset had seconds', () => {
    // Liberia, 1972: from -0:44:30 to 0 (IANA time zone database)
    const zone = zoneNamed('Africa/Monrovia');
    const change = utc('1972-01-07T00:44:30Z');
    expect(zone.offsetAt(change - 1)).toBe(-(44 * MINUTE + 30 * SECOND));
    expect(zone.offsetAt(change)).toBe(0);
  });

  it('the ends of a year are none', () => {
    const zone = zoneNamed('Asia/Kathmandu');
    expect(zone.changeBetween(utc('1990-01-01T00:00:00Z'), utc('2020-01-01T00:00:00Z'))).toBeNull();
  });
});

describe('offsetAt and wallAt', () => {
  it('agree with Intl', () => {
    fc.assert(
      fc.property(fc.oneof(anywhere, nearChange), ({ zone, instant }) => {
        expect(zoneNamed(zone).wallAt(instant)).toBe(slow.get(zone)!(instant));
      }),
      { numRuns: 500 },
    );
  });

  it('agree with Intl in every zone that it knows', () => {
    const any = fc.constantFrom(...Intl.supportedValuesOf('timeZone'));
    fc.assert(
      fc.property(any, fc.integer({ min: 0, max: 60 * 366 }), (name, day) => {
        const instant = day * DAY + 11 * HOUR;
        expect(zoneNamed(name).wallAt(instant)).toBe(wallByIntl(name)(instant));
      }),
    );
  });

  it('are NaN for NaN and for years that are none', () => {
    for (const zone of [UTC, zoneNamed('Europe/London')]) {
      for (const instant of [NaN, Infinity, -Infinity, 1e15, -1e15]) {
        expect(zone.offsetAt(instant)).toBeNaN();
        expect(zone.wallAt(instant)).toBeNaN();
        expect(zone.firstInstant(instant as WallTime)).toBeNaN();
        expect(zone.lastInstant(instant as WallTime)).toBeNaN();
        expect(zone.skippedAt(instant as WallTime)).toBeNull();
      }
    }
  });
});

describe('firstInstant and lastInstant', () => {
  it('find what a search through all offsets finds', () => {
    const minutes = fc.integer({ min: -180, max: 180 });
    fc.assert(
      fc.property(fc.constantFrom(...changes()), minutes, ({ zone: name, at, before, after }, minute) => {
        const zone = zoneNamed(name);
        for (const text of [before, after]) {
          const wall = (at + minute * MINUTE + parseOffset(text.slice(19))) as WallTime;
          const found: Instant[] = [];
          for (let offset = 15 * HOUR; offset >= -15 * HOUR; offset -= 15 * MINUTE) {
            if (slow.get(name)!(wall - offset) === wall) found.push(wall - offset);
          }
          expect(zone.firstInstant(wall)).toBe(found.at(0) ?? NaN);
          expect(zone.lastInstant(wall)).toBe(found.at(-1) ?? NaN);
          expect(zone.skippedAt(wall) === null).toBe(found.length > 0);
        }
      }),
    );
  });

  it('lead back to the instant that was shown', () => {
    fc.assert(
      fc.property(fc.oneof(anywhere, nearChange), ({ zone: name, instant }) => {
        const zone = zoneNamed(name);
        const wall = zone.wallAt(instant);
        const both = [zone.firstInstant(wall), zone.lastInstant(wall)];
        expect(both).toContain(instant);
        expect(both.map((found) => zone.wallAt(found))).toEqual([wall, wall]);
        expect(both[0]).toBeLessThanOrEqual(both[1]!);
      }),
      { numRuns: 500 },
    );
  });

  it('tell the two instants of a repeated hour apart', () => {
    const zone = zoneNamed('Europe/London');
    const wall = wallTime(2025, 10, 26, 1, 30);
    expect(zone.firstInstant(wall)).toBe(utc('2025-10-26T00:30:00Z'));
    expect(zone.lastInstant(wall)).toBe(utc('2025-10-26T01:30:00Z'));
  });

  it('do not depend on what was asked before', () => {
    const zone = zoneNamed('Europe/London');
    const walls = [
      wallTime(2025, 10, 26, 1, 30),
      wallTime(2025, 7, 1),
      wallTime(1999, 12, 31, 23, 59),
      wallTime(2025, 10, 26, 0, 59),
      wallTime(2025, 3, 30, 1, 30),
    ];
    const alone = walls.map((wall) => [zone.firstInstant(wall), zone.lastInstant(wall)]);
    for (const other of walls) {
      for (const [i, wall] of walls.entries()) {
        zone.offsetAt(other);
        expect([zone.firstInstant(wall), zone.lastInstant(wall)]).toEqual(alone[i]);
      }
    }
  });
});

describe('skippedAt', () => {
  it.each([
    {
      zone: 'Europe/London',
      wall: wallTime(2025, 3, 30, 1, 30),
      at: '2025-03-30T01:00:00Z',
      from: '2025-03-30 01:00',
      until: '2025-03-30 02:00',
    },
    {
      zone: 'Australia/Lord_Howe',
      wall: wallTime(2025, 10, 5, 2, 29),
      at: '2025-10-04T15:30:00Z',
      from: '2025-10-05 02:00',
      until: '2025-10-05 02:30',
    },
    {
      zone: 'Pacific/Apia',
      wall: wallTime(2011, 12, 30, 12),
      at: '2011-12-30T10:00:00Z',
      from: '2011-12-30 00:00',
      until: '2011-12-31 00:00',
    },
  ])('$zone, from $from to $until', ({ zone: name, wall, at, from, until }) => {
    const zone = zoneNamed(name);
    const skip = zone.skippedAt(wall)!;
    expect(skip.at).toBe(utc(at));
    expect([formatWall(skip.from), formatWall(skip.until)]).toEqual([from, until]);
    expect(zone.firstInstant(wall)).toBeNaN();
    expect(instantFrom(wall, zone)).toBe(skip.at);
    // The bounds: the first wall time skipped, and the first shown again.
    expect(zone.skippedAt(skip.from)).toEqual(skip);
    expect(zone.skippedAt((skip.from - 1) as WallTime)).toBeNull();
    expect(zone.skippedAt(skip.until)).toBeNull();
    expect(zone.firstInstant(skip.until)).toBe(skip.at);
  });

  it('is null in the repeated hour', () => {
    expect(zoneNamed('Europe/London').skippedAt(wallTime(2025, 10, 26, 1, 30))).toBeNull();
  });
});

describe('zoneNamed', () => {
  it.each([
    ['Europe/London', 'Europe/London'],
    ['europe/london', 'Europe/London'],
    ['AMERICA/NEW_YORK', 'America/New_York'],
    ['Asia/Kathmandu', 'Asia/Kathmandu'],
    ['UTC', 'UTC'],
    ['utc', 'UTC'],
    ['Z', 'UTC'],
    ['z', 'UTC'],
    ['Etc/UTC', 'UTC'],
    ['+00:00', 'UTC'],
    ['-00:00', 'UTC'],
    ['+01:00', '+01:00'],
    ['-0330', '-03:30'],
    ['+1', '+01:00'],
    ['-11', '-11:00'],
    ['+5:45', '+05:45'],
  ])('%s is %s', (text, name) => {
    expect(zoneNamed(text).name).toBe(name);
  });

  it('an offset is the same all year', () => {
    const zone = zoneNamed('-0330');
    expect(zone.offsetAt(utc('2025-01-01T00:00:00Z'))).toBe(-3.5 * HOUR);
    expect(zone.offsetAt(utc('2025-07-01T00:00:00Z'))).toBe(-3.5 * HOUR);
    expect(zone.firstInstant(wallTime(2025, 7, 1))).toBe(utc('2025-07-01T03:30:00Z'));
  });

  it.each([
    { text: 'Europe/Lndon', advice: /Europe\/London/ },
    { text: 'London', advice: /Europe\/London/ },
    { text: 'new_york', advice: /America\/New_York/ },
    { text: 'Middle/Earth/Shire', advice: /IANA/ },
    { text: '+24:00', advice: /\+01:00/ },
    { text: '+01:60', advice: /\+01:00/ },
    { text: '', advice: /IANA/ },
  ])('"$text" is refused with a way out', ({ text, advice }) => {
    try {
      zoneNamed(text);
      expect.fail('not refused');
    } catch (error) {
      expect(error).toBeInstanceOf(InputError);
      expect((error as InputError).place.text).toBe(text);
      expect((error as InputError).advice).toMatch(advice);
    }
  });
});

describe('systemZone', () => {
  function withTz<T>(tz: string, work: () => T): T {
    const before = process.env.TZ;
    process.env.TZ = tz;
    try {
      return work();
    } finally {
      if (before === undefined) delete process.env.TZ;
      else process.env.TZ = before;
    }
  }

  it.each([
    ['Europe/London', 'Europe/London'],
    ['America/St_Johns', 'America/St_Johns'],
    ['UTC', 'UTC'],
    ['', 'UTC'],
    ['Nowhere/Special', 'UTC'],
  ])('TZ=%s is %s', (tz, name) => {
    expect(withTz(tz, () => systemZone().name)).toBe(name);
  });
});

describe('offsets', () => {
  it('are read as they are written', () => {
    fc.assert(
      fc.property(fc.integer({ min: -23 * 60 - 59, max: 23 * 60 + 59 }), (minutes) => {
        const text = offsetText(minutes * MINUTE);
        expect(text).toMatch(/^[+-]\d\d:\d\d$/);
        expect(parseOffset(text)).toBe(minutes * MINUTE);
        expect(parseOffset(text.replace(':', ''))).toBe(minutes * MINUTE);
      }),
    );
  });

  it.each(['', '1', '01:00', '+', '+1:0', '+001:00', '+24', '+01:60', ' +01:00', '+01:00:00'])(
    '"%s" is none',
    (text) => {
      expect(parseOffset(text)).toBeNaN();
    },
  );
});
