import type { Period } from '../calendar/period.js';
import { rowsTelling } from '../log/bridging.js';
import type { Accuracy } from '../log/sensor.js';
import { add, close, type Tally, tally } from '../period/stretches.js';
import { type Celsius, HOUR, type Milliseconds, type Percent } from '../units.js';
import { nextKnown, type SurfaceCourse } from './surfaceCourse.js';

/** Metal counts as wet above this humidity, unless it freezes (ISO 9223; Norberg, ACS Symposium Series 805). */
export const WET_ABOVE: Percent = 80;
export const LIQUID_ABOVE: Celsius = 0;

/**
 * Some texts count the limit itself as wet, which matters for a sensor that sits on a whole percent. A limit
 * lower by this counts it, and nothing else that could be measured.
 */
const HAIR: Percent = 1e-9;
/** From this difference on the other reading of the limit is worth telling (project rule). */
const WORTH_TELLING = 0.05;

/** How long metal was wet in a period. `expected + dry + unknown` is its length, to the millisecond. */
export interface WetnessSummary {
  readonly period: Period;
  /** Wet for every constant error within the sensor's accuracy [ms]. */
  readonly certain: Milliseconds;
  /** Wet as measured [ms]. */
  readonly expected: Milliseconds;
  /** Wet for some constant error within the sensor's accuracy [ms]. */
  readonly possible: Milliseconds;
  readonly dry: Milliseconds;
  readonly unknown: Milliseconds;
  /** Wet as measured if exactly 80 % counts as wet [ms]; null unless this is over 5 % more. */
  readonly withLimit: Milliseconds | null;
}

export interface WetnessOptions {
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  readonly accuracy: Accuracy;
}

/**
 * Time of wetness by ISO 9223: surface above 0 °C and relative humidity above 80 %, both on straight lines
 * between neighbouring readings no further apart than the bridging limit, ends to the millisecond.
 *
 * Either condition holds for longer the higher the value read. So, for constant errors within the accuracy,
 * the least time is that with both limits raised by it, and the most that with both lowered.
 *
 * The source calls it unreliable below 0 °C, with salt or pollution, and where radiation makes surfaces differ
 * from the air.
 *
 * @param periods in order of time, none overlapping another
 */
export function timeOfWetness(
  course: SurfaceCourse,
  periods: readonly Period[],
  { bridge, accuracy }: WetnessOptions,
): WetnessSummary[] {
  const { time } = course;
  const known = tally(periods);
  const accounts = CONDITIONS.map(() => tally(periods));
  const damp = CONDITIONS.map(({ errors, hair }) => WET_ABOVE - errors * accuracy.humidity - hair);
  const warm = CONDITIONS.map(({ errors }) => LIQUID_ABOVE - errors * accuracy.temperature);
  const limits: Limits = { damp: Float64Array.from(damp), warm: Float64Array.from(warm) };
  const { first, end } = rowsTelling(time, periods, bridge);
  let i = nextKnown(course, first);
  while (i < end) {
    let j = nextKnown(course, i + 1);
    if (j < time.length && time[j]! - time[i]! <= bridge) {
      const code = codeOf(course, limits, i, j);
      if (code < CROSSED) j = goOn(course, limits, bridge, j, code);
      add(known, time[i]!, time[j]!);
      for (let k = 0; k < accounts.length; k++) {
        if ((code & (1 << k)) !== 0) add(accounts[k]!, time[i]!, time[j]!);
        else if ((code & (CROSSED << k)) !== 0) book(accounts[k]!, course, i, j, damp[k]!, warm[k]!);
      }
    }
    i = j;
  }
  for (const each of [known, ...accounts]) close(each);
  const [certain, expected, possible, withLimit] = accounts as [Tally, Tally, Tally, Tally];
  return periods.map((period, p) => ({
    period,
    certain: certain.time[p]!,
    expected: expected.time[p]!,
    possible: possible.time[p]!,
    dry: known.time[p]! - expected.time[p]!,
    unknown: period.end - period.start - known.time[p]!,
    withLimit: withLimit.time[p]! > (1 + WORTH_TELLING) * expected.time[p]! ? withLimit.time[p]! : null,
  }));
}

/** What is told of each period: certain, expected, possible, and with the limit itself. */
const CONDITIONS = [
  { errors: -1, hair: 0 },
  { errors: 0, hair: 0 },
  { errors: 1, hair: 0 },
  { errors: 0, hair: HAIR },
];

/** Of each condition, above what humidity [%] and what temperature [°C] it holds. */
interface Limits {
  readonly damp: Float64Array;
  readonly warm: Float64Array;
}

/** A code has, from the lowest on, a bit for each condition that holds all the time, and from here on for each that may begin or end. */
const CROSSED = 1 << CONDITIONS.length;

/** How the time between rows `i` and `j` stands to the conditions. */
function codeOf(
  { temperature, humidity }: SurfaceCourse,
  { damp, warm }: Limits,
  i: number,
  j: number,
): number {
  let code = 0;
  for (let k = 0; k < damp.length; k++) {
    const before = humidity[i]! > damp[k]! && temperature[i]! > warm[k]!;
    const after = humidity[j]! > damp[k]! && temperature[j]! > warm[k]!;
    if (before && after) code |= 1 << k;
    else if (humidity[i]! > damp[k]! || humidity[j]! > damp[k]!) code |= CROSSED << k;
  }
  return code;
}

/** The row up to which, from row `from` on, nothing is missing and each step has this code. */
function goOn(
  course: SurfaceCourse,
  limits: Limits,
  bridge: Milliseconds,
  from: number,
  code: number,
): number {
  const { time, temperature, humidity } = course;
  let i = from;
  for (; i + 1 < time.length; i++) {
    if (!(time[i + 1]! - time[i]! <= bridge) || Number.isNaN(temperature[i + 1]! + humidity[i + 1]!)) break;
    if (codeOf(course, limits, i, i + 1) !== code) break;
  }
  return i;
}

/** Books the time between rows `i` and `j` in which humidity and temperature both lie above their limits. */
function book(
  account: Tally,
  { time, temperature, humidity }: SurfaceCourse,
  i: number,
  j: number,
  damp: Percent,
  warm: Celsius,
): void {
  const start = time[i]!;
  const length = time[j]! - start;
  const dampFrom = lineAbove(length, humidity[i]!, humidity[j]!, damp);
  const warmFrom = lineAbove(length, temperature[i]!, temperature[j]!, warm);
  const dampUntil = length - lineAbove(length, humidity[j]!, humidity[i]!, damp);
  const warmUntil = length - lineAbove(length, temperature[j]!, temperature[i]!, warm);
  add(account, start + Math.max(dampFrom, warmFrom), start + Math.min(dampUntil, warmUntil));
}

/** How long the line from `before` to `after` takes to be above the limit, to the millisecond; `length` if never. */
function lineAbove(length: Milliseconds, before: number, after: number, limit: number): Milliseconds {
  if (before > limit) return 0;
  if (!(after > limit)) return length;
  return Math.round((length * (limit - before)) / (after - before));
}

/** Classes by hours of wetness in a year, each up to and with its limit (ISO 9223; 2500 and 5500 from memory). */
const CLASS_LIMITS = [
  ['tau1', 10],
  ['tau2', 250],
  ['tau3', 2500],
  ['tau4', 5500],
  ['tau5', Number.POSITIVE_INFINITY],
] as const;
export type WetnessClass = (typeof CLASS_LIMITS)[number][0];

/**
 * Class of a surface by its hours of wetness in a year. The limits are hours; the percentages printed beside
 * them elsewhere do not agree with them exactly (5500 h are 62.8 % of a year, not 60).
 *
 * @param hours in a year, 0 or more; else null
 * @example wetnessClass(2628) // 'tau4'
 */
export function wetnessClass(hours: number): WetnessClass | null {
  if (!(hours >= 0)) return null;
  return CLASS_LIMITS.find(([, limit]) => hours <= limit)![0];
}

/** The year that the classes are made for. */
const YEAR_HOURS = 8760;
/** With less of a year known, its season decides and not the place (project rule). */
const ENOUGH_OF_YEAR = 0.8;

/** Hours of wetness in a year, as an interval, and the class if it may be told. */
export interface YearlyWetness {
  readonly class: WetnessClass | null;
  readonly lowest: number;
  readonly highest: number;
}

/**
 * What a time of wetness says about a year. With at least 80 % of a year known it is scaled to a whole one
 * and classed; with less there is no class, and the time not known may have been dry or wet.
 *
 * @param wet, known [ms], known at least as long as wet
 */
export function yearlyWetness(wet: Milliseconds, known: Milliseconds): YearlyWetness {
  if (known >= ENOUGH_OF_YEAR * YEAR_HOURS * HOUR) {
    const hours = YEAR_HOURS * (wet / known);
    return { class: wetnessClass(hours), lowest: hours, highest: hours };
  }
  return { class: null, lowest: wet / HOUR, highest: YEAR_HOURS - (known - wet) / HOUR };
}
