import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Log } from '../log/log.js';
import type { Accuracy } from '../log/sensor.js';
import { add, close, type Tally, tally } from '../period/stretches.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Celsius, Instant, Kelvin, Milliseconds } from '../units.js';
import type { Companion } from './companion.js';
import { type DepositPoints, depositPoints, withErrors } from './depositPoint.js';
import { noteAt, noteBetween, ROUNDING, type SmallestMargins, smallestMargins } from './margin.js';
import { belowZero } from './relaxation.js';
import type { ModelledSurface } from './surface.js';
import { type SurfaceTemperature, surfaceTemperature } from './surfaceTemperature.js';

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
  log: Log,
  surface: ModelledSurface,
  periods: readonly Period[],
  { bridge, accuracy, formula, companion }: CondensationOptions,
): CondensationSummary[] {
  return condensationFrom(log, depositPoints(log, accuracy, formula), surface, periods, bridge, companion);
}

/** The same where several surfaces share one log's deposit points, which are most of the work. */
export function condensationFrom(
  log: Log,
  deposits: DepositPoints,
  surface: ModelledSurface,
  periods: readonly Period[],
  bridge: Milliseconds,
  companion: Companion | null = null,
): CondensationSummary[] {
  const { time } = log;
  const { expected } = deposits;
  const temperature = surfaceTemperature(log, surface, bridge, companion);
  const extremes = extremesFor(surface, log, deposits);
  const account = open(periods);

  let i = nextGood(expected, 0);
  while (i < expected.length) {
    if (time[i]! >= temperature.settledFrom[i]!) {
      noteAt(account.margin, time[i]!, temperature.values[i]! - expected[i]!);
    }
    const j = nextGood(expected, i + 1);
    if (j < expected.length && time[j]! - time[i]! <= bridge) {
      // The surface's temperature may be known in between, where no humidity was read.
      let from = nextGood(temperature.towards, i);
      while (from < j) {
        const until = nextGood(temperature.towards, from + 1);
        if (until > j) break;
        bookPiece(account, time, temperature, extremes, i, j, from, until);
        from = until;
      }
    }
    i = j;
  }
  return results(account);
}

/** The deposit points with the errors that tell for this surface. */
function extremesFor(surface: ModelledSurface, log: Log, deposits: DepositPoints): DepositPoints {
  switch (surface.model) {
    case 'measured':
      return withErrors(log, deposits, { shared: 0, own: surface.accuracy });
    case 'between': {
      // Ts = Te + f (Ti − Te): an error outside counts by what is left to the outside.
      const shared = surface.temperatureFactor;
      return withErrors(log, deposits, { shared, own: (1 - shared) * surface.outsideAccuracy });
    }
    default:
      return deposits;
  }
}

interface Account {
  readonly periods: readonly Period[];
  readonly known: Tally;
  readonly unsettled: Tally;
  readonly certain: Tally;
  readonly expected: Tally;
  readonly possible: Tally;
  /** Margin below 1 K and below 3 K, wet or not. */
  readonly below1: Tally;
  readonly below3: Tally;
  readonly ice: Tally;
  readonly margin: SmallestMargins;
  /** Where `belowZero` leaves its answers. */
  readonly wet: Float64Array;
  readonly frozen: Float64Array;
  /** How many sunsets and sunrises lie behind. */
  nights: number;
}

function open(periods: readonly Period[]): Account {
  return {
    periods,
    known: tally(periods),
    unsettled: tally(periods),
    certain: tally(periods),
    expected: tally(periods),
    possible: tally(periods),
    below1: tally(periods),
    below3: tally(periods),
    ice: tally(periods),
    margin: smallestMargins(periods),
    wet: new Float64Array(4),
    frozen: new Float64Array(4),
    nights: 0,
  };
}

/**
 * Books the time between rows `from` and `until`, neighbours by what the surface moves towards. They lie in
 * the stretch from row `i` to row `j`, neighbours by deposit point and near enough to be joined.
 */
function bookPiece(
  account: Account,
  time: Float64Array,
  surface: SurfaceTemperature,
  deposits: DepositPoints,
  i: number,
  j: number,
  from: number,
  until: number,
): void {
  const { towards, timeConstant, stretch, nights, drop } = surface;
  if (stretch[from] !== stretch[until]) return;
  const start = time[from]!;
  const end = time[until]!;
  const slope = (towards[until]! - towards[from]!) / (end - start);
  if (timeConstant > 0) {
    const settled = Math.max(start, Math.min(end, surface.settledFrom[from]!));
    if (settled > start) add(account.unsettled, start, settled);
    const value = surface.values[from]!;
    const bend = value - towards[from]! + slope * timeConstant;
    bookCourse(account, time, deposits, i, j, settled, start, end, value, slope, bend, timeConstant);
    return;
  }
  let at = start;
  while (at < end) {
    while (account.nights < nights.length && nights[account.nights]! <= at) account.nights++;
    const next = account.nights < nights.length ? Math.min(end, nights[account.nights]!) : end;
    const value = towards[from]! + slope * (at - start) - (account.nights % 2 === 1 ? drop : 0);
    bookCourse(account, time, deposits, i, j, at, at, next, value, slope, 0, 0);
    at = next;
  }
}

/**
 * Books the time between `settled` and `end` of one course of the surface's temperature, under the lines of
 * deposit points from row `i` to row `j`.
 *
 * @param start, value, warming, bend, timeConstant the course from `start` on, as in `valueAt`
 */
function bookCourse(
  account: Account,
  time: Float64Array,
  { expected, lowest, highest }: DepositPoints,
  i: number,
  j: number,
  settled: Instant,
  start: Instant,
  end: Instant,
  value: Celsius,
  warming: number,
  bend: Kelvin,
  timeConstant: Milliseconds,
): void {
  if (settled === end) return;
  add(account.known, settled, end);
  const span = time[j]! - time[i]!;
  const along = start - time[i]!;
  const length = end - start;

  // The surface moves towards its goal, so the goal it cannot pass. Most pieces are far from wet and end below.
  const goal = value - bend + warming * timeConstant;
  const coldest = Math.min(value, goal, goal + warming * length);

  const slope = warming - (expected[j]! - expected[i]!) / span;
  const margin = value - (expected[i]! + ((expected[j]! - expected[i]!) / span) * along);
  const bound = coldest - Math.max(expected[i]!, expected[j]!);
  noteBetween(account.margin, start, settled, end, margin, slope, bend, timeConstant, bound);

  const { wet, frozen } = account;
  const farthest = Math.max(value, goal, goal + warming * length) - Math.min(expected[i]!, expected[j]!);
  if (farthest < RATHER_NEAR) add(account.below3, settled, end);
  else if (bound < RATHER_NEAR) {
    const count = belowZero(margin - RATHER_NEAR, slope, bend, timeConstant, length, wet);
    addAll(account.below3, start, settled, wet, count);
  }
  if (farthest < NEAR) add(account.below1, settled, end);
  else if (bound < NEAR) {
    const count = belowZero(margin - NEAR, slope, bend, timeConstant, length, wet);
    addAll(account.below1, start, settled, wet, count);
  }

  // Possible before expected and certain: where even that is dry, nothing else needs to be solved.
  if (coldest - Math.max(highest[i]!, highest[j]!) > ROUNDING) return;
  const highSlope = (highest[j]! - highest[i]!) / span;
  const smallest = value - (highest[i]! + highSlope * along) - ROUNDING;
  let bounds = belowZero(smallest, warming - highSlope, bend, timeConstant, length, wet);
  if (bounds === 0) return;
  addAll(account.possible, start, settled, wet, bounds);

  bounds = belowZero(margin - ROUNDING, slope, bend, timeConstant, length, wet);
  if (bounds === 0) return;
  addAll(account.expected, start, settled, wet, bounds);
  const frozenBounds = belowZero(value, warming, bend, timeConstant, length, frozen);
  for (let w = 0; w < bounds; w += 2) {
    for (let f = 0; f < frozenBounds; f += 2) {
      const icy = Math.max(start + wet[w]!, start + frozen[f]!, settled);
      add(account.ice, icy, start + Math.min(wet[w + 1]!, frozen[f + 1]!));
    }
  }

  const lowSlope = (lowest[j]! - lowest[i]!) / span;
  const largest = value - (lowest[i]! + lowSlope * along) - ROUNDING;
  bounds = belowZero(largest, warming - lowSlope, bend, timeConstant, length, wet);
  addAll(account.certain, start, settled, wet, bounds);
}

/** Adds the stretches that `belowZero` found, as far as they lie after `settled`. */
function addAll(account: Tally, start: Instant, settled: Instant, bounds: Float64Array, count: number): void {
  for (let b = 0; b < count; b += 2) {
    add(account, Math.max(start + bounds[b]!, settled), start + bounds[b + 1]!);
  }
}

function results(account: Account): CondensationSummary[] {
  const { periods, known, unsettled, certain, expected, possible, below1, below3, ice, margin } = account;
  for (const each of [known, unsettled, certain, expected, possible, below1, below3, ice]) close(each);
  return periods.map((period, p) => ({
    period,
    // The three are ordered by nature; the limits only take back what rounding to milliseconds may add.
    certain: Math.min(certain.time[p]!, expected.time[p]!),
    expected: expected.time[p]!,
    possible: Math.max(possible.time[p]!, expected.time[p]!),
    dry: known.time[p]! - expected.time[p]!,
    near1: Math.max(0, below1.time[p]! - expected.time[p]!),
    near3: Math.max(0, below3.time[p]! - expected.time[p]!),
    unknown: period.end - period.start - known.time[p]!,
    unsettled: unsettled.time[p]!,
    ice: ice.time[p]!,
    marginMin: margin.min[p]!,
    marginMinTime: Number.isNaN(margin.minTime[p]!) ? null : margin.minTime[p]!,
    spells: expected.count[p]!,
    longestSpell: expected.longest[p]!,
  }));
}
