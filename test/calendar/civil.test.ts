import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { civilFromDays, civilOf, daysFromCivil, daysInMonth, wallTime } from '../../src/calendar/civil.js';
import { DAY } from '../../src/units.js';

const days = fc.integer({ min: daysFromCivil(1, 1, 1), max: daysFromCivil(9999, 12, 31) });

describe('days and dates', () => {
  it('agree with the date arithmetic of the platform', () => {
    fc.assert(
      fc.property(days, (count) => {
        const date = new Date(count * DAY);
        const { year, month, day } = civilFromDays(count);
        expect([year, month, day]).toEqual([
          date.getUTCFullYear(),
          date.getUTCMonth() + 1,
          date.getUTCDate(),
        ]);
        expect(daysFromCivil(year, month, day)).toBe(count);
      }),
    );
  });

  it('follow each other through 800 years, one by one', () => {
    let count = daysFromCivil(1600, 1, 1);
    for (let year = 1600; year < 2400; year++) {
      for (let month = 1; month <= 12; month++) {
        for (let day = 1; day <= daysInMonth(year, month); day++, count++) {
          if (daysFromCivil(year, month, day) !== count) expect.fail(`${year}-${month}-${day}`);
          const back = civilFromDays(count);
          if (back.year !== year || back.month !== month || back.day !== day) expect.fail(`day ${count}`);
        }
      }
    }
    expect(count).toBe(daysFromCivil(2400, 1, 1));
  });

  it.each([
    [1900, 28],
    [2000, 29],
    [2023, 28],
    [2024, 29],
    [2100, 28],
  ])('February %i has %i days', (year, length) => {
    expect(daysInMonth(year, 2)).toBe(length);
  });

  it('a month that is none has no length', () => {
    expect(daysInMonth(2025, 0)).toBeNaN();
    expect(daysInMonth(2025, 13)).toBeNaN();
  });
});

describe('wallTime', () => {
  it('gives back the fields it was made from', () => {
    const fields = fc.record({
      year: fc.integer({ min: 1583, max: 9999 }),
      month: fc.integer({ min: 1, max: 12 }),
      day: fc.integer({ min: 1, max: 28 }),
      hour: fc.integer({ min: 0, max: 23 }),
      minute: fc.integer({ min: 0, max: 59 }),
      second: fc.integer({ min: 0, max: 59 }),
      millisecond: fc.integer({ min: 0, max: 999 }),
    });
    fc.assert(
      fc.property(fields, (civil) => {
        const { year, month, day, hour, minute, second, millisecond } = civil;
        expect(civilOf(wallTime(year, month, day, hour, minute, second, millisecond))).toEqual(civil);
      }),
    );
  });

  it.each([
    { why: '30 February', fields: [2024, 2, 30] },
    { why: '29 February of a common year', fields: [2023, 2, 29] },
    { why: '31 April', fields: [2025, 4, 31] },
    { why: 'day 0', fields: [2025, 4, 0] },
    { why: 'month 0', fields: [2025, 0, 1] },
    { why: 'month 13', fields: [2025, 13, 1] },
    { why: 'the year 0 of a broken clock', fields: [0, 1, 1] },
    { why: 'a fifth digit', fields: [10000, 1, 1] },
    { why: 'hour 24', fields: [2025, 1, 1, 24] },
    { why: 'minute 60', fields: [2025, 1, 1, 0, 60] },
    { why: 'a leap second', fields: [2016, 12, 31, 23, 59, 60] },
    { why: 'millisecond 1000', fields: [2025, 1, 1, 0, 0, 0, 1000] },
    { why: 'a negative hour', fields: [2025, 1, 1, -1] },
    { why: 'a missing field', fields: [2025, 1, NaN] },
  ])('$why is NaN', ({ fields }) => {
    const [year, month, day, ...time] = fields as [number, number, number, ...number[]];
    expect(wallTime(year, month, day, ...time)).toBeNaN();
  });

  it('29 February of a leap year exists', () => {
    expect(wallTime(2024, 2, 29)).toBe(Date.UTC(2024, 1, 29));
  });
});
