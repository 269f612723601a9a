import type { Period } from '../calendar/period.js';
import { type Celsius, DAY, type Instant, type Milliseconds, type Percent } from '../units.js';
import { nextKnown, type SurfaceCourse } from './surfaceHumidity.js';

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
  const first = nextKnown(course, 0);
  const earliest = first < course.time.length ? course.time[first]! - bridge : Number.POSITIVE_INFINITY;
  const starts = ends.map((end) => end - window);
  const before = sumsUpTo(course, starts, bridge);
  const sums = sumsUpTo(course, ends, bridge);
  const temperature = new Float64Array(ends.length).fill(NaN);
  const humidity = new Float64Array(ends.length).fill(NaN);
  for (let k = 0; k < ends.length; k++) {
    const known = sums.known[k]! - before.known[k]!;
    if (starts[k]! < earliest || !(known >= ENOUGH_KNOWN * window)) continue;
    temperature[k] = (sums.temperature[k]! - before.temperature[k]!) / known;
    humidity[k] = (sums.humidity[k]! - before.humidity[k]!) / known;
  }
  return { temperature, humidity };
}

/** Known time [ms] and integrals over it, from the start of the course up to each instant. */
interface Sums {
  readonly known: Float64Array;
  readonly temperature: Float64Array;
  readonly humidity: Float64Array;
}

function sumsUpTo(course: SurfaceCourse, instants: Float64Array, bridge: Milliseconds): Sums {
  const { time, temperature, humidity } = course;
  const count = instants.length;
  const sums: Sums = {
    known: new Float64Array(count),
    temperature: new Float64Array(count),
    humidity: new Float64Array(count),
  };
  let known = 0;
  let heat = 0;
  let damp = 0;
  let k = 0;
  const note = (more: Milliseconds, moreHeat: number, moreDamp: number) => {
    sums.known[k] = known + more;
    sums.temperature[k] = heat + moreHeat;
    sums.humidity[k] = damp + moreDamp;
    k++;
  };
  let i = nextKnown(course, 0);
  while (i < time.length) {
    const j = nextKnown(course, i + 1);
    if (j < time.length && time[j]! - time[i]! <= bridge) {
      const start = time[i]!;
      const end = time[j]!;
      const length = end - start;
      while (k < count && instants[k]! <= start) note(0, 0, 0);
      while (k < count && instants[k]! < end) {
        const part = instants[k]! - start;
        const half = part / 2 / length;
        note(
          part,
          (temperature[i]! + (temperature[j]! - temperature[i]!) * half) * part,
          (humidity[i]! + (humidity[j]! - humidity[i]!) * half) * part,
        );
      }
      known += length;
      heat += ((temperature[i]! + temperature[j]!) / 2) * length;
      damp += ((humidity[i]! + humidity[j]!) / 2) * length;
    }
    i = j;
  }
  while (k < count) note(0, 0, 0);
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
  const ends: Instant[] = days.map(({ end }) => end);
  const { temperature, humidity } = trailingMeans(course, Float64Array.from(ends), WINDOW, bridge);
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
