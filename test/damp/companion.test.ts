import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { companionTemperature } from '../../src/damp/companion.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { logOf, minutes } from '../period/logOf.js';
import { randomLog } from '../period/randomLog.js';

const at = (...times: number[]) => Float64Array.from(times, (time) => time * MINUTE);

describe('companion temperature', () => {
  const log = logOf([
    [minutes(10), 4, NaN],
    [minutes(20), NaN, 50],
    [minutes(30), 8, NaN],
    [minutes(90), 20, 50],
    [minutes(100), 22, 50],
  ]);
  const companion = { log, bridge: minutes(20) };

  it('lies on the line between readings, their humidity or a missing value notwithstanding', () => {
    const { values } = companionTemperature(at(10, 15, 20, 30, 95), companion);
    expect([...values]).toEqual([4, 5, 6, 8, 21]);
  });

  it('is unknown in a hole, before the first reading and after the last, but not at them', () => {
    const { values } = companionTemperature(at(9, 10, 30, 31, 60, 89, 90, 100, 101), companion);
    expect([...values]).toEqual([NaN, 4, 8, NaN, NaN, NaN, 20, 22, NaN]);
  });

  it('tells instants with a hole between them from such without', () => {
    const { starts } = companionTemperature(at(10, 30, 90, 100), companion);
    expect([...starts]).toEqual([2]);
  });

  it('is nowhere where there is no companion, or an empty one', () => {
    for (const none of [null, { log: logOf([]), bridge: HOUR }]) {
      expect([...companionTemperature(at(0, 10), none).values]).toEqual([NaN, NaN]);
    }
  });

  it('is that of the obvious search', () => {
    const times = fc
      .array(fc.integer({ min: 0, max: 1500 }), { maxLength: 60 })
      .map((all) => at(...all.sort((a, b) => a - b)));
    fc.assert(
      fc.property(randomLog, times, (other, time) => {
        const rows = [...other.time]
          .map((when, i) => ({ when, t: other.temperature[i]! }))
          .filter(({ t }) => !Number.isNaN(t));
        const holes = rows.slice(1).map((row, k) => [rows[k]!.when, row.when] as const);
        const long = holes.filter(([from, until]) => until - from > HOUR);
        const { values, starts } = companionTemperature(time, { log: other, bridge: HOUR });
        time.forEach((when, i) => {
          const before = rows.findLast((row) => row.when <= when);
          const after = rows.find((row) => row.when >= when);
          if (before === undefined || after === undefined || after.when - before.when > HOUR) {
            expect(values[i]).toBeNaN();
          } else {
            const share = after === before ? 0 : (when - before.when) / (after.when - before.when);
            expect(values[i]).toBeCloseTo(before.t + share * (after.t - before.t), 9);
          }
          const next = time[i + 1];
          if (next === undefined || Number.isNaN(values[i]! + values[i + 1]!)) return;
          const between = long.some(([from, until]) => from < next && until > when);
          expect(starts.includes(i + 1)).toBe(between);
        });
      }),
      { numRuns: 300 },
    );
  });
});
