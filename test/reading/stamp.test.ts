import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatInstant } from '../../src/calendar/print.js';
import { UTC, zoneNamed } from '../../src/calendar/zone.js';
import {
  dateOrderOf,
  EARLIEST,
  isClock,
  LATEST,
  type StampStyle,
  stampParser,
} from '../../src/reading/stamp.js';

/** What a stamp says, as ISO 8601: with Z where it has its own offset, without where it is a wall time. */
function said(text: string, style: StampStyle): string {
  const parser = stampParser(style);
  const bytes = Buffer.from(text).toString('latin1');
  const time = parser.parse(bytes, 0, bytes.length);
  return Number.isNaN(time) ? 'NaN' : new Date(time).toISOString().slice(0, parser.placed ? undefined : -1);
}

describe('a stamp', () => {
  it.each<[string, StampStyle, string]>([
    // RFC 3339 and ISO 8601
    ['2025-10-01T00:00:00Z', 'year-first', '2025-10-01T00:00:00.000Z'],
    ['2025-10-01t00:00:00z', 'year-first', '2025-10-01T00:00:00.000Z'],
    ['2025-10-01T00:00:00+01:00', 'year-first', '2025-09-30T23:00:00.000Z'],
    ['2025-10-01T00:00:00.123456-03:30', 'year-first', '2025-10-01T03:30:00.123Z'],
    ['2025-10-01T00:00', 'year-first', '2025-10-01T00:00:00.000'],
    ['2025-10-01T00:00:00', 'year-first', '2025-10-01T00:00:00.000'],
    ['2025-10-01', 'year-first', '2025-10-01T00:00:00.000'],
    // SQL
    ['2025-10-01 00:10:20', 'year-first', '2025-10-01T00:10:20.000'],
    ['2025-10-01 00:10:20.5', 'year-first', '2025-10-01T00:10:20.500'],
    ['2025-10-01 00:10:20,999', 'year-first', '2025-10-01T00:10:20.999'],
    ['2025-10-01 00:10:20+01', 'year-first', '2025-09-30T23:10:20.000Z'],
    ['2025-10-01 00:10:20.123456+00', 'year-first', '2025-10-01T00:10:20.123Z'],
    ['2025-10-01 00:10:20 UTC', 'year-first', '2025-10-01T00:10:20.000Z'],
    ['2025-10-01 00:10:20 +0100', 'year-first', '2025-09-30T23:10:20.000Z'],
    ['2025/10/01 00:10', 'year-first', '2025-10-01T00:10:00.000'],
    ['2025.10.1 9:05:03', 'year-first', '2025-10-01T09:05:03.000'],
    ['  2025-10-01   00:10 ', 'year-first', '2025-10-01T00:10:00.000'],
    // epoch
    ['1759276800', 'epoch', '2025-10-01T00:00:00.000Z'],
    ['1759276800.25', 'epoch', '2025-10-01T00:00:00.250Z'],
    ['1759276800,9999', 'epoch', '2025-10-01T00:00:00.999Z'],
    ['1759276800123', 'epoch', '2025-10-01T00:00:00.123Z'],
    ['1759276800123456', 'epoch', '2025-10-01T00:00:00.123Z'],
    ['1759276800123000000', 'epoch', '2025-10-01T00:00:00.123Z'],
    ['1759276800000000001', 'epoch', '2025-10-01T00:00:00.000Z'],
    // day first
    ['01/10/2025 00:10', 'day-first', '2025-10-01T00:10:00.000'],
    ['1.10.2025 00:10:20', 'day-first', '2025-10-01T00:10:20.000'],
    ['01-10-25 00:10', 'day-first', '2025-10-01T00:10:00.000'],
    ['31.10.2025, 23:59', 'day-first', '2025-10-31T23:59:00.000'],
    ['01/10/2025:00:10:20 +0100', 'day-first', '2025-09-30T23:10:20.000Z'],
    // month first
    ['10/01/2025 00:10', 'month-first', '2025-10-01T00:10:00.000'],
    ['10.1.25 00:10', 'month-first', '2025-10-01T00:10:00.000'],
    ['10-01-2025 00:10', 'month-first', '2025-10-01T00:10:00.000'],
    // twelve hours
    ['10/1/2025, 12:00:00 AM', 'month-first', '2025-10-01T00:00:00.000'],
    ['10/1/2025 12:00 PM', 'month-first', '2025-10-01T12:00:00.000'],
    ['10/1/2025 1:05 pm', 'month-first', '2025-10-01T13:05:00.000'],
    ['1/10/2025 11:59:59 p.m.', 'day-first', '2025-10-01T23:59:59.000'],
    ['1/10/2025 11:59:59 a. m.', 'day-first', '2025-10-01T11:59:59.000'],
    ['2025-10-01 01:00:00.5PM', 'year-first', '2025-10-01T13:00:00.500'],
    ['10/1/2025, 1:00:00\u202fPM', 'month-first', '2025-10-01T13:00:00.000'],
    ['1/10/2025, 1:00:00\u00a0p.\u00a0m.', 'day-first', '2025-10-01T13:00:00.000'],
  ])('%s, %s, says %s', (text, style, expected) => {
    expect(said(text, style)).toBe(expected);
  });

  it.each<[string, StampStyle]>([
    ['2025-02-29', 'year-first'],
    ['2025-02-30 00:00', 'year-first'],
    ['2025-13-01 00:00', 'year-first'],
    ['2025-00-10 00:00', 'year-first'],
    ['2025-10-00', 'year-first'],
    ['2025-10-01 24:00', 'year-first'],
    ['2025-10-01 23:60', 'year-first'],
    ['2025-10-01 23:59:60', 'year-first'],
    ['2025-10/01', 'year-first'],
    ['25-10-01', 'year-first'],
    ['2025-10-01 00:00:00 +25:00', 'year-first'],
    ['2025-10-01 00:00:00 +01:60', 'year-first'],
    ['2025-10-01 00:00:00 x', 'year-first'],
    ['2025-10-01T', 'year-first'],
    ['2025-10-01 00:00:00.', 'year-first'],
    ['2025-10-01x00:00', 'year-first'],
    ['', 'year-first'],
    ['-', 'year-first'],
    ['00:10:20', 'year-first'],
    ['31/11/2025', 'day-first'],
    ['10/13/2025', 'day-first'],
    ['13/10/2025', 'month-first'],
    ['01/10/225', 'day-first'],
    ['01/10/2025 13:00 PM', 'day-first'],
    ['01/10/2025 0:30 AM', 'day-first'],
    ['01/10/2025 1:30 A', 'day-first'],
    ['-1759276800', 'epoch'],
    ['1.7592768e9', 'epoch'],
    ['17592768001234567890', 'epoch'],
    ['', 'epoch'],
  ])('%j, %s, is none', (text, style) => {
    expect(said(text, style)).toBe('NaN');
  });

  const instants = fc.integer({ min: EARLIEST, max: LATEST - 1 });

  it('is read as it was printed', () => {
    const zones = fc.constantFrom('UTC', 'Europe/London', 'America/St_Johns', 'Pacific/Auckland', '+05:45');
    const parser = stampParser('year-first');
    fc.assert(
      fc.property(instants, zones, (instant, name) => {
        const text = formatInstant(instant, zoneNamed(name));
        expect(parser.parse(text, 0, text.length)).toBe(instant);
        expect(parser.placed).toBe(true);
      }),
    );
  });

  it('says the same in every style, one after the other', () => {
    const parsers = {
      'year-first': stampParser('year-first'),
      'day-first': stampParser('day-first'),
      'month-first': stampParser('month-first'),
    };
    fc.assert(
      // stamps near each other, so that the day remembered from the last one is used
      fc.property(instants, fc.array(fc.nat({ max: 200_000_000 }), { maxLength: 6 }), (start, steps) => {
        for (const step of steps) {
          const instant = start + step;
          const iso = formatInstant(instant, UTC).slice(0, -1);
          const [, year, month, day, clock] = /^(\d+)-(\d+)-(\d+)T(.*)$/.exec(iso)!;
          const texts = {
            'year-first': `${year}-${month}-${day} ${clock}`,
            'day-first': `${day}.${month}.${year} ${clock}`,
            'month-first': `${Number(month)}/${Number(day)}/${year} ${clock}`,
          };
          for (const style of ['year-first', 'day-first', 'month-first'] as const) {
            const text = `<${texts[style]}>`;
            expect(parsers[style].parse(text, 1, text.length - 1)).toBe(instant);
            expect(parsers[style].placed).toBe(false);
          }
        }
      }),
    );
  });

  it('of an epoch count is the same in all its units', () => {
    const { parse } = stampParser('epoch');
    const at = (text: string) => parse(text, 0, text.length);
    fc.assert(
      fc.property(
        fc.integer({ min: EARLIEST / 1000, max: LATEST / 1000 - 1 }),
        fc.nat({ max: 999 }),
        (second, milli) => {
          const instant = second * 1000 + milli;
          const figures = String(milli).padStart(3, '0');
          expect(at(`${second}.${figures}`)).toBe(instant);
          if (second < 1e8) return; // so few digits are no milliseconds
          expect(at(`${second}${figures}`)).toBe(instant);
          expect(at(`${second}${figures}999`)).toBe(instant);
          expect(at(`${second}${figures}999999`)).toBe(instant);
        },
      ),
    );
  });
});

it('a clock is a time of day and nothing else', () => {
  const clocks = ['0:10', '00:10:20', '12:00:00.5', '1:05 PM', '1:05 p.m.', ' 00:10 '];
  expect(clocks.filter((text) => !isClock(text))).toEqual([]);
  const others = ['10', '2025-10-01 00:10', '00:10 h', '1:5', '00:10:20:30', 'aa:bb', '00:10 +01'];
  expect(others.filter((text) => isClock(text))).toEqual([]);
});

describe('the order of day and month', () => {
  /** Stamps at a steady pace from a day of October 2025 on. */
  const stamps = (order: 'day-first' | 'month-first', day: number, hours: number, step = 0.5) =>
    Array.from({ length: hours / step }, (_, i) => {
      const iso = new Date(Date.UTC(2025, 9, day) + i * step * 3_600_000).toISOString();
      const [, month, date] = iso.split(/[-T]/);
      return `${order === 'day-first' ? `${date}/${month}` : `${month}/${date}`}/2025 ${iso.slice(11, 16)}`;
    });

  it.each([
    { why: 'a day over 12', stamps: stamps('day-first', 13, 4), order: 'day-first' },
    { why: 'a day over 12 in the second place', stamps: stamps('month-first', 13, 4), order: 'month-first' },
    { why: 'the log goes on over midnight', stamps: stamps('day-first', 1, 30), order: 'day-first' },
    { why: 'so it does month first', stamps: stamps('month-first', 1, 30), order: 'month-first' },
    { why: 'newest first', stamps: stamps('day-first', 1, 30).reverse(), order: 'day-first' },
    {
      why: 'each stamp twice',
      stamps: stamps('day-first', 1, 30).flatMap((x) => [x, x]),
      order: 'day-first',
    },
    { why: 'a single day', stamps: stamps('day-first', 1, 24), order: 'none' },
    { why: 'one reading a day', stamps: stamps('day-first', 1, 8 * 24, 24), order: 'none' },
    {
      why: 'a day of silence in the night',
      stamps: [...stamps('day-first', 1, 23), ...stamps('day-first', 3, 23)],
      order: 'none',
    },
    {
      why: 'both over 12',
      stamps: [...stamps('day-first', 13, 4), ...stamps('month-first', 13, 4)],
      order: 'contradictory',
    },
    {
      why: 'one damaged stamp must not turn them all',
      stamps: [...stamps('day-first', 1, 40), '01/19/2025 16:30'],
      order: 'contradictory',
    },
    { why: 'no numbered dates', stamps: ['2025-10-01', 'x'], order: 'none' },
    { why: 'no stamps', stamps: [], order: 'none' },
  ])('$why: $order', ({ stamps: written, order }) => {
    expect(dateOrderOf(written)).toBe(order);
  });
});
