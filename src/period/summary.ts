import type { Period } from '../calendar/period.js';
import type { CleanLog } from '../log/log.js';
import { type Pairs, pairsOf, tableOf } from '../log/pairs.js';
import { dewPoint } from '../psychrometry/dewPoint.js';
import type { SaturationFormula } from '../psychrometry/saturationFormula.js';
import type { Celsius, Instant, Milliseconds } from '../units.js';
import { type ColumnSummary, summariseColumn } from './column.js';
import { frostTime } from './frost.js';
import type { JoinedTime } from './joined.js';
import { pairMeans } from './pairMeans.js';

/** How much of a period is known. */
export interface Known {
  /** Readings with start <= time < end that carry a value. */
  readonly readings: number;
  /** Time between neighbouring good readings no further apart than the bridging limit [ms]. */
  readonly covered: Milliseconds;
  /** The same as a part of the period, 0..1. */
  readonly coverage: number;
  /** Longest stretch of the period that is not covered [ms]. */
  readonly longestHole: Milliseconds;
}

/** One quantity over one period, in the quantity's unit. */
export interface QuantitySummary extends Known {
  /** Smallest and largest reading, and when each was first met; NaN and null where there is none. */
  readonly min: number;
  readonly minTime: Instant | null;
  readonly max: number;
  readonly maxTime: Instant | null;
  /** Mean over the known time, weighted by time; NaN where no time is known. */
  readonly mean: number;
}

/** `below + above + unknown` is the length of the period, to the millisecond. */
export interface FrostTime {
  /** Air temperature below 0 °C [ms]. */
  readonly below: Milliseconds;
  /** At 0 °C or above [ms]. */
  readonly above: Milliseconds;
  readonly unknown: Milliseconds;
}

export interface PeriodSummary {
  readonly period: Period;
  /** Readings that carry either quantity. */
  readonly readings: number;
  readonly airTemperature: QuantitySummary;
  readonly relativeHumidity: QuantitySummary;
  /** Time known for both: between neighbouring readings that each carry both quantities. */
  readonly both: Known;
  /** Mean over that time of the dew point, computed per reading and linear in between [°C]; NaN where none. */
  readonly dewPointMean: Celsius;
  readonly frost: FrostTime;
}

export interface SummaryOptions {
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  /** Saturation vapour pressure behind the dew point; the program's default if absent. */
  readonly formula?: SaturationFormula;
}

/**
 * What a cleaned log says of each period. Extremes are readings; means and durations come from the
 * straight lines between neighbouring good readings, cut at the period's ends, so they do not depend
 * on the cadence. Nothing is withheld here, however little is known: see `judge`.
 *
 * Mean of a straight-line course (trapezoids weighted by time): common practice, no source.
 *
 * @param log cleaned: one reading per instant, NaN where a value is missing or bad
 * @param periods in order of time, none overlapping another
 */
export function summarise(
  log: CleanLog,
  periods: readonly Period[],
  { bridge, formula }: SummaryOptions,
): PeriodSummary[] {
  const { time, temperature, humidity } = log;
  const air = summariseColumn(time, temperature, periods, bridge);
  const damp = summariseColumn(time, humidity, periods, bridge);
  const both = pairMeans(log, [dewPointsOf(pairsOf(log), formula)], periods, bridge);
  const frost = frostTime(time, temperature, periods, bridge);

  return periods.map((period, p) => ({
    period,
    readings: air.readings[p]! + damp.readings[p]! - both.known.readings[p]!,
    airTemperature: quantity(air, period, p),
    relativeHumidity: quantity(damp, period, p),
    both: known(both.known, period, p),
    dewPointMean: both.means[0]![p]!,
    frost: {
      below: frost[p]!,
      above: air.covered[p]! - frost[p]!,
      unknown: period.end - period.start - air.covered[p]!,
    },
  }));
}

/** The dew point of each pair of values [°C]. */
export function dewPointsOf(pairs: Pairs, formula?: SaturationFormula): Float64Array {
  return tableOf(pairs, (t, u) => dewPoint(t, u, formula));
}

function quantity(column: ColumnSummary, period: Period, p: number): QuantitySummary {
  const { min, minTime, max, maxTime, integral } = column;
  const { readings, covered, coverage, longestHole } = known(column, period, p);
  // each by name: an object that is spread takes ten times the memory, and ten years have many days
  return {
    readings,
    covered,
    coverage,
    longestHole,
    min: min[p]!,
    minTime: instant(minTime[p]!),
    max: max[p]!,
    maxTime: instant(maxTime[p]!),
    // NaN (0 / 0) where no time is known
    mean: integral[p]! / covered,
  };
}

function known({ readings, covered, longestHole }: JoinedTime, period: Period, p: number): Known {
  return {
    readings: readings[p]!,
    covered: covered[p]!,
    coverage: covered[p]! / (period.end - period.start),
    longestHole: longestHole[p]!,
  };
}

function instant(time: number): Instant | null {
  return Number.isNaN(time) ? null : time;
}
