import type { Period } from '../calendar/period.js';
import { type Celsius, DAY, type Milliseconds, type Percent } from '../units.js';
import { type ClimateSteps, climateSteps, DAMP, END, FIELDS, HEAT, KNOWN, merged } from './climateSteps.js';
import type { SurfaceCourse } from './surfaceCourse.js';

/** With less of a window known there is no mean (project rule). */
const ENOUGH_KNOWN = 0.8;

/** Means over windows that end at given instants, an entry per instant, NaN where too little is known. */
export interface TrailingMeans {
  /** [°C] */
  readonly temperature: Float64Array;
  /** [%] */
  readonly humidity: Float64Array;
}

/**
 * Means weighted by time over the windows that end at the given instants, from their known time. There is
 * none unless 80 % of the window is known and it begins no more than a bridging limit before the first
 * reading: what came before a log is not a gap in it.
 *
 * @param ends instants, ascending
 * @param window length of each [ms], above 0
 * @param bridge bridging limit [ms]
 */
export function trailingMeans(
  course: SurfaceCourse,
  ends: Float64Array,
  window: Milliseconds,
  bridge: Milliseconds,
): TrailingMeans {
  const starts = ends.map((end) => end - window);
  return meansFrom(climateSteps(course, merged(starts, ends), bridge), starts, ends, window, bridge);
}

/** The same where the steps are at hand, cut at all these instants. */
function meansFrom(
  steps: ClimateSteps,
  starts: Float64Array,
  ends: Float64Array,
  window: Milliseconds,
  bridge: Milliseconds,
): TrailingMeans {
  const earliest = steps.first - bridge;
  const sums = sumsUpTo(steps, merged(starts, ends));
  const temperature = new Float64Array(ends.length).fill(Number.NaN);
  const humidity = new Float64Array(ends.length).fill(Number.NaN);
  let from = 0;
  let until = 0;
  for (let k = 0; k < ends.length; k++) {
    while (sums.instants[from]! < starts[k]!) from++;
    while (sums.instants[until]! < ends[k]!) until++;
    const known = sums.known[until]! - sums.known[from]!;
    if (starts[k]! < earliest || !(known >= ENOUGH_KNOWN * window)) continue;
    temperature[k] = (sums.temperature[until]! - sums.temperature[from]!) / known;
    humidity[k] = (sums.humidity[until]! - sums.humidity[from]!) / known;
  }
  return { temperature, humidity };
}

/** Known time [ms] and integrals over it, from the start of the course up to each instant. */
interface Sums {
  readonly instants: Float64Array;
  readonly known: Float64Array;
  readonly temperature: Float64Array;
  readonly humidity: Float64Array;
}

/** @param instants ascending; none within a step */
function sumsUpTo({ count, records }: ClimateSteps, instants: Float64Array): Sums {
  const sums: Sums = {
    instants,
    known: new Float64Array(instants.length),
    temperature: new Float64Array(instants.length),
    humidity: new Float64Array(instants.length),
  };
  let known = 0;
  let heat = 0;
  let damp = 0;
  let at = 0;
  for (let k = 0; k < instants.length; k++) {
    for (; at < FIELDS * count && records[at + END]! <= instants[k]!; at += FIELDS) {
      known += records[at + KNOWN]!;
      heat += records[at + HEAT]!;
      damp += records[at + DAMP]!;
    }
    sums.known[k] = known;
    sums.temperature[k] = heat;
    sums.humidity[k] = damp;
  }
  return sums;
}

// ASHRAE Standard 160-2009 as quoted in the abstract of ASTM STP 1599.
const WINDOW: Milliseconds = 30 * DAY;
const DAMP_FROM: Percent = 80;
const COLDEST: Celsius = 5;
const HOTTEST: Celsius = 40;
/** So that rounding in long sums does not decide about steady air at a limit. */
const ROUNDING = 1e-6;

/** How the days of a log stand by the criterion. */
export interface StandingDamp {
  /** Days at whose end the criterion is not met, and the first of them. */
  readonly failing: number;
  readonly firstFailing: Period | null;
  /** Days without verdict. */
  readonly undecided: number;
}

/**
 * The 30-day criterion for mould of ASHRAE Standard 160 (2009): a day fails if, over the 30 × 24 h that end
 * with it, the mean relative humidity at the surface is 80 % or more and the mean temperature of the surface 5
 * to 40 °C. No verdict where there is no mean, see `trailingMeans`. Known to be strict: walls without mould
 * fail it (the 2016 edition has the mould index in its place).
 *
 * @param days in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function standingDamp(
  course: SurfaceCourse,
  days: readonly Period[],
  bridge: Milliseconds,
): StandingDamp {
  return standingDampFrom(climateSteps(course, windowBounds(days), bridge), days, bridge);
}

/** When the windows of these days begin and end, in order. */
export function windowBounds(days: readonly Period[]): Float64Array {
  const ends = Float64Array.from(days, ({ end }) => end);
  return merged(
    ends.map((end) => end - WINDOW),
    ends,
  );
}

/** The same where the steps are at hand, cut at the bounds of the windows. */
export function standingDampFrom(
  steps: ClimateSteps,
  days: readonly Period[],
  bridge: Milliseconds,
): StandingDamp {
  const ends = Float64Array.from(days, ({ end }) => end);
  const starts = ends.map((end) => end - WINDOW);
  const { temperature, humidity } = meansFrom(steps, starts, ends, WINDOW, bridge);
  const fails = (k: number) =>
    humidity[k]! >= DAMP_FROM - ROUNDING &&
    temperature[k]! >= COLDEST - ROUNDING &&
    temperature[k]! <= HOTTEST + ROUNDING;
  const failing = days.filter((_, k) => fails(k));
  return {
    failing: failing.length,
    firstFailing: failing[0] ?? null,
    undecided: humidity.reduce((count, mean) => (Number.isNaN(mean) ? count + 1 : count), 0),
  };
}
