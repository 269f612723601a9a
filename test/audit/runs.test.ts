import { assert, constantFrom, property, record, array as several, tuple } from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Points } from '../../src/audit/points.js';
import { lengthOf, type Run, runsOf, type Unchanged, unusualOf } from '../../src/audit/runs.js';
import { piecesOf } from '../../src/log/pieces.js';

const REACH = 3;

/** Few values that change seldom, at intervals that now and then are longer than the reach. */
const readings = several(
  record({
    value: constantFrom(1, 2),
    partner: constantFrom(5, 6, NaN),
    flag: constantFrom(1, 1, 1, 4),
    times: constantFrom(1, 2, 7, 15),
    interval: constantFrom(1, 1, 1, 1, 2, 3, 4),
  }),
  { maxLength: 12 },
).map((stretches) => stretches.flatMap(({ times, ...each }) => Array.from({ length: times }, () => each)));

function pointsOf(
  rows: readonly { value: number; partner: number; flag: number; interval: number }[],
): Points {
  let now = 0;
  return {
    quantity: 'air_temperature',
    count: rows.length,
    rows: piecesOf(rows.length === 0 ? [] : [0, rows.length]),
    times: Float64Array.from(rows, ({ interval }) => (now += interval)),
    values: Float64Array.from(rows, ({ value }) => value),
    partners: Float64Array.from(rows, ({ partner }) => partner),
    partnerFlags: Uint8Array.from(rows, ({ flag }) => flag),
  };
}

/** Every stretch, found by a look at every point. */
function allRuns(
  { count, times, values, partners, partnerFlags }: Points,
  { reach, both }: Unchanged,
): Run[] {
  const runs: { first: number; last: number }[] = [];
  for (let at = 0; at < count; at++) {
    const isSame =
      at > 0 &&
      values[at] === values[at - 1] &&
      times[at]! - times[at - 1]! <= reach &&
      (!both || (partners[at] === partners[at - 1] && partnerFlags[at]! < 4 && partnerFlags[at - 1]! < 4));
    if (isSame) runs.at(-1)!.last = at;
    else runs.push({ first: at, last: at });
  }
  return runs;
}

describe('stretches without a change', () => {
  it('are found in strides as by a look at every point', () => {
    const how = record({ reach: constantFrom(REACH), both: constantFrom(true, false) });
    const asked = tuple(constantFrom(2, 3, 6), constantFrom(0, 5, 9, 20));
    assert(
      property(readings, how, asked, (rows, unchanged, [least, lasting]) => {
        const points = pointsOf(rows);
        const long = allRuns(points, unchanged).filter(
          ({ first, last }) =>
            last - first + 1 >= least && points.times[last]! - points.times[first]! >= lasting,
        );
        expect(runsOf(points, least, lasting, unchanged)).toEqual(long);
      }),
      { numRuns: 500 },
    );
  });

  it.each([
    ['none but the three longest', [1, 1, 2, 5, 9, 9], 2],
    ['none of three', [4, 5, 6], 0],
    ['one in a hundred', [...Array.from({ length: 995 }, () => 1), 3, 3, 3, 3, 3, 3, 3, 7, 7, 7, 7], 3],
  ])('are longer than usual: %s', (_, lengths, usual) => {
    const rows = lengths.flatMap((length, i) =>
      Array.from({ length }, () => ({ value: i % 2, partner: 5, flag: 1, interval: 1 })),
    );
    const points = pointsOf(rows);
    const how = { reach: REACH, both: false };
    for (const times of [1, 2]) {
      // of single points none is asked
      const runs = allRuns(points, how).filter((run) => lengthOf(run) >= 2 * times);
      const longer = runs.filter((run) => lengthOf(run) > times * usual);
      expect(unusualOf(points, runs, times, how)).toEqual(longer);
    }
  });
});
