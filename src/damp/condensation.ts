import type { Period } from '../calendar/period.js';
import { rowsTelling } from '../log/bridging.js';
import type { CleanLog } from '../log/log.js';
import type { Accuracy } from '../log/sensor.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import type { Companion } from './companion.js';
import { type DepositPoints, depositPoints, depositPointsFor } from './depositPoint.js';
import { both, type Intervals, tallied } from './intervals.js';
import { ROUNDING, smallestMargins } from './margin.js';
import { marginTimes } from './marginTimes.js';
import type { ModelledSurface } from './surface.js';
import { rowsOf, type SurfaceTemperature, surfaceTemperature } from './surfaceTemperature.js';

/**
 * How long a surface was wet in a period: as warm as the air's dew point or colder, where the deposit would
 * be ice its frost point. `expected + dry + unknown` is the length of the period, to the millisecond.
 */
export interface CondensationSummary {
  readonly period: Period;
  /** Wet for every constant error within the sensor's accuracy [ms]. */
  readonly certain: Milliseconds;
  /** Wet as measured [ms]. */
  readonly expected: Milliseconds;
  /** Wet for some constant error within the sensor's accuracy [ms]. */
  readonly possible: Milliseconds;
  /** Known not to be wet, as measured [ms]. */
  readonly dry: Milliseconds;
  /** Of the dry time: margin, as measured, under 1 K and under 3 K [ms]. */
  readonly near1: Milliseconds;
  readonly near3: Milliseconds;
  readonly unknown: Milliseconds;
  /** Of the unknown time: readings are there, but the surface's model has not settled yet [ms]. */
  readonly unsettled: Milliseconds;
  /** Of the expected time: surface below 0 °C, so that the deposit is ice [ms]. */
  readonly ice: Milliseconds;
  /**
   * Smallest margin (surface minus dew or frost point) in the known time and at settled readings, as measured
   * [K], and when it was first met, the period's end counted in; NaN and null where there is none.
   */
  readonly marginMin: Kelvin;
  readonly marginMinTime: Instant | null;
  /** Unbroken stretches of expected wet time that have time in the period. Unknown time breaks them. */
  readonly spells: number;
  /** The longest of them, cut at the period's ends [ms]. */
  readonly longestSpell: Milliseconds;
}

export interface CondensationOptions {
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  readonly accuracy: Accuracy;
  /** Saturation vapour pressure behind dew and frost point; the program's default if absent. */
  readonly formula?: SaturationFormula;
  /** The second thermometer that models `measured` and `between` need; without it all is unknown to them. */
  readonly companion?: Companion;
}

/** Margins under which a dry surface is near to being wet: 1 K is our choice, 3 K what coating work asks for. */
const NEAR: Kelvin = 1;
const RATHER_NEAR: Kelvin = 3;

/**
 * Condensation on one surface. Between neighbouring readings that carry both quantities and are no further
 * apart than the bridging limit, dew and frost point are linear in time and the surface's temperature is the
 * exact solution of its model; the zeros of their difference bound the wet time, to the millisecond.
 *
 * @param log cleaned: one reading per instant, NaN where a value is missing or bad
 * @param periods in order of time, none overlapping another
 */
export function condensation(
  log: CleanLog,
  surface: ModelledSurface,
  periods: readonly Period[],
  { bridge, accuracy, formula, companion }: CondensationOptions,
): readonly CondensationSummary[] {
  const temperature = surfaceTemperature(log, surface, bridge, companion);
  const ends = depositPointsFor(surface, depositPoints(log, accuracy, formula));
  return condensationAt(log.time, temperature, ends, periods, bridge).summaries;
}

/** When a surface was wet, as measured, and when that is known at all; in the periods, and a little beyond. */
export interface WetTimes {
  readonly known: Intervals;
  readonly wet: Intervals;
}

/** The sums by period, and the stretches that they are the sums of. */
export interface Condensation {
  readonly summaries: readonly CondensationSummary[];
  readonly times: WetTimes;
}

/** The same where the surface's temperature, and its deposit points at both ends of all errors, are at hand. */
export function condensationAt(
  time: Float64Array,
  temperature: SurfaceTemperature,
  deposits: DepositPoints,
  periods: readonly Period[],
  bridge: Milliseconds,
): Condensation {
  const { first, end } = rowsTelling(time, periods, bridge);
  const { pairs, lowest, expected, highest } = deposits;
  const lines = [
    { line: expected, above: Float64Array.of(RATHER_NEAR, NEAR, ROUNDING) },
    { line: highest, above: Float64Array.of(ROUNDING) },
    { line: lowest, above: Float64Array.of(ROUNDING) },
    // 0 °C: below it the deposit is ice
    { line: new Float64Array(expected.length), above: Float64Array.of(0) },
  ];
  const margin = smallestMargins(periods);
  const {
    below,
    known: knownTime,
    unsettled: unsettledTime,
  } = marginTimes(
    time.subarray(first, end),
    rowsOf(temperature, first, end),
    pairs.of.subarray(first, end),
    lines,
    bridge,
    margin,
  );
  const [ratherNear, near, wet, maybeWet, surelyWet, frozen] = below as SixTimes;
  const times: WetTimes = { known: knownTime, wet };
  const known = tallied(periods, knownTime);
  const unsettled = tallied(periods, unsettledTime);
  const below3 = tallied(periods, ratherNear);
  const below1 = tallied(periods, near);
  const possible = tallied(periods, maybeWet);
  const measured = tallied(periods, wet);
  const certain = tallied(periods, surelyWet);
  const ice = tallied(periods, both(wet, frozen));
  const summaries = periods.map((period, p) => ({
    period,
    // The three are ordered by nature; the limits only take back what rounding to milliseconds may add.
    certain: Math.min(certain.time[p]!, measured.time[p]!),
    expected: measured.time[p]!,
    possible: Math.max(possible.time[p]!, measured.time[p]!),
    dry: known.time[p]! - measured.time[p]!,
    near1: Math.max(0, below1.time[p]! - measured.time[p]!),
    near3: Math.max(0, below3.time[p]! - measured.time[p]!),
    unknown: period.end - period.start - known.time[p]!,
    unsettled: unsettled.time[p]!,
    ice: ice.time[p]!,
    marginMin: margin.min[p]!,
    marginMinTime: Number.isNaN(margin.minTime[p]!) ? null : margin.minTime[p]!,
    spells: measured.count[p]!,
    longestSpell: measured.longest[p]!,
  }));
  return { summaries, times };
}

type SixTimes = [Intervals, Intervals, Intervals, Intervals, Intervals, Intervals];
