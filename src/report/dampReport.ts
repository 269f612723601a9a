import { type PeriodKind, periodLabel } from '../calendar/period.js';
import { formatDate, formatDuration, formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import type { BoardSummary } from '../damp/board.js';
import type { CondensationSummary } from '../damp/condensation.js';
import type { Exposure } from '../damp/exposure.js';
import type { MouldSummary } from '../damp/mould.js';
import type { Surface } from '../damp/surface.js';
import { type WetnessSummary, yearlyWetness } from '../damp/timeOfWetness.js';
import { fixed, rounded } from '../figures.js';
import type { Accuracy } from '../log/sensor.js';
import { HOUR, MINUTE, type Milliseconds } from '../units.js';
import type { Trend } from './trend.js';
import { hours, inHours, stamp, whenIn } from './written.js';

/** One logger and the surfaces beside it. */
export interface DampLog {
  readonly logger: string;
  readonly accuracy: Accuracy;
  /** Whether the accuracy is stated or a default. */
  readonly accuracySource: string;
  readonly wetness: readonly WetnessSummary[];
  readonly surfaces: readonly Exposure[];
}

/** The columns of `damp --format csv`; a contract. */
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
/** Boards differ by 1 to 2 % from the equation: a tenth is one digit to spare. */
const MOISTURE_DECIMALS = 1;
const INDEX_DECIMALS = 2;
/** From this much unknown time on an index that stood still in it is a lower bound. */
const HOLE: Milliseconds = 3 * HOUR;
/** Share of a period that has to be known for its mark in a course: as much as a daily mean needs. */
const SEEN = 0.75;

/** Everything about period number `p`. */
interface Parts {
  readonly condensation: CondensationSummary;
  readonly wetness: WetnessSummary;
  readonly wood: BoardSummary | null;
  readonly mould: MouldSummary;
}

function partsOf(log: DampLog, exposure: Exposure, p: number): Parts {
  return {
    condensation: exposure.condensation[p]!,
    wetness: log.wetness[p]!,
    wood: exposure.wood?.expected[p] ?? null,
    mould: exposure.mould[p]!,
  };
}

function isUnseen({
  unknown,
  period,
}: {
  unknown: Milliseconds;
  period: CondensationSummary['period'];
}): boolean {
  return unknown >= period.end - period.start;
}

function rowOf(logger: string, surface: Surface, parts: Parts, zone: Zone): Row {
  const { condensation: wet, wetness, wood, mould } = parts;
  const { period } = wet;
  const unseen = isUnseen(wet);
  const known = (duration: Milliseconds) => (unseen ? null : hours(duration));
  return {
    logger,
    surface: surface.name,
    period_start: formatInstant(period.start, zone),
    period_end: formatInstant(period.end, zone),
    condensation_hours_certain: known(wet.certain),
    condensation_hours_expected: known(wet.expected),
    condensation_hours_possible: known(wet.possible),
    unknown_hours: hours(wet.unknown),
    margin_min_K: rounded(wet.marginMin, MARGIN_DECIMALS),
    margin_min_time: stamp(wet.marginMinTime, zone),
    spells: unseen ? null : wet.spells,
    longest_spell_hours: known(wet.longestSpell),
    time_of_wetness_hours: isUnseen(wetness) ? null : hours(wetness.expected),
    wood_moisture_mean_pct: wood === null ? null : rounded(wood.mean, MOISTURE_DECIMALS),
    wood_moisture_max_pct: wood === null ? null : rounded(wood.max, MOISTURE_DECIMALS),
    mould_index: rounded(mould.index, INDEX_DECIMALS),
  };
}

/** Rows under `DAMP_CSV_COLUMNS`. */
export function* dampRows(logs: readonly DampLog[], zone: Zone): Generator<(string | number | null)[]> {
  for (const log of logs) {
    for (const exposure of log.surfaces) {
      for (let p = 0; p < exposure.condensation.length; p++) {
        const row = rowOf(log.logger, exposure.surface, partsOf(log, exposure, p), zone);
        yield DAMP_CSV_COLUMNS.map((name) => row[name]);
      }
    }
  }
}

/** The one that cannot wait (common practice, no source). */
export const MAINS_CAUTION =
  'Damp and mains electricity kill: if water has reached sockets, chargers or a fuse board, keep out and call an electrician.';

/**
 * The usual cautions; they stand in every form of the output. Health: WHO guidelines for indoor air quality,
 * dampness and mould (2009). The rest: common practice, no source.
 */
export const DAMP_CAUTIONS: readonly string[] = [
  'These are estimates from one small sensor and a model of the surface. They do not prove that a place is dry or safe.',
  MAINS_CAUTION,
  'Lasting damp and mould harm health: if you see or smell mould, act, whatever the figures say. The mould index is no forecast.',
  'Soft, cracked or fungus-bearing wood that carries load needs a qualified person.',
  'Local codes, product sheets and licensed trades come before this report.',
];

export function dampDocument(logs: readonly DampLog[], kind: PeriodKind | 'whole', zone: Zone): object {
  return {
    format: 'dewledger/damp',
    version: 1,
    zone: zone.name,
    per: kind,
    surfaces: logs.flatMap((log) => log.surfaces.map((exposure) => surfaceDocument(log, exposure, zone))),
    cautions: DAMP_CAUTIONS,
  };
}

function surfaceDocument(log: DampLog, exposure: Exposure, zone: Zone): object {
  const { surface, wood, standing } = exposure;
  const year = yearlyWetness(
    sum(log.wetness, ({ expected }) => expected),
    sum(log.wetness, ({ expected, dry }) => expected + dry),
  );
  return {
    logger: log.logger,
    surface: surface.name,
    model: surface.model,
    model_in_words: modelInWords(surface),
    time_constant_hours: surface.model === 'mass' ? hours(surface.timeConstant) : null,
    accuracy: {
      air_temperature_K: log.accuracy.temperature,
      relative_humidity_pct: log.accuracy.humidity,
      from: log.accuracySource,
    },
    wood_time_constant_hours: surface.board === null ? null : hours(surface.board.timeConstant),
    mould_class: surface.mould.class,
    mould_decline: surface.mould.decline,
    time_of_wetness_class: year.class,
    time_of_wetness_hours_lowest: rounded(year.lowest, 1),
    time_of_wetness_hours_highest: rounded(year.highest, 1),
    standing_damp_days: standing.failing,
    standing_damp_first_day:
      standing.firstFailing === null ? null : formatDate(standing.firstFailing.start, zone),
    standing_damp_days_without_verdict: standing.undecided,
    periods: exposure.condensation.map((wet, p) => {
      const parts = partsOf(log, exposure, p);
      const { wetness, mould } = parts;
      return {
        ...rowOf(log.logger, surface, parts, zone),
        dry_hours: hours(wet.dry),
        near_1K_hours: hours(wet.near1),
        near_3K_hours: hours(wet.near3),
        unsettled_hours: hours(wet.unsettled),
        frost_hours: hours(wet.ice),
        time_of_wetness_hours_certain: hours(wetness.certain),
        time_of_wetness_hours_possible: hours(wetness.possible),
        time_of_wetness_unknown_hours: hours(wetness.unknown),
        wood: wood === null ? null : woodDocument(wood, p),
        mould_index_low: rounded(mould.lowest, INDEX_DECIMALS),
        mould_index_high: rounded(mould.highest, INDEX_DECIMALS),
        mould_index_max: rounded(mould.greatest, INDEX_DECIMALS),
        mould_growth_hours: hours(mould.favourable),
        mould_held_hours: hours(mould.held),
      };
    }),
  };
}

function woodDocument({ expected, drier, damper }: NonNullable<Exposure['wood']>, p: number): object {
  const moisture = (value: number) => rounded(value, MOISTURE_DECIMALS);
  return {
    mean_pct_low: moisture(drier[p]!.mean),
    mean_pct_high: moisture(damper[p]!.mean),
    max_pct_low: moisture(drier[p]!.max),
    max_pct_high: moisture(damper[p]!.max),
    above_18_pct_hours: hours(expected[p]!.abovePanelLimit),
    above_20_pct_hours: hours(expected[p]!.aboveDecayLimit),
    unknown_hours: hours(expected[p]!.unknown),
    unsettled_hours: hours(expected[p]!.unsettled),
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

/** Condensation of one period in a table for people. */
export function dampCells(summary: CondensationSummary, kind: PeriodKind, zone: Zone): string[] {
  const { period } = summary;
  const unseen = isUnseen(summary);
  const hour = (duration: Milliseconds) => (unseen ? 'unknown' : fixed(duration / HOUR, 1));
  const longest = fixed(summary.longestSpell / HOUR, 1);
  return [
    periodLabel(kind, period, zone),
    hour(summary.certain),
    hour(summary.expected),
    hour(summary.possible),
    unseen ? '' : fixed(summary.ice / HOUR, 1),
    fixed(summary.unknown / HOUR, 1),
    fixed(summary.marginMin, 1),
    summary.marginMinTime === null ? '' : whenIn(summary.marginMinTime, period, zone),
    unseen ? '' : summary.spells === 0 ? '0' : `${summary.spells}, ${longest} h`,
  ];
}

/** The sum over all periods; hours of a surface that was not seen at all are unknown, not nought. */
export function dampTotal(summaries: readonly CondensationSummary[]): string[] {
  const unseen = summaries.every(isUnseen);
  const total = (of: (summary: CondensationSummary) => Milliseconds) => fixed(sum(summaries, of) / HOUR, 1);
  const known = (of: (summary: CondensationSummary) => Milliseconds) => (unseen ? 'unknown' : total(of));
  return [
    'all',
    known(({ certain }) => certain),
    known(({ expected }) => expected),
    known(({ possible }) => possible),
    unseen ? '' : total(({ ice }) => ice),
    total(({ unknown }) => unknown),
  ];
}

/** The columns whose course is worth a line. A period of which too little was seen is no low mark: it is unknown. */
export function dampTrends(summaries: readonly CondensationSummary[]): Trend[] {
  const seen = (of: (summary: CondensationSummary) => number) =>
    summaries.map((summary) => {
      const { start, end } = summary.period;
      return summary.unknown > (1 - SEEN) * (end - start) ? NaN : of(summary);
    });
  return [
    { name: 'expected h', values: seen(({ expected }) => expected / HOUR), decimals: 1 },
    { name: 'least margin K', values: seen(({ marginMin }) => marginMin), decimals: 1 },
  ];
}

function sum<Summary>(summaries: readonly Summary[], of: (summary: Summary) => number): number {
  return summaries.reduce((total, summary) => total + of(summary), 0);
}

/** What stands over the table of one surface. */
export function dampHeadline({ logger, accuracy, accuracySource }: DampLog, { surface }: Exposure): string {
  const limits = `± ${accuracy.temperature} K, ± ${accuracy.humidity} %`;
  const source = accuracySource === 'assumed' ? 'assumed' : 'stated';
  return `${logger}, ${surface.name}: ${modelInWords(surface)}; sensor ${limits} (${source})`;
}

export function modelInWords(surface: Surface): string {
  switch (surface.model) {
    case 'air':
      return 'as warm as the air';
    case 'mass': {
      const lag = formatDuration(Math.round(surface.timeConstant / MINUTE) * MINUTE);
      const rough = surface.body?.indicative ? ' (indicative: too thick for the model)' : '';
      return `follows the air with a time constant of ${lag}${rough}`;
    }
    case 'measured':
      return 'as warm as its own thermometer says';
    case 'between':
      return `between inside and ${surface.outside}, temperature factor ${surface.temperatureFactor}`;
    case 'night-sky':
      return `${surface.drop} K below the air from sunset to sunrise (assumed)`;
  }
}

/** What damp did to the surface beside condensation, over the whole span. */
export function dampProse(log: DampLog, exposure: Exposure, zone: Zone): string[] {
  const { condensation, wood, mould, standing } = exposure;
  const lines: string[] = [];
  const near = sum(condensation, ({ near1 }) => near1);
  const wet = sum(log.wetness, ({ expected }) => expected);
  const known = wet + sum(log.wetness, ({ dry }) => dry);
  if (known > 0) {
    const least = sum(log.wetness, ({ certain }) => certain);
    const most = sum(log.wetness, ({ possible }) => possible);
    const { class: group } = yearlyWetness(wet, known);
    lines.push(
      `within 1 K of condensing for a further ${inHours(near)}; air above 80 % and 0 °C (time of wetness) for ` +
        `${inHours(wet)} of ${inHours(known)} known, ${fixed(least / HOUR, 0)} to ${fixed(most / HOUR, 0)} h within the accuracy` +
        (group === null ? '' : `, class ${group} of ISO 9223`),
    );
  }
  if (wood !== null) lines.push(woodInWords(wood));
  const last = mould.at(-1);
  if (last !== undefined && !Number.isNaN(last.index)) {
    const held = sum(mould, ({ held: time }) => time) > HOLE ? 'at least ' : '';
    lines.push(
      `mould index ${held}${fixed(last.index, 1)} at the end, ${fixed(last.lowest, 1)} to ${fixed(last.highest, 1)} ` +
        `within the accuracy (${exposure.surface.mould.class}; from 0 at the first reading; 1 begins, 3 is visible)`,
    );
  }
  if (standing.failing > 0 && standing.firstFailing !== null) {
    lines.push(
      `30-day mean above 80 % on ${standing.failing} days, first on ${formatDate(standing.firstFailing.start, zone)} ` +
        '(ASHRAE 160 of 2009, a strict criterion)',
    );
  }
  return lines;
}

function woodInWords({ expected, drier, damper }: NonNullable<Exposure['wood']>): string {
  const greatest = (boards: readonly BoardSummary[]) =>
    boards.reduce((most, { max }) => (max > most || Number.isNaN(most) ? max : most), NaN);
  const most = greatest(expected);
  if (Number.isNaN(most)) return 'moisture of the wood unknown';
  const above18 = sum(expected, ({ abovePanelLimit }) => abovePanelLimit);
  const above20 = sum(expected, ({ aboveDecayLimit }) => aboveDecayLimit);
  return (
    `wood at most ${fixed(most, 1)} % moist, ${fixed(greatest(drier), 1)} to ${fixed(greatest(damper), 1)} % within the ` +
    `accuracy; above 18 % for ${inHours(above18)}, above 20 % for ${inHours(above20)}`
  );
}
