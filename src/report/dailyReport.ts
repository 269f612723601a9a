import type { PeriodKind } from '../calendar/period.js';
import { periodLabel } from '../calendar/period.js';
import { formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { fixed, rounded } from '../figures.js';
import type { Completeness, JudgedSummary } from '../period/completeness.js';
import { HOUR, type Instant } from '../units.js';
import type { Trend } from './trend.js';
import { hours, stamp, whenIn } from './written.js';

/** One logger's periods. */
export interface DailyLog {
  readonly logger: string;
  readonly summaries: readonly JudgedSummary[];
}

/** The columns of `daily --format csv`; a contract. */
export const DAILY_CSV_COLUMNS = [
  'logger',
  'period_start',
  'period_end',
  'air_temperature_min_degC',
  'air_temperature_min_time',
  'air_temperature_max_degC',
  'air_temperature_max_time',
  'air_temperature_mean_degC',
  'relative_humidity_min_pct',
  'relative_humidity_max_pct',
  'relative_humidity_mean_pct',
  'dew_point_temperature_mean_degC',
  'frost_hours',
  'readings',
  'coverage',
  'complete',
] as const;

type Row = Record<(typeof DAILY_CSV_COLUMNS)[number], string | number | boolean | null>;

/** Digits of a mean: a tenth of what the sensor resolves is kept for sums, no more. */
const MEAN_DECIMALS = 2;
const COVERAGE_DECIMALS = 4;

export function dailyRow(logger: string, summary: JudgedSummary, zone: Zone): Row {
  const { period, airTemperature, relativeHumidity, both, dewPointMean, frost, readings } = summary;
  return {
    logger,
    period_start: formatInstant(period.start, zone),
    period_end: formatInstant(period.end, zone),
    air_temperature_min_degC: airTemperature.min,
    air_temperature_min_time: stamp(airTemperature.minTime, zone),
    air_temperature_max_degC: airTemperature.max,
    air_temperature_max_time: stamp(airTemperature.maxTime, zone),
    air_temperature_mean_degC: rounded(airTemperature.mean, MEAN_DECIMALS),
    relative_humidity_min_pct: relativeHumidity.min,
    relative_humidity_max_pct: relativeHumidity.max,
    relative_humidity_mean_pct: rounded(relativeHumidity.mean, MEAN_DECIMALS),
    dew_point_temperature_mean_degC: rounded(dewPointMean, MEAN_DECIMALS),
    // where nothing is known of the temperature, no frost is not nought hours of frost
    frost_hours: frost.unknown >= period.end - period.start ? null : hours(frost.below),
    readings,
    coverage: rounded(both.coverage, COVERAGE_DECIMALS),
    complete: both.completeness === 'complete',
  };
}

/** The document of `daily --format json`: the columns of the CSV, and what does not fit into them. */
export function dailyDocument(logs: readonly DailyLog[], kind: PeriodKind | 'whole', zone: Zone): object {
  return {
    format: 'dewledger/daily',
    version: 1,
    zone: zone.name,
    per: kind,
    logs: logs.map(({ logger, summaries }) => ({
      logger,
      periods: summaries.map((summary) => ({
        ...dailyRow(logger, summary, zone),
        completeness: {
          air_temperature: summary.airTemperature.completeness,
          relative_humidity: summary.relativeHumidity.completeness,
          both: summary.both.completeness,
        },
        air_temperature_coverage: rounded(summary.airTemperature.coverage, COVERAGE_DECIMALS),
        relative_humidity_coverage: rounded(summary.relativeHumidity.coverage, COVERAGE_DECIMALS),
        not_frost_hours: hours(summary.frost.above),
        frost_unknown_hours: hours(summary.frost.unknown),
      })),
    })),
  };
}

/** Cells of a period in a table for people; bounds are marked as such. */
export function dailyCells(summary: JudgedSummary, kind: PeriodKind, zone: Zone): string[] {
  const { period, airTemperature: air, relativeHumidity: damp, both, dewPointMean, frost } = summary;
  const time = (instant: Instant | null) => (instant === null ? '' : whenIn(instant, period, zone));
  return [
    periodLabel(kind, period, zone),
    bound(air.min, air.completeness, '≤'),
    time(air.minTime),
    bound(air.max, air.completeness, '≥'),
    time(air.maxTime),
    fixed(air.mean, 1),
    bound(damp.min, damp.completeness, '≤'),
    bound(damp.max, damp.completeness, '≥'),
    fixed(damp.mean, 0),
    fixed(dewPointMean, 1),
    frost.unknown >= period.end - period.start ? 'unknown' : bound(frost.below / HOUR, air.completeness, '≥'),
    percent(both.coverage, both.completeness),
  ];
}

export const DAILY_HEADINGS = [
  'period',
  'min °C',
  'at',
  'max °C',
  'at',
  'mean °C',
  'min %',
  'max %',
  'mean %',
  'dew °C',
  'frost h',
  'known',
] as const;

/** The columns whose course is worth a line. A mean that is withheld is unknown. */
export function dailyTrends(summaries: readonly JudgedSummary[]): Trend[] {
  return [
    { name: 'mean °C', values: summaries.map(({ airTemperature }) => airTemperature.mean), decimals: 1 },
    { name: 'mean %', values: summaries.map(({ relativeHumidity }) => relativeHumidity.mean), decimals: 0 },
  ];
}

function bound(value: number, completeness: Completeness, sign: '≤' | '≥'): string {
  if (Number.isNaN(value)) return '';
  return `${completeness === 'bounded' ? sign : ''}${fixed(value, 1)}`;
}

function percent(coverage: number, completeness: Completeness): string {
  if (completeness === 'empty') return '0 %';
  // what is not whole is not rounded up to it
  return `${coverage < 1 ? Math.min(99, Math.round(coverage * 100)) : 100} %`;
}

/** What the marks in the table mean, as far as they occur. */
export function dailyLegend(logs: readonly DailyLog[]): string[] {
  const all = logs.flatMap(({ summaries }) => summaries);
  if (all.length === 0) return [];
  const bounded = all.some(
    ({ airTemperature, relativeHumidity }) =>
      airTemperature.completeness === 'bounded' || relativeHumidity.completeness === 'bounded',
  );
  const lines = [
    'Means are weighted by time; known is the part of the period between good readings of both quantities.',
  ];
  if (bounded) {
    lines.push(
      'Incomplete periods: ≥ reads "at least", ≤ "at most", since nobody saw the rest; their mean is withheld.',
    );
  }
  return lines;
}
