import { CHECK_NAMES, type CheckName } from '../../src/log/finding.js';

/**
 * The job that all do alike. Read a log of one sensor, a reading a minute. Count what is missing, a stand-in (-999),
 * beyond -40 to 60 °C or 1 to 104 %, late, double, in conflict, a step (3 K or 15 % to the reading before, no more than two
 * minutes ago), a hole (over a minute and a half) and a flat line (six hours); leave out what is missing, a stand-in or beyond
 * the range, keep the first reading of a minute. Compute six quantities for every reading. Let a mass with a time constant
 * of 3 h follow the air. Tell for every local day the readings, extremes with their first minute, means weighted by
 * time, and hours in which the mass was at the dew point or below it. Readings up to two minutes apart are joined by
 * a straight line.
 */
export const ZONE = 'Europe/Berlin';
export const PRESSURE = 1013.25;
/** [ms] */
export const TIME_CONSTANT = 3 * 3_600_000;
/** The checks that the job has. All others are left out where it is raced, and run where that is said. */
const CHECKED: readonly CheckName[] = [
  'unreadable',
  'missing_value',
  'sentinel',
  'gap',
  'duplicate',
  'conflict',
  'disorder',
  'gross_range',
  'sensor_range',
  'rate_of_change',
  'flat_line',
];
export const SKIPPED = CHECK_NAMES.filter((name) => !CHECKED.includes(name));
export const ADDED = [
  'dew_point_temperature',
  'wet_bulb_temperature',
  'vapour_pressure',
  'saturation_deficit',
  'absolute_humidity',
  'mixing_ratio',
];
export const HEADING =
  'day,readings,t_min,t_min_at,t_max,t_max_at,t_mean,u_min,u_max,u_mean,dew,wet_bulb,vapour,deficit,absolute,mixing,wet_hours';

/**
 * How far the daily tables may lie apart, by column. Extremes and counts: not at all. Means: the peers give an
 * interval to the day in which it begins, we cut it at midnight. Wet hours: where a margin just touches zero,
 * digits of the dew point decide. Absolute numbers, in the units of the columns; 0 for those that are not named.
 */
export const TOLERANCE: Readonly<Record<string, number>> = {
  t_mean: 0.01,
  u_mean: 0.02,
  dew: 0.01,
  wet_bulb: 0.01,
  vapour: 0.01,
  deficit: 0.01,
  absolute: 0.01,
  mixing: 0.01,
  wet_hours: 0.05,
};
