import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseMoment } from '../../src/calendar/moment.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { axisOf } from '../../src/report/pageAxis.js';
import { dayWithYear, spanInWords, weekdayOf, whenOn } from '../../src/report/when.js';
import { DAY } from '../../src/units.js';

const london = zoneNamed('Europe/London');
const at = (text: string) => parseMoment(text, london);
const span = (from: string, until: string) => ({ start: at(from), end: at(until) });

describe('when, in words', () => {
  it('is the time of day on a page about one day', () => {
    const when = whenOn(span('2025-10-27', '2025-10-28'), london);
    expect(when.at(at('2025-10-27 04:10'))).toBe('04:10');
    expect(when.during(at('2025-10-27 04:10'), at('2025-10-27 10:33'))).toBe('04:10 to 10:33');
    expect(when.during(at('2025-10-26 22:00'), at('2025-10-27 10:33'))).toBe('until 10:33');
    expect(when.during(at('2025-10-27 22:00'), at('2025-10-28 03:00'))).toBe('from 22:00 on');
    expect(when.during(at('2025-10-26'), at('2025-10-29'))).toBe('all the time');
    expect(when.at(at('2025-10-26 22:00'))).toBe('Sun 26 Oct 22:00');
  });

  it('has its day elsewhere, once where both ends share it', () => {
    const when = whenOn(span('2025-10-01', '2025-11-01'), london);
    expect(when.during(at('2025-10-17 13:14'), at('2025-10-18 19:04'))).toBe(
      'Fri 17 Oct 13:14 to Sat 18 Oct 19:04',
    );
    expect(when.during(at('2025-10-17 13:14'), at('2025-10-17 19:04'))).toBe('Fri 17 Oct 13:14 to 19:04');
    expect(when.during(at('2025-10-17 13:14'), at('2025-10-17 13:14'))).toBe('Fri 17 Oct 13:14');
  });

  it('has its year where the page is about more than one', () => {
    const when = whenOn(span('2025-12-01', '2026-02-01'), london);
    expect(when.at(at('2026-01-05 06:00'))).toBe('Mon 5 Jan 2026 06:00');
  });

  it('tells the two passes of the repeated hour apart', () => {
    const when = whenOn(span('2025-10-26', '2025-10-27'), london);
    expect(when.at(Date.UTC(2025, 9, 26, 0, 30))).toBe('01:30 +01:00');
    expect(when.at(Date.UTC(2025, 9, 26, 1, 30))).toBe('01:30 +00:00');
  });

  it('names a day, some days, or a stretch with its times of day', () => {
    expect(spanInWords(span('2025-10-26', '2025-10-27'), london)).toBe('Sun 26 Oct 2025');
    expect(spanInWords(span('2025-10-01', '2025-11-01'), london)).toBe('Wed 1 Oct 2025 to Fri 31 Oct 2025');
    expect(spanInWords(span('2025-10-26 07:00', '2025-10-27 07:00'), london)).toBe(
      'Sun 26 Oct 2025 07:00 to Mon 27 Oct 2025 07:00',
    );
  });

  it('counts the days of the week as ISO 8601 does, before 1970 as well', () => {
    fc.assert(
      fc.property(fc.integer({ min: -40_000, max: 40_000 }), (day) => {
        const noon = day * DAY + DAY / 2;
        const utc = zoneNamed('UTC');
        const shown = new Date(noon).getUTCDay();
        expect(weekdayOf(noon, utc)).toBe(shown === 0 ? 7 : shown);
        expect(new Date(noon).toUTCString().slice(0, 3)).toBe(dayWithYear(noon, utc).slice(0, 3));
      }),
    );
  });
});

describe('the marks of a time axis', () => {
  it.each([
    ['2025-10-27', '2025-10-28', ['00:00', '06:00', '12:00', '18:00']],
    ['2025-10-26', '2025-10-27', ['00:00', '06:00', '12:00', '18:00']],
    ['2025-10-25', '2025-10-28', ['Sat 25 Oct', 'Sun 26 Oct', 'Mon 27 Oct']],
    ['2025-10-01', '2025-11-01', ['6 Oct', '13 Oct', '20 Oct', '27 Oct']],
    ['2025-01-15', '2025-05-15', ['Feb', 'Mar', 'Apr', 'May']],
    ['2019-06-01', '2023-06-01', ['2020', '2021', '2022', '2023']],
  ])('of %s to %s', (from, until, labels) => {
    expect(axisOf(span(from, until), london).ticks.map(({ label }) => label)).toEqual(labels);
  });

  it('lie in it, in order', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 20_000 * DAY }),
        fc.integer({ min: 60_000, max: 4_000 * DAY }),
        (start, length) => {
          const { from, until, ticks } = axisOf({ start, end: start + length }, london);
          const times = ticks.map((tick) => tick.at);
          expect(times).toEqual(times.toSorted((a, b) => a - b));
          for (const time of times) expect(time >= from && time < until).toBe(true);
          expect(ticks.length).toBeLessThan(40);
        },
      ),
    );
  });
});
