import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { standingDamp, trailingMeans } from '../../src/damp/runningMean.js';
import { DAY, HOUR } from '../../src/units.js';
import { hours, logOf, type Row, sampled } from '../period/logOf.js';
import { randomLog } from '../period/randomLog.js';

const days = (count: number) =>
  Array.from({ length: count }, (_, day) => ({ start: day * DAY, end: (day + 1) * DAY }));

/** Days of one climate each, hourly, changing within a millisecond at midnight. */
function climates(...each: readonly (readonly [days: number, temperature: number, humidity: number])[]) {
  const rows: Row[] = [];
  let time = 0;
  for (const [count, temperature, humidity] of each) {
    const end = time + count * DAY;
    for (; time < end; time += HOUR) rows.push([time, temperature, humidity]);
    rows.push([end - 1, temperature, humidity]);
  }
  return logOf(rows.concat([[time, rows.at(-1)![1], rows.at(-1)![2]]]));
}

describe('standingDamp', () => {
  it('fails after 30 days at 10 °C and 81 %, on the 30th', () => {
    expect(standingDamp(climates([30, 10, 81]), days(30), HOUR)).toEqual({
      failing: 1,
      firstFailing: { start: 29 * DAY, end: 30 * DAY },
      undecided: 29,
    });
  });

  it('passes with one day of 40 % among them, at a mean of 79.63 %', () => {
    const course = climates([29, 10, 81], [1, 10, 40]);
    const { humidity } = trailingMeans(course, Float64Array.of(30 * DAY), 30 * DAY, HOUR);
    expect(humidity[0]).toBeCloseTo(79.6333, 4);
    expect(standingDamp(course, days(30), HOUR)).toMatchObject({ failing: 0, firstFailing: null });
  });

  it.each([
    { why: 'exactly 80 % fails', t: 10.3, u: 80, fails: true },
    { why: 'just below passes', t: 10.3, u: 79.99, fails: false },
    { why: '5 °C fails', t: 5, u: 90, fails: true },
    { why: 'colder passes', t: 4.9, u: 90, fails: false },
    { why: '40 °C fails', t: 40, u: 90, fails: true },
    { why: 'hotter passes', t: 40.1, u: 90, fails: false },
  ])('$why', ({ t, u, fails }) => {
    const { failing, undecided } = standingDamp(climates([33, t, u]), days(33), HOUR);
    expect({ failing, undecided }).toEqual({ failing: fails ? 4 : 0, undecided: 29 });
  });

  it('looks back on 30 days only', () => {
    const { failing, firstFailing } = standingDamp(
      climates([30, 10, 60], [30, 10, 90], [30, 10, 60]),
      days(90),
      HOUR,
    );
    // The mean is 80 % with 20 of 30 days at 90 %: from the 50th day to the 70th.
    expect({ failing, first: firstFailing!.start / DAY }).toEqual({ failing: 21, first: 49 });
  });

  it('gives no verdict with less than 80 % known', () => {
    const whole = climates([40, 10, 90]);
    const without = (from: number, until: number) => {
      const humidity = whole.humidity.map((u, i) =>
        whole.time[i]! > from && whole.time[i]! < until ? NaN : u,
      );
      return standingDamp({ ...whole, humidity }, days(40), HOUR);
    };
    expect(without(10 * DAY, 16 * DAY)).toMatchObject({ failing: 11, undecided: 29 });
    expect(without(10 * DAY, 16 * DAY + 2 * HOUR)).toMatchObject({ undecided: 40 });
  });

  it('lets a log begin a reading late', () => {
    const late = sampled(HOUR / 2, 30 * DAY, HOUR / 2, () => [10, 81]);
    expect(standingDamp(late, days(30), HOUR)).toMatchObject({ failing: 1 });
    expect(standingDamp(late, days(30), HOUR / 4)).toMatchObject({ failing: 0, undecided: 30 });
  });

  it('says nothing about no readings', () => {
    expect(standingDamp(logOf([]), days(3), HOUR)).toEqual({ failing: 0, firstFailing: null, undecided: 3 });
  });
});

describe('trailingMeans', () => {
  it('agree with the plain sum over the pieces of each window', () => {
    const slow = (
      log: { time: Float64Array; temperature: Float64Array; humidity: Float64Array },
      from: number,
      until: number,
    ) => {
      const good = [...log.time.keys()].filter((i) => !Number.isNaN(log.temperature[i]! + log.humidity[i]!));
      let [known, heat, damp] = [0, 0, 0];
      good.slice(1).forEach((j, k) => {
        const i = good[k]!;
        const span = log.time[j]! - log.time[i]!;
        const [a, b] = [Math.max(from, log.time[i]!), Math.min(until, log.time[j]!)];
        if (span > HOUR || b <= a) return;
        const along = ((a + b) / 2 - log.time[i]!) / span;
        known += b - a;
        heat += (b - a) * (log.temperature[i]! * (1 - along) + log.temperature[j]! * along);
        damp += (b - a) * (log.humidity[i]! * (1 - along) + log.humidity[j]! * along);
      });
      const begun = good.length > 0 && log.time[good[0]!]! - HOUR <= from;
      return begun && known >= 0.8 * (until - from) ? [heat / known, damp / known] : [NaN, NaN];
    };
    let compared = 0;
    fc.assert(
      fc.property(
        randomLog,
        fc.integer({ min: 1, max: 3 }),
        fc.array(fc.integer({ min: 0, max: 900 }), { maxLength: 20 }),
        (log, window, ends) => {
          const at = Float64Array.from(
            ends.sort((a, b) => a - b),
            (minute) => minute * 60_000,
          );
          const { temperature, humidity } = trailingMeans(log, at, hours(window), HOUR);
          at.forEach((end, k) => {
            const [t, u] = slow(log, end - hours(window), end);
            if (Number.isNaN(t)) {
              expect(temperature[k]).toBeNaN();
              expect(humidity[k]).toBeNaN();
              return;
            }
            compared++;
            expect(temperature[k]).toBeCloseTo(t!, 6);
            expect(humidity[k]).toBeCloseTo(u!, 6);
          });
        },
      ),
      { numRuns: 1000, seed: 160 },
    );
    expect(compared).toBeGreaterThan(20);
  });
});
