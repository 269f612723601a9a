import type { Period } from '../calendar/period.js';
import { nextGood } from '../log/bridging.js';
import type { Log } from '../log/log.js';
import { add, close, type Tally, tally } from '../period/stretches.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import { type Accuracy, type DepositPoints, depositPoints } from './depositPoint.js';
import { noteAt, noteBetween, ROUNDING, type SmallestMargins, smallestMargins } from './margin.js';
import { belowZero } from './relaxation.js';
import type { Surface } from './surface.js';
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
}

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
  surface: Surface,
  periods: readonly Period[],
  { bridge, accuracy, formula }: CondensationOptions,
): CondensationSummary[] {
  return condensationFrom(log, depositPoints(log, accuracy, formula), surface, periods, bridge);
}

/** The same where several surfaces share one log's deposit points, which are most of the work. */
export function condensationFrom(
  log: Log,
  deposits: DepositPoints,
  surface: Surface,
  periods: readonly Period[],
  bridge: Milliseconds,
): CondensationSummary[] {
  const { time } = log;
  const { expected } = deposits;
  const temperature = surfaceTemperature(log, surface, bridge);
  const account = open(periods);

  let i = nextGood(expected, 0);
  while (i < expected.length) {
    if (time[i]! >= temperature.settledFrom[i]!) {
      noteAt(account.margin, time[i]!, temperature.values[i]! - expected[i]!);
    }
    const j = nextGood(expected, i + 1);
    if (j < expected.length && time[j]! - time[i]! <= bridge) {
      // The air's temperature may have been read in between without a humidity.
      let from = i;
      while (from < j) {
        const until = nextGood(log.temperature, from + 1);
        bookPiece(account, log, temperature, deposits, i, j, from, until);
        from = until;
      }
    }
    i = j;
  }
  return results(account);
}

interface Account {
  readonly periods: readonly Period[];
  readonly known: Tally;
  readonly unsettled: Tally;
  readonly certain: Tally;
  readonly expected: Tally;
  readonly possible: Tally;
  readonly ice: Tally;
  readonly margin: SmallestMargins;
  /** Where `belowZero` leaves its answers. */
  readonly wet: Float64Array;
  readonly frozen: Float64Array;
}

function open(periods: readonly Period[]): Account {
  return {
    periods,
    known: tally(periods),
    unsettled: tally(periods),
    certain: tally(periods),
    expected: tally(periods),
    possible: tally(periods),
    ice: tally(periods),
    margin: smallestMargins(periods),
    wet: new Float64Array(4),
    frozen: new Float64Array(4),
  };
}

/**
 * Books the time between rows `from` and `until`, neighbours by air temperature. They lie in the stretch
 * from row `i` to row `j`, neighbours by deposit point and near enough to be joined.
 */
function bookPiece(
  account: Account,
  { time, temperature: air }: Log,
  { values, settledFrom, timeConstant }: SurfaceTemperature,
  { expected, lowest, highest }: DepositPoints,
  i: number,
  j: number,
  from: number,
  until: number,
): void {
  const start = time[from]!;
  const end = time[until]!;
  const settled = Math.max(start, Math.min(end, settledFrom[from]!));
  if (settled > start) add(account.unsettled, start, settled);
  if (settled === end) return;
  add(account.known, settled, end);

  const span = time[j]! - time[i]!;
  const along = start - time[i]!;
  const length = end - start;
  const surface = values[from]!;
  const airSlope = (air[until]! - air[from]!) / length;
  const bend = timeConstant === 0 ? 0 : surface - air[from]! + airSlope * timeConstant;

  // The surface moves towards the air, so this it cannot pass. Most pieces are far from wet and end here.
  const coldest = Math.min(surface, air[from]!, air[until]!);

  const slope = (expected[j]! - expected[i]!) / span;
  const margin = surface - (expected[i]! + slope * along);
  const bound = coldest - Math.max(expected[i]!, expected[j]!);
  noteBetween(account.margin, start, settled, end, margin, airSlope - slope, bend, timeConstant, bound);

  // Possible first: where even that is dry, nothing else needs to be solved.
  if (coldest - Math.max(highest[i]!, highest[j]!) > ROUNDING) return;
  const highSlope = (highest[j]! - highest[i]!) / span;
  const smallest = surface - (highest[i]! + highSlope * along) - ROUNDING;
  const { wet, frozen } = account;
  let bounds = belowZero(smallest, airSlope - highSlope, bend, timeConstant, length, wet);
  if (bounds === 0) return;
  addAll(account.possible, start, settled, wet, bounds);

  bounds = belowZero(margin - ROUNDING, airSlope - slope, bend, timeConstant, length, wet);
  if (bounds === 0) return;
  addAll(account.expected, start, settled, wet, bounds);
  const frozenBounds = belowZero(surface, airSlope, bend, timeConstant, length, frozen);
  for (let w = 0; w < bounds; w += 2) {
    for (let f = 0; f < frozenBounds; f += 2) {
      const icy = Math.max(start + wet[w]!, start + frozen[f]!, settled);
      add(account.ice, icy, start + Math.min(wet[w + 1]!, frozen[f + 1]!));
    }
  }

  const lowSlope = (lowest[j]! - lowest[i]!) / span;
  const largest = surface - (lowest[i]! + lowSlope * along) - ROUNDING;
  bounds = belowZero(largest, airSlope - lowSlope, bend, timeConstant, length, wet);
  addAll(account.certain, start, settled, wet, bounds);
}

/** Adds the stretches that `belowZero` found, as far as they lie after `settled`. */
function addAll(account: Tally, start: Instant, settled: Instant, bounds: Float64Array, count: number): void {
  for (let b = 0; b < count; b += 2) {
    add(account, Math.max(start + bounds[b]!, settled), start + bounds[b + 1]!);
  }
}

function results(account: Account): CondensationSummary[] {
  const { periods, known, unsettled, certain, expected, possible, ice, margin } = account;
  for (const each of [known, unsettled, certain, expected, possible, ice]) close(each);
  return periods.map((period, p) => ({
    period,
    // The three are ordered by nature; the limits only take back what rounding to milliseconds may add.
    certain: Math.min(certain.time[p]!, expected.time[p]!),
    expected: expected.time[p]!,
    possible: Math.max(possible.time[p]!, expected.time[p]!),
    dry: known.time[p]! - expected.time[p]!,
    unknown: period.end - period.start - known.time[p]!,
    unsettled: unsettled.time[p]!,
    ice: ice.time[p]!,
    marginMin: margin.min[p]!,
    marginMinTime: Number.isNaN(margin.minTime[p]!) ? null : margin.minTime[p]!,
    spells: expected.count[p]!,
    longestSpell: expected.longest[p]!,
  }));
}
