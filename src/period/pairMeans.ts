import type { Period } from '../calendar/period.js';
import type { CleanLog } from '../log/log.js';
import { columnOf, pairsOf } from '../log/pairs.js';
import type { Milliseconds } from '../units.js';
import { areaUnder, summariseColumn } from './column.js';
import { alongJoined, type JoinedTime } from './joined.js';

/** Means by period of what hangs on temperature and humidity alone. */
export interface PairMeans {
  /** Of the rows that carry both quantities. */
  readonly known: JoinedTime;
  /** By table, then by period: mean over the known time, weighted by time; NaN where no time is known. */
  readonly means: readonly Float64Array[];
}

/**
 * Means of what is known for each pair of values, on the straight lines between joined readings. The rows of a period
 * are gone through for one quantity after the other, while they are at hand.
 *
 * @param log cleaned: one reading per instant, NaN where a value is missing or bad
 * @param tables by number of the pair, from `tableOf` of `pairsOf(log)`; where one has no value for air that was met, it
 *   is as if that reading were missing
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function pairMeans(
  log: CleanLog,
  tables: readonly Float64Array[],
  periods: readonly Period[],
  bridge: Milliseconds,
): PairMeans {
  const { time, temperature, humidity } = log;
  const pairs = pairsOf(log);
  const numbers = pairs.of;
  const integrals = tables.map(() => new Float64Array(periods.length));
  const areas = new Float64Array(2);
  const known = alongJoined(time, temperature, humidity, periods, bridge, {
    run(first, last, p) {
      for (let i = 0; i < tables.length; i += 2) {
        const isLast = i + 1 === tables.length;
        putAreas(areas, time, numbers, tables[i]!, tables[isLast ? i : i + 1]!, first, last);
        integrals[i]![p]! += areas[0]!;
        if (!isLast) integrals[i + 1]![p]! += areas[1]!;
      }
    },
    step(before, after, start, end, p) {
      const one = numbers[before]!;
      const other = numbers[after]!;
      for (let i = 0; i < tables.length; i++) {
        const table = tables[i]!;
        integrals[i]![p]! += areaUnder(table[one]!, table[other]!, time[before]!, time[after]!, start, end);
      }
    },
  });
  const means = tables.map((table, i) => {
    if (!table.subarray(1).includes(Number.NaN)) return meansOf(integrals[i]!, known);
    const own = summariseColumn(time, columnOf(pairs, table), periods, bridge);
    return meansOf(own.integral, own);
  });
  return { known, means };
}

function meansOf(integral: Float64Array, { covered }: JoinedTime): Float64Array {
  return integral.map((sum, p) => sum / covered[p]!);
}

/** The integrals of two tables over the rows [first, last], values looked up by number: rows are gone through half as often. */
function putAreas(
  areas: Float64Array,
  time: Float64Array,
  numbers: Uint32Array,
  one: Float64Array,
  other: Float64Array,
  first: number,
  last: number,
): void {
  let twiceOne = 0;
  let twiceOther = 0;
  let oneBefore = one[numbers[first]!]!;
  let otherBefore = other[numbers[first]!]!;
  for (let row = first + 1; row <= last; row++) {
    const length = time[row]! - time[row - 1]!;
    const number = numbers[row]!;
    const oneHere = one[number]!;
    const otherHere = other[number]!;
    twiceOne += (oneBefore + oneHere) * length;
    twiceOther += (otherBefore + otherHere) * length;
    oneBefore = oneHere;
    otherBefore = otherHere;
  }
  areas[0] = twiceOne / 2;
  areas[1] = twiceOther / 2;
}
