import { type PeriodKind, periodLabel } from '../calendar/period.js';
import { formatDuration, formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import type { CondensationSummary } from '../damp/condensation.js';
import type { Surface } from '../damp/surface.js';
import { fixed, rounded } from '../figures.js';
import { HOUR, type Milliseconds } from '../units.js';
import { hours, stamp, whenIn } from './dailyReport.js';

/** One surface beside one logger. */
export interface DampSurface {
  readonly logger: string;
  readonly surface: Surface;
  readonly summaries: readonly CondensationSummary[];
  readonly accuracy: { readonly airTemperature: number; readonly relativeHumidity: number };
  /** Whether the accuracy is stated or a default. */
  readonly accuracySource: string;
}

/** The columns of `damp --format csv`; a contract. The last four are of models that are not computed yet. */
export const DAMP_CSV_COLUMNS = [
  'logger',
  'surface',
  'period_start',
  'period_end',
  'condensation_hours_certain',
  'condensation_hours_expected',
  'condensation_hours_possible',
  'unknown_hours',
  'margin_min_K',
  'margin_min_time',
  'spells',
  'longest_spell_hours',
  'time_of_wetness_hours',
  'wood_moisture_mean_pct',
  'wood_moisture_max_pct',
  'mould_index',
] as const;

type Row = Record<(typeof DAMP_CSV_COLUMNS)[number], string | number | null>;

/** A margin hangs on a humidity of ± 3 %, which is half a kelvin: hundredths are one digit to spare. */
const MARGIN_DECIMALS = 2;

export function dampRow({ logger, surface }: DampSurface, summary: CondensationSummary, zone: Zone): Row {
  const { period } = summary;
  const unseen = summary.unknown >= period.end - period.start;
  const known = (duration: Milliseconds) => (unseen ? null : hours(duration));
  return {
    logger,
    surface: surface.name,
    period_start: formatInstant(period.start, zone),
    period_end: formatInstant(period.end, zone),
    condensation_hours_certain: known(summary.certain),
    condensation_hours_expected: known(summary.expected),
    condensation_hours_possible: known(summary.possible),
    unknown_hours: hours(summary.unknown),
    margin_min_K: rounded(summary.marginMin, MARGIN_DECIMALS),
    margin_min_time: stamp(summary.marginMinTime, zone),
    spells: unseen ? null : summary.spells,
    longest_spell_hours: known(summary.longestSpell),
    time_of_wetness_hours: null,
    wood_moisture_mean_pct: null,
    wood_moisture_max_pct: null,
    mould_index: null,
  };
}

/**
 * The usual cautions; they stand in every form of the output. Health: WHO guidelines for indoor air quality,
 * dampness and mould (2009). The rest: common practice, no source.
 */
export const DAMP_CAUTIONS: readonly string[] = [
  'These are estimates from one small sensor and a model of the surface. They do not prove that a place is dry or safe.',
  'Damp and mains electricity kill: if water has reached sockets, chargers or a fuse board, keep out and call an electrician.',
  'Lasting damp and mould harm health: if you see or smell mould, act, whatever the figures say.',
  'Local codes, product sheets and licensed trades come before this report.',
];

export function dampDocument(surfaces: readonly DampSurface[], kind: PeriodKind, zone: Zone): object {
  return {
    format: 'dewledger/damp',
    version: 1,
    zone: zone.name,
    per: kind,
    surfaces: surfaces.map((each) => ({
      logger: each.logger,
      surface: each.surface.name,
      model: each.surface.model,
      time_constant_hours: each.surface.model === 'mass' ? hours(each.surface.timeConstant) : null,
      accuracy: {
        air_temperature_K: each.accuracy.airTemperature,
        relative_humidity_pct: each.accuracy.relativeHumidity,
        from: each.accuracySource,
      },
      periods: each.summaries.map((summary) => ({
        ...dampRow(each, summary, zone),
        dry_hours: hours(summary.dry),
        unsettled_hours: hours(summary.unsettled),
        frost_hours: hours(summary.ice),
      })),
    })),
    cautions: DAMP_CAUTIONS,
  };
}

export const DAMP_HEADINGS = [
  'period',
  'certain h',
  'expected h',
  'possible h',
  'ice h',
  'unknown h',
  'least margin K',
  'at',
  'spells, longest',
] as const;

export function dampCells(summary: CondensationSummary, kind: PeriodKind, zone: Zone): string[] {
  return [periodLabel(kind, summary.period, zone), ...figures(summary, zone)];
}

function figures(summary: CondensationSummary, zone: Zone): string[] {
  const { period } = summary;
  const unseen = summary.unknown >= period.end - period.start;
  const hour = (duration: Milliseconds) => (unseen ? 'unknown' : fixed(duration / HOUR, 1));
  return [
    hour(summary.certain),
    hour(summary.expected),
    hour(summary.possible),
    unseen ? '' : fixed(summary.ice / HOUR, 1),
    fixed(summary.unknown / HOUR, 1),
    fixed(summary.marginMin, 1),
    summary.marginMinTime === null ? '' : whenIn(summary.marginMinTime, period, zone),
    unseen
      ? ''
      : summary.spells === 0
        ? '0'
        : `${summary.spells}, ${fixed(summary.longestSpell / HOUR, 1)} h`,
  ];
}

/** The sum over all periods; hours of a surface that was not seen at all are unknown, not nought. */
export function dampTotal(summaries: readonly CondensationSummary[]): string[] {
  const sum = (of: (summary: CondensationSummary) => Milliseconds) =>
    fixed(summaries.reduce((total, summary) => total + of(summary), 0) / HOUR, 1);
  return [
    'all',
    sum((summary) => summary.certain),
    sum((summary) => summary.expected),
    sum((summary) => summary.possible),
    sum((summary) => summary.ice),
    sum((summary) => summary.unknown),
  ];
}

/** What stands over the table of one surface. */
export function dampHeadline({ logger, surface, accuracy, accuracySource }: DampSurface): string {
  const model =
    surface.model === 'air'
      ? 'as warm as the air'
      : `follows the air with a time constant of ${formatDuration(surface.timeConstant)}`;
  const limits = `± ${accuracy.airTemperature} K, ± ${accuracy.relativeHumidity} %`;
  return `${logger}, ${surface.name}: ${model}; sensor ${limits} (${accuracySource === 'assumed' ? 'assumed' : 'stated'})`;
}
