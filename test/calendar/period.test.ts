import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PERIOD_KINDS, type PeriodKind, periodLabel, periodsCovering } from '../../src/calendar/period.js';
import { formatInstant, formatWallMinute } from '../../src/calendar/print.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { changes, utc, ZONES } from './zones.js';

function listed(kind: PeriodKind, from: string, until: string, zone = 'Europe/London') {
  const place = zoneNamed(zone);
  return periodsCovering(kind, utc(from), utc(until), place).map((period) => ({
    label: periodLabel(kind, period, place),
    hours: (period.end - period.start) / HOUR,
  }));
}

/** Labels of the hours of one day. */
function hoursOf(from: string, zone: string) {
  const place = zoneNamed(zone);
  const day = periodsCovering('day', utc(from), utc(from), place)[0]!;
  return periodsCovering('hour', day.start, day.end, place).map((hour) => ({
    label: periodLabel('hour', hour, place),
    minutes: (hour.end - hour.start) / MINUTE,
  }));
}

describe('days', () => {
  it.each([
    { zone: 'Europe/London', noon: '2025-10-26T12:00:00Z', label: '2025-10-26', hours: 25 },
    { zone: 'Europe/London', noon: '2025-03-30T12:00:00Z', label: '2025-03-30', hours: 23 },
    { zone: 'Europe/London', noon: '2025-10-27T12:00:00Z', label: '2025-10-27', hours: 24 },
    { zone: 'America/New_York', noon: '2013-11-03T17:00:00Z', label: '2013-11-03', hours: 25 },
    { zone: 'America/New_York', noon: '2013-03-10T17:00:00Z', label: '2013-03-10', hours: 23 },
    { zone: 'Australia/Lord_Howe', noon: '2025-04-06T01:00:00Z', label: '2025-04-06', hours: 24.5 },
    { zone: 'Australia/Lord_Howe', noon: '2025-10-05T01:00:00Z', label: '2025-10-05', hours: 23.5 },
    { zone: 'Asia/Kathmandu', noon: '1986-01-01T06:00:00Z', label: '1986-01-01', hours: 23.75 },
    { zone: 'America/Sao_Paulo', noon: '2018-11-04T15:00:00Z', label: '2018-11-04', hours: 23 },
    { zone: 'America/Sao_Paulo', noon: '2019-02-16T15:00:00Z', label: '2019-02-16', hours: 25 },
    { zone: 'America/Havana', noon: '2024-11-03T17:00:00Z', label: '2024-11-03', hours: 25 },
    { zone: 'America/St_Johns', noon: '2010-11-07T16:00:00Z', label: '2010-11-07', hours: 25 },
    { zone: 'Antarctica/Troll', noon: '2025-10-26T12:00:00Z', label: '2025-10-26', hours: 26 },
  ])('$label in $zone has $hours h', ({ zone, noon, label, hours }) => {
    expect(listed('day', noon, noon, zone)).toEqual([{ label, hours }]);
  });

  it('leave out the one that the zone skipped', () => {
    expect(listed('day', '2011-12-29T12:00:00Z', '2012-01-01T00:00:00Z', 'Pacific/Apia')).toEqual([
      { label: '2011-12-29', hours: 24 },
      { label: '2011-12-31', hours: 24 },
      { label: '2012-01-01', hours: 24 },
    ]);
  });

  it('end before the one that starts with the end of the stretch', () => {
    const stretch = listed('day', '2025-09-30T23:00:00Z', '2025-10-02T23:00:00Z');
    expect(stretch.map(({ label }) => label)).toEqual(['2025-10-01', '2025-10-02']);
  });
});

describe('an instant after the clocks were put back', () => {
  it('over midnight lies in the day that had begun', () => {
    const now = '2010-11-07T03:00:00Z'; // 23:30 of the day before, for the second time
    expect(listed('day', now, now, 'America/St_Johns')).toEqual([{ label: '2010-11-07', hours: 25 }]);
  });

  it('into the hour lies in what is left of it', () => {
    const now = '2025-04-05T15:10:00Z'; // 01:40, for the second time
    expect(listed('hour', now, now, 'Australia/Lord_Howe')).toEqual([
      { label: '2025-04-06 01:30 +10:30', hours: 0.5 },
    ]);
  });
});

describe('weeks, months and years', () => {
  it('a week of the autumn change has 169 h and starts on Monday', () => {
    const [week] = periodsCovering(
      'week',
      utc('2025-10-26T12:00:00Z'),
      utc('2025-10-26T12:00:00Z'),
      zoneNamed('Europe/London'),
    );
    expect(formatInstant(week!.start, zoneNamed('Europe/London'))).toBe('2025-10-20T00:00:00+01:00');
    expect(week!.end - week!.start).toBe(169 * HOUR);
  });

  // Week numbers of the days around New Year by ISO 8601: the week with the year's first Thursday is W01.
  it.each([
    ['2020-12-31', '2020-W53'],
    ['2021-01-03', '2020-W53'],
    ['2021-01-04', '2021-W01'],
    ['2024-12-30', '2025-W01'],
    ['2025-10-26', '2025-W43'],
    ['2027-01-01', '2026-W53'],
    ['2028-01-02', '2027-W52'],
    ['1970-01-01', '1970-W01'],
  ])('%s lies in %s', (date, label) => {
    expect(listed('week', `${date}T12:00:00Z`, `${date}T12:00:00Z`).map((week) => week.label)).toEqual([
      label,
    ]);
  });

  it('months are as long as they are', () => {
    expect(listed('month', '2025-02-10T00:00:00Z', '2025-04-01T00:00:00Z')).toEqual([
      { label: '2025-02', hours: 28 * 24 },
      { label: '2025-03', hours: 31 * 24 - 1 },
      { label: '2025-04', hours: 30 * 24 },
    ]);
    expect(listed('month', '2025-10-10T00:00:00Z', '2025-10-10T00:00:00Z')).toEqual([
      { label: '2025-10', hours: 31 * 24 + 1 },
    ]);
  });

  it('years too', () => {
    expect(listed('year', '2024-06-01T00:00:00Z', '2025-06-01T00:00:00Z')).toEqual([
      { label: '2024', hours: 366 * 24 },
      { label: '2025', hours: 365 * 24 },
    ]);
  });
});

describe('hours', () => {
  it('are 25 on the autumn day, the repeated two told apart', () => {
    const hours = hoursOf('2025-10-26T12:00:00Z', 'Europe/London');
    expect(hours).toHaveLength(25);
    expect(hours.every(({ minutes }) => minutes === 60)).toBe(true);
    expect(hours.slice(0, 4).map(({ label }) => label)).toEqual([
      '2025-10-26 00:00',
      '2025-10-26 01:00 +01:00',
      '2025-10-26 01:00 +00:00',
      '2025-10-26 02:00',
    ]);
  });

  it('are 23 on the spring day', () => {
    const hours = hoursOf('2025-03-30T12:00:00Z', 'Europe/London');
    expect(hours).toHaveLength(23);
    expect(hours.slice(0, 3).map(({ label }) => label)).toEqual([
      '2025-03-30 00:00',
      '2025-03-30 02:00',
      '2025-03-30 03:00',
    ]);
  });

  it('are those of the clock on the wall where the offset is no whole hour', () => {
    const now = '2025-10-26T12:00:00Z';
    expect(listed('hour', now, now, 'Asia/Kathmandu')).toEqual([{ label: '2025-10-26 17:00', hours: 1 }]);
  });

  it('are cut where the clocks change by half an hour', () => {
    expect(hoursOf('2025-10-05T01:00:00Z', 'Australia/Lord_Howe').slice(1, 4)).toEqual([
      { label: '2025-10-05 01:00', minutes: 60 },
      { label: '2025-10-05 02:30', minutes: 30 },
      { label: '2025-10-05 03:00', minutes: 60 },
    ]);
    expect(hoursOf('2025-04-06T01:00:00Z', 'Australia/Lord_Howe').slice(1, 4)).toEqual([
      { label: '2025-04-06 01:00', minutes: 60 },
      { label: '2025-04-06 01:30 +10:30', minutes: 30 },
      { label: '2025-04-06 02:00', minutes: 60 },
    ]);
  });
});

describe('hours cut short', () => {
  it('end with the change that brings the next day', () => {
    // Pyongyang, 4 May 2018: from 23:30 to midnight (IANA time zone database)
    const hours = listed('hour', '2018-05-04T14:00:00Z', '2018-05-04T16:00:00Z', 'Asia/Pyongyang');
    expect(hours).toEqual([
      { label: '2018-05-04 22:00', hours: 1 },
      { label: '2018-05-04 23:00', hours: 0.5 },
      { label: '2018-05-05 00:00', hours: 1 },
    ]);
  });
});

describe('periodsCovering', () => {
  const from = fc.oneof(
    fc.record({
      zone: fc.constantFrom(...ZONES),
      from: fc.integer({ min: Date.UTC(1980, 0, 1), max: Date.UTC(2100, 0, 1) }),
    }),
    fc
      .tuple(
        fc.constantFrom(...changes()),
        fc.oneof(fc.integer({ min: -2 * DAY, max: 2 * DAY }), fc.integer({ min: -2 * HOUR, max: 2 * HOUR })),
      )
      .map(([{ zone, at }, before]) => ({ zone, from: at + before })),
  );
  const spans: Readonly<Record<PeriodKind, number>> = {
    hour: 3 * DAY,
    day: 40 * DAY,
    week: 100 * DAY,
    month: 400 * DAY,
    year: 1500 * DAY,
  };
  const longest: Readonly<Record<PeriodKind, number>> = {
    hour: HOUR,
    day: 26 * HOUR,
    week: 7 * DAY + 2 * HOUR,
    month: 31 * DAY + 2 * HOUR,
    year: 366 * DAY + 2 * HOUR,
  };

  it.each(PERIOD_KINDS)('%ss cover the stretch without hole, overlap or excess', (kind) => {
    const part = fc.double({ min: 0, max: 1, noNaN: true });
    fc.assert(
      fc.property(from, part, ({ zone, from }, share) => {
        const until = from + Math.round(share * spans[kind]);
        const periods = periodsCovering(kind, from, until, zoneNamed(zone));
        expect(periods[0]!.start).toBeLessThanOrEqual(from);
        expect(periods[0]!.end).toBeGreaterThan(from);
        expect(periods.at(-1)!.end).toBeGreaterThanOrEqual(until);
        if (until > from) expect(periods.at(-1)!.start).toBeLessThan(until);
        else expect(periods).toHaveLength(1);
        for (const [i, { start, end }] of periods.entries()) {
          expect(end).toBeGreaterThan(start);
          expect(end - start).toBeLessThanOrEqual(longest[kind]);
          if (i > 0) expect(start).toBe(periods[i - 1]!.end);
        }
      }),
    );
  });

  it.each(PERIOD_KINDS)('%ss are the same, whatever part of them is asked for', (kind) => {
    fc.assert(
      fc.property(from, fc.double({ min: 0, max: 1, noNaN: true }), ({ zone: name, from }, share) => {
        const zone = zoneNamed(name);
        const periods = periodsCovering(kind, from, from + spans[kind], zone);
        const inner = from + Math.floor(share * (spans[kind] - 1));
        const expected = periods.find(({ start, end }) => start <= inner && inner < end);
        expect(periodsCovering(kind, inner, inner, zone)).toEqual([expected]);
      }),
    );
  });

  it.each(PERIOD_KINDS)('%ss have labels of their own', (kind) => {
    fc.assert(
      fc.property(from, ({ zone: name, from }) => {
        const zone = zoneNamed(name);
        const periods = periodsCovering(kind, from, from + spans[kind], zone);
        const labels = periods.map((period) => periodLabel(kind, period, zone));
        expect(new Set(labels).size).toBe(labels.length);
      }),
    );
  });

  it('days start with the date that they are named by', () => {
    fc.assert(
      fc.property(from, ({ zone: name, from }) => {
        const zone = zoneNamed(name);
        for (const day of periodsCovering('day', from, from + spans.day, zone)) {
          expect(formatWallMinute(day.start, zone).slice(0, 10)).toBe(periodLabel('day', day, zone));
          expect(formatWallMinute(day.start - 1, zone) < formatWallMinute(day.start, zone)).toBe(true);
        }
      }),
    );
  });

  it('is empty for a stretch that is none', () => {
    const zone = zoneNamed('Europe/London');
    expect(periodsCovering('day', DAY, 0, zone)).toEqual([]);
    expect(periodsCovering('day', NaN, NaN, zone)).toEqual([]);
    expect(periodsCovering('hour', NaN, 0, zone)).toEqual([]);
  });
});
