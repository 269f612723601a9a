import type { Celsius, Percent } from '../units.js';
import { inBlocks } from './blocks.js';
import type { Log } from './log.js';

type Values = Pick<Log, 'temperature' | 'humidity' | 'length'>;

/**
 * The pairs of temperature and humidity that a log holds, numbered from 1 on; number 0 is for readings that lack
 * either. What hangs on the two alone is worked out once a pair and kept in a table: a year of readings in tenths
 * has some 60,000 pairs, ten years hardly more.
 */
export interface Pairs {
  /** How many numbers are in use, 0 among them. */
  readonly count: number;
  /** The number of each reading's pair. */
  readonly of: Uint32Array;
  /** By number, what the pair is made of [°C, %]; NaN for number 0. */
  readonly temperature: Float64Array;
  readonly humidity: Float64Array;
}

/** Steps in which most sensors tell: a tenth of a kelvin and of a percent. */
const STEPS_PER_UNIT = 10;
/** What a memory by place is laid out for [°C, %]: more than air has. It takes 4 MB, of which a log touches a part. */
const COLDEST = -40;
const HOTTEST = 60;
const DAMPEST = 104;

const ROW = STEPS_PER_UNIT * DAMPEST + 1;
const ROWS = STEPS_PER_UNIT * (HOTTEST - COLDEST) + 1;

/** In fewer readings than this it takes longer to look for pairs that come again than to work out each. */
const WORTHWHILE = 10_000;

/** Logs are not written to once they are cleaned, and several ask for the pairs of one. */
const known = new WeakMap<Values, Pairs>();

/**
 * Two readings have one number where they carry the same temperature and the same humidity, both in tenths. One that
 * is not in tenths, or of no usual air, has a number of its own.
 */
export function pairsOf(log: Values): Pairs {
  const before = known.get(log);
  if (before !== undefined) return before;
  const { length } = log;
  const search: Search = {
    log,
    of: new Uint32Array(length),
    first: new Uint32Array(length + 1),
    met: length < WORTHWHILE ? null : new Uint32Array(PLACES),
  };
  let count = 1;
  inBlocks(length, (from, until) => {
    count = numberPairs(search, count, from, until);
  });
  const pairs: Pairs = {
    count,
    of: search.of,
    temperature: valuesAt(log.temperature, search.first, count),
    humidity: valuesAt(log.humidity, search.first, count),
  };
  known.set(log, pairs);
  return pairs;
}

interface Search {
  readonly log: Values;
  readonly of: Uint32Array;
  /** By number the row that it was first met in. */
  readonly first: Uint32Array;
  /** The number of each pair in tenths, 0 where it was not met; null where it is not asked for. */
  readonly met: Uint32Array | null;
}

/** @returns the next free number */
function numberPairs({ log, of, first, met }: Search, next: number, from: number, until: number): number {
  const { temperature, humidity } = log;
  let count = next;
  for (let i = from; i < until; i++) {
    const t = temperature[i]!;
    const u = humidity[i]!;
    const place = met === null ? -1 : placeOf(t, u);
    const number = place < 0 ? 0 : met![place]!;
    if (number > 0) of[i] = number;
    else if (!Number.isNaN(t + u)) {
      if (place >= 0) met![place] = count;
      first[count] = i;
      of[i] = count++;
    }
  }
  return count;
}

/** So many places are there for pairs in tenths. */
export const PLACES = ROWS * ROW;

/** The place of a pair among all in tenths that usual air may have; -1 for one that is not of these. */
export function placeOf(temperature: Celsius, humidity: Percent): number {
  const t = Math.round(temperature * STEPS_PER_UNIT);
  const u = Math.round(humidity * STEPS_PER_UNIT);
  const isUsual =
    t / STEPS_PER_UNIT === temperature &&
    u / STEPS_PER_UNIT === humidity &&
    temperature >= COLDEST &&
    temperature <= HOTTEST &&
    humidity >= 0 &&
    humidity <= DAMPEST;
  return isUsual ? (t - STEPS_PER_UNIT * COLDEST) * ROW + u : -1;
}

function valuesAt(column: Float64Array, rows: Uint32Array, count: number): Float64Array {
  const values = new Float64Array(count);
  values[0] = Number.NaN;
  for (let number = 1; number < count; number++) values[number] = column[rows[number]!]!;
  return values;
}

/** What hangs on temperature and humidity alone, by the number of the pair; NaN where either is missing. */
export function tableOf(
  { count, temperature, humidity }: Pairs,
  of: (temperature: Celsius, humidity: Percent) => number,
): Float64Array {
  const table = new Float64Array(count);
  table[0] = Number.NaN;
  for (let number = 1; number < count; number++) table[number] = of(temperature[number]!, humidity[number]!);
  return table;
}

/** The same for each reading. */
export function columnOf({ of }: Pairs, table: Float64Array): Float64Array {
  const column = new Float64Array(of.length);
  inBlocks(of.length, (from, until) => {
    fill(column, of, table, from, until);
  });
  return column;
}

function fill(column: Float64Array, of: Uint32Array, table: Float64Array, from: number, until: number): void {
  for (let i = from; i < until; i++) column[i] = table[of[i]!]!;
}
