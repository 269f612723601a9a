import type { Celsius, Percent } from '../units.js';
import { inBlocks } from './blocks.js';
import type { Log } from './log.js';
import { type PlaceLook, placeLook } from './pairLook.js';
import { Found, Place } from './pairTerms.js';

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
  const { length, temperature, humidity } = log;
  const look = length < WORTHWHILE ? null : placeLook();
  const of = new Uint32Array(length);
  const alone: Alone = { rows: new Uint32Array(length), count: 0 };
  look?.bounds.set([Place.count, 0]);
  inBlocks(length, (from, until) => {
    if (look === null) findAlone(log, of, alone, from, until);
    else findPlaces(look, log, of, alone, from, until);
  });
  const places = look === null ? 0 : numberPlaces(look);
  const count = 1 + places + alone.count;
  const pairs: Pairs = {
    count,
    of,
    temperature: new Float64Array(count).fill(Number.NaN, 0, 1),
    humidity: new Float64Array(count).fill(Number.NaN, 0, 1),
  };
  if (look !== null) putPlaces(pairs, look);
  for (let i = 0; i < alone.count; i++) {
    pairs.temperature[1 + places + i] = temperature[alone.rows[i]!]!;
    pairs.humidity[1 + places + i] = humidity[alone.rows[i]!]!;
  }
  inBlocks(length, (from, until) => numberRows(look?.met ?? NOWHERE, places, of, from, until));
  // as it was found
  look?.met.fill(0, look.bounds[0], look.bounds[1]! + 1);
  known.set(log, pairs);
  return pairs;
}

/** Rows that have a number of their own. By row, one more than the number of places and how many before it have. */
interface Alone {
  readonly rows: Uint32Array;
  count: number;
}

/** Finds the rows that have both values; all of them stand alone. */
function findAlone(
  { temperature, humidity }: Values,
  of: Uint32Array,
  alone: Alone,
  from: number,
  until: number,
): void {
  for (let i = from; i < until; i++)
    of[i] = Number.isNaN(temperature[i]! + humidity[i]!) ? Found.nothing : Found.alone;
  addAlone(alone, of, from, until);
}

/** Finds the places of pairs, and rows that stand alone. */
function findPlaces(
  look: PlaceLook,
  { temperature, humidity }: Values,
  of: Uint32Array,
  alone: Alone,
  from: number,
  until: number,
): void {
  look.temperature.set(temperature.subarray(from, until));
  look.humidity.set(humidity.subarray(from, until));
  const count = look.findPlaces(until - from);
  of.set(look.numbers.subarray(0, until - from), from);
  if (count > 0) addAlone(alone, of, from, until);
}

function addAlone(alone: Alone, of: Uint32Array, from: number, until: number): void {
  for (let i = from; i < until; i++) {
    if (of[i] !== Found.alone) continue;
    alone.rows[alone.count] = i;
    of[i] = 1 + Place.count + alone.count++;
  }
}

/** Numbers the places that were met, from 1 on. @returns how many they are */
function numberPlaces({ met, bounds }: PlaceLook): number {
  const [lowest, highest] = bounds as unknown as [number, number];
  let count = 0;
  for (let place = lowest; place <= highest; place++) if (met[place] === 1) met[place] = ++count;
  return count;
}

/** Puts down what the pairs in tenths are made of. */
function putPlaces({ temperature, humidity }: Pairs, { met, bounds }: PlaceLook): void {
  const [lowest, highest] = bounds as unknown as [number, number];
  for (let place = lowest; place <= highest; place++) {
    const number = met[place]!;
    if (number === 0) continue;
    temperature[number] =
      (Math.trunc(place / Place.row) + Place.stepsPerUnit * Place.coldest) / Place.stepsPerUnit;
    humidity[number] = (place % Place.row) / Place.stepsPerUnit;
  }
}

const NOWHERE = new Uint32Array(0);

function numberRows(met: Uint32Array, places: number, of: Uint32Array, from: number, until: number): void {
  for (let i = from; i < until; i++) {
    const found = of[i]!;
    if (found > Place.count) of[i] = found - Place.count + places;
    else if (found > 0) of[i] = met[found - 1]!;
  }
}

/** The place of a pair among all in tenths that usual air may have; -1 for one that is not of these. */
export function placeOf(temperature: Celsius, humidity: Percent): number {
  const t = Math.round(temperature * Place.stepsPerUnit);
  const u = Math.round(humidity * Place.stepsPerUnit);
  const isUsual =
    t / Place.stepsPerUnit === temperature &&
    u / Place.stepsPerUnit === humidity &&
    temperature >= Place.coldest &&
    temperature <= Place.hottest &&
    humidity >= 0 &&
    humidity <= Place.dampest;
  return isUsual ? (t - Place.stepsPerUnit * Place.coldest) * Place.row + u : -1;
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
