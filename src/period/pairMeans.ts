import type { Period } from '../calendar/period.js';
import { BLOCK } from '../log/blocks.js';
import type { CleanLog } from '../log/log.js';
import { type AreaLook, areaLook } from '../log/pairLook.js';
import { columnOf, pairsOf } from '../log/pairs.js';
import { Most } from '../log/pairTerms.js';
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
 * Means of what is known for each pair of values, on the straight lines between joined readings. All
 * quantities are summed at once: what a pair has stands together.
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
  const look = areaLook(pairs.count * tables.length);
  for (const [i, table] of tables.entries()) putTable(look.entries, table, i, tables.length);
  const known = alongJoined(time, temperature, humidity, periods, bridge, {
    run(first, last, p) {
      for (let row = first; row < last; row += BLOCK)
        addAreas(integrals, p, look, time, numbers, row, Math.min(row + BLOCK, last));
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

function putTable(entries: Float64Array, table: Float64Array, i: number, width: number): void {
  for (let number = 0, at = i; number < table.length; number++, at += width) entries[at] = table[number]!;
}

/** Adds to the integrals of a period those over the rows [first, last], a block of them at most. */
function addAreas(
  integrals: readonly Float64Array[],
  p: number,
  look: AreaLook,
  time: Float64Array,
  numbers: Uint32Array,
  first: number,
  last: number,
): void {
  const width = integrals.length;
  look.time.set(time.subarray(first, last + 1));
  look.numbers.set(numbers.subarray(first, last + 1));
  for (let from = 0; from < width; from += Most.tables) {
    look.sumAreas(
      last - first,
      Float64Array.BYTES_PER_ELEMENT * width,
      Float64Array.BYTES_PER_ELEMENT * from,
    );
    const until = Math.min(from + Most.tables, width);
    for (let i = from; i < until; i++) integrals[i]![p]! += look.sums[i - from]!;
  }
}
