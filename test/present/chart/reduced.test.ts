import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { reduced } from '../../../src/present/chart/reduced.js';

const axis = { from: 0, until: 1000 };
const COLUMNS = 10;

/** Series with gaps and equal values, some of it off the axis. */
const series = fc
  .array(
    fc.tuple(
      fc.integer({ min: -50, max: 1050 }),
      fc.oneof({ weight: 4, arbitrary: fc.integer({ min: -9, max: 9 }) }, fc.constant(Number.NaN)),
    ),
    { maxLength: 400 },
  )
  .map((rows) => rows.sort(([a], [b]) => a - b))
  .map((rows) => ({
    time: Float64Array.from(rows, ([at]) => at),
    values: Float64Array.from(rows, ([, value]) => value),
  }));

interface Series {
  readonly time: Float64Array;
  readonly values: Float64Array;
}
const rowsOf = ({ time, values }: Series) => [...time].map((at, i) => [at, values[i]!] as const);
const shownOf = (given: Series) =>
  rowsOf(given).filter(([at, value]) => at >= 0 && at <= 1000 && !Number.isNaN(value));
const columnOf = (at: number) => Math.floor((at * COLUMNS) / 1000);

describe('a reduced series', () => {
  it('has the first, last, lowest and highest value of every column, at their times', () => {
    fc.assert(
      fc.property(series, (given) => {
        const few = rowsOf(reduced(given.time, given.values, axis, COLUMNS));
        for (let column = 0; column <= COLUMNS; column++) {
          const all = shownOf(given).filter(([at]) => columnOf(at) === column);
          const kept = few.filter(([at, value]) => columnOf(at) === column && !Number.isNaN(value));
          expect(kept.length).toBeLessThanOrEqual(4);
          if (all.length === 0) continue;
          const lowest = Math.min(...all.map(([, value]) => value));
          const highest = Math.max(...all.map(([, value]) => value));
          expect(kept[0]).toEqual(all[0]);
          expect(kept.at(-1)).toEqual(all.at(-1));
          expect(kept).toContainEqual(all.find(([, value]) => value === lowest));
          expect(kept).toContainEqual(all.find(([, value]) => value === highest));
        }
      }),
    );
  });

  it('is made of readings that there were, in their order', () => {
    fc.assert(
      fc.property(series, (given) => {
        const kept = shownOf(reduced(given.time, given.values, axis, COLUMNS));
        const all = shownOf(given);
        let at = -1;
        for (const row of kept) {
          at = all.findIndex((one, i) => i > at && one[0] === row[0] && one[1] === row[1]);
          expect(at).toBeGreaterThanOrEqual(0);
        }
      }),
    );
  });

  it('never joins two readings between which one is missing', () => {
    const distinct = series.filter(({ time }) => new Set(time).size === time.length);
    fc.assert(
      fc.property(distinct, (given) => {
        const few = rowsOf(reduced(given.time, given.values, axis, COLUMNS));
        for (let i = 1; i < few.length; i++) {
          const [from, before] = few[i - 1]!;
          const [until, after] = few[i]!;
          if (Number.isNaN(before) || Number.isNaN(after)) continue;
          const between = rowsOf(given).filter(([at]) => at > from && at < until);
          expect(between.filter(([, value]) => Number.isNaN(value))).toEqual([]);
        }
      }),
    );
  });

  it('joins what was joined: as many breaks as before where columns are as fine as the readings', () => {
    const time = Float64Array.from({ length: 10 }, (_, i) => i * 100);
    const values = Float64Array.of(1, 2, Number.NaN, Number.NaN, 3, 4, 5, Number.NaN, 6, 7);
    const few = reduced(time, values, axis, COLUMNS);
    expect([...few.values]).toEqual([1, 2, Number.NaN, 3, 4, 5, Number.NaN, 6, 7]);
  });

  it('of nothing, or of gaps alone, is nothing', () => {
    expect(reduced(new Float64Array(), new Float64Array(), axis, COLUMNS).time).toHaveLength(0);
    const gaps = Float64Array.of(Number.NaN, Number.NaN);
    expect(reduced(Float64Array.of(1, 2), gaps, axis, COLUMNS).time).toHaveLength(0);
  });
});
