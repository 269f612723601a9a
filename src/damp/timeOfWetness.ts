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
  const { time, humidity } = course;
  const known = tally(periods);
  const certain = tally(periods);
  const expected = tally(periods);
  const possible = tally(periods);
  const withLimit = tally(periods);
  const { first, end } = rowsTelling(time, periods, bridge);
  let i = nextKnown(course, first);
  while (i < end) {
    const j = nextKnown(course, i + 1);
    if (j < time.length && time[j]! - time[i]! <= bridge) {
      add(known, time[i]!, time[j]!);
      // Most pieces are far from wet and end here.
      if (Math.max(humidity[i]!, humidity[j]!) >= WET_ABOVE - accuracy.humidity) {
        book(certain, course, i, j, WET_ABOVE + accuracy.humidity, LIQUID_ABOVE + accuracy.temperature);
        book(expected, course, i, j, WET_ABOVE, LIQUID_ABOVE);
        book(possible, course, i, j, WET_ABOVE - accuracy.humidity, LIQUID_ABOVE - accuracy.temperature);
        book(withLimit, course, i, j, WET_ABOVE - HAIR, LIQUID_ABOVE);
      }
    }
    i = j;
  }
  for (const each of [known, certain, expected, possible, withLimit]) close(each);
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
  // Most pieces lie on one side of both limits.
  if (!(humidity[i]! > damp || humidity[j]! > damp)) return;
  if (humidity[i]! > damp && humidity[j]! > damp && temperature[i]! > warm && temperature[j]! > warm) {
    add(account, start, time[j]!);
    return;
  }
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
