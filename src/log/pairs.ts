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
 *
 * Pairs in tenths are numbered by temperature, and by humidity where that is the same. So what readings that follow
 * each other look up stands close together, and what hangs on the temperature alone comes again and again.
 */
export function pairsOf(log: Values): Pairs {
  const before = known.get(log);
  if (before !== undefined) return before;
  const { length } = log;
  const search: Search = {
    log,
    of: new Uint32Array(length),
    met: new Uint32Array(length < WORTHWHILE ? 0 : PLACES),
    alone: new Uint32Array(length),
    count: 0,
    lowest: PLACES,
    highest: 0,
  };
  inBlocks(length, (from, until) => findPlaces(search, from, until));
  const { alone } = search;
  const places = numberPlaces(search);
  const count = 1 + places + search.count;
  const pairs: Pairs = {
    count,
    of: search.of,
    temperature: new Float64Array(count).fill(Number.NaN, 0, 1),
    humidity: new Float64Array(count).fill(Number.NaN, 0, 1),
  };
  putPlaces(pairs, search);
  for (let i = 0; i < search.count; i++) {
    pairs.temperature[1 + places + i] = log.temperature[alone[i]!]!;
    pairs.humidity[1 + places + i] = log.humidity[alone[i]!]!;
  }
  inBlocks(length, (from, until) => numberRows(search, places, from, until));
  known.set(log, pairs);
  return pairs;
}

interface Search {
  readonly log: Values;
  /** By row 0, or one more than the place of its pair, or than `PLACES` and how many before it stand alone. */
  readonly of: Uint32Array;
  /** By place whether the pair was met, later its number; of no length where pairs are not looked for. */
  readonly met: Uint32Array;
  /** Rows that have a number of their own, and how many there are. */
  readonly alone: Uint32Array;
  count: number;
  /** The first and the last place that was met: no others are gone through, since memory that is looked at is taken. */
  lowest: number;
  highest: number;
}

function findPlaces(search: Search, from: number, until: number): void {
  const { log, of, met, alone } = search;
  const { temperature, humidity } = log;
  let { count, lowest, highest } = search;
  for (let i = from; i < until; i++) {
    const t = temperature[i]!;
    const u = humidity[i]!;
    const place = met.length === 0 ? -1 : placeOf(t, u);
    if (place >= 0) {
      met[place] = 1;
      of[i] = 1 + place;
      lowest = Math.min(lowest, place);
      highest = Math.max(highest, place);
    } else if (!Number.isNaN(t + u)) {
      alone[count] = i;
      of[i] = 1 + PLACES + count++;
    }
  }
  search.count = count;
  search.lowest = lowest;
  search.highest = highest;
}

/** Numbers the places that were met, from 1 on. @returns how many they are */
function numberPlaces({ met, lowest, highest }: Search): number {
  let count = 0;
  for (let place = lowest; place <= highest; place++) if (met[place] === 1) met[place] = ++count;
  return count;
}

/** Puts down what the pairs in tenths are made of. */
function putPlaces({ temperature, humidity }: Pairs, { met, lowest, highest }: Search): void {
  for (let place = lowest; place <= highest; place++) {
    const number = met[place]!;
    if (number === 0) continue;
    temperature[number] = (Math.trunc(place / ROW) + STEPS_PER_UNIT * COLDEST) / STEPS_PER_UNIT;
    humidity[number] = (place % ROW) / STEPS_PER_UNIT;
  }
}

function numberRows({ of, met }: Search, places: number, from: number, until: number): void {
  for (let i = from; i < until; i++) {
    const found = of[i]!;
    if (found > PLACES) of[i] = found - PLACES + places;
    else if (found > 0) of[i] = met[found - 1]!;
  }
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
