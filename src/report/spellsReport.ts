import { formatDate, formatDuration, formatInstant, formatWallMinute } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import type { Spell, Spells, SpellTime } from '../damp/spells.js';
import { fixed } from '../figures.js';
import type { Accuracy } from '../log/sensor.js';
import { HOUR, type Milliseconds } from '../units.js';
import { hours, inHours } from './written.js';

/** The spells of one logger. */
export interface SpellsLog {
  readonly logger: string;
  /** What was asked for, in short. */
  readonly condition: string;
  /** All that had to hold at once, each as people read it. */
  readonly conditions: readonly string[];
  /** Every logger that they speak of. */
  readonly sensors: readonly SpellsSensor[];
  readonly spells: Spells;
}

export interface SpellsSensor {
  readonly logger: string;
  readonly accuracy: Accuracy;
  /** Whether the accuracy is stated or a default. */
  readonly accuracySource: string;
}

/** The columns of `spells --format csv`; a contract. */
export const SPELLS_CSV_COLUMNS = [
  'logger',
  'condition',
  'spell_start',
  'spell_end',
  'hours',
  'hours_certain',
  'hours_possible',
  'bounded_by_unknown',
] as const;

type Row = Record<(typeof SPELLS_CSV_COLUMNS)[number], string | number | boolean>;

function rowOf({ logger, condition }: SpellsLog, spell: Spell, zone: Zone): Row {
  return {
    logger,
    condition,
    spell_start: formatInstant(spell.start, zone),
    spell_end: formatInstant(spell.end, zone),
    hours: hours(spell.end - spell.start),
    hours_certain: hours(spell.certain),
    hours_possible: hours(spell.possible),
    bounded_by_unknown: spell.boundedByUnknown,
  };
}

/** Rows under `SPELLS_CSV_COLUMNS`. */
export function* spellsRows(logs: readonly SpellsLog[], zone: Zone): Generator<(string | number)[]> {
  for (const log of logs) {
    for (const spell of log.spells.spells) {
      const row = rowOf(log, spell, zone);
      yield SPELLS_CSV_COLUMNS.map((name) => {
        const cell = row[name];
        return typeof cell === 'boolean' ? `${cell}` : cell;
      });
    }
  }
}

/** They stand in every form of the output but the CSV. Common practice, no source. */
export const SPELLS_CAUTIONS: readonly string[] = [
  'For coatings their own data sheets come first; measure on the surface itself before work begins.',
  'Estimates from small sensors: no alarm for heat or frost, and no proof that a place is dry or safe.',
];

export function spellsDocument(logs: readonly SpellsLog[], least: Milliseconds, zone: Zone): object {
  return {
    format: 'dewledger/spells',
    version: 1,
    zone: zone.name,
    lasting_hours: hours(least),
    logs: logs.map((log) => ({
      logger: log.logger,
      condition: log.condition,
      conditions: log.conditions,
      sensors: log.sensors.map(({ logger, accuracy, accuracySource }) => ({
        logger,
        air_temperature_K: accuracy.temperature,
        relative_humidity_pct: accuracy.humidity,
        from: accuracySource,
      })),
      ...timeDocument(log.spells.all, zone),
      days: log.spells.days.map((day) => ({
        day: formatDate(day.period.start, zone),
        ...timeDocument(day, zone),
      })),
      spells: log.spells.spells.map((spell) => rowOf(log, spell, zone)),
    })),
    cautions: SPELLS_CAUTIONS,
  };
}

function timeDocument(time: SpellTime, zone: Zone): object {
  const { period, certain, expected, possible, without, unknown } = time;
  const known = (duration: Milliseconds) => (isUnseen(time) ? null : hours(duration));
  return {
    from: formatInstant(period.start, zone),
    until: formatInstant(period.end, zone),
    hours: known(expected),
    hours_certain: known(certain),
    hours_possible: known(possible),
    hours_without: known(without),
    hours_unknown: hours(unknown),
  };
}

/** Of a time that nobody saw nothing is known, not even that nothing held. */
function isUnseen({ period, unknown }: SpellTime): boolean {
  return unknown >= period.end - period.start;
}

export const SPELLS_HEADINGS = ['day', 'from', 'until', 'hours', 'certain h', 'possible h'] as const;

/** What the columns mean. */
export const SPELLS_LEGEND =
  'Certain: of these hours, in stretches long enough whatever the error within the accuracy. ' +
  'Possible: the stretch at its longest, which may take in several spells.';

/** A table for people: a row for each spell, and their sums. */
export function spellsCells({ spells, all }: Spells, zone: Zone): string[][] {
  const rows = spells.map((spell) => {
    const day = formatDate(spell.start, zone);
    const until = formatWallMinute(spell.end, zone);
    return [
      day,
      formatWallMinute(spell.start, zone).slice(11),
      until.startsWith(day) ? until.slice(11) : until.slice(5),
      `${spell.boundedByUnknown ? '≥' : ''}${fixed((spell.end - spell.start) / HOUR, 1)}`,
      fixed(spell.certain / HOUR, 1),
      fixed(spell.possible / HOUR, 1),
    ];
  });
  const total = (duration: Milliseconds) => (isUnseen(all) ? 'unknown' : fixed(duration / HOUR, 1));
  return [...rows, ['all', '', '', total(all.expected), total(all.certain), total(all.possible)]];
}

/** What stands over the table of one logger. */
export function spellsHeadline({ logger, condition, conditions }: SpellsLog, least: Milliseconds): string {
  const named = conditions.join(' and ');
  const asked = condition === named ? named : `${condition} (${named})`;
  return `${logger}: ${asked}${least > 0 ? `, for ${formatDuration(least)} or longer` : ''}`;
}

/** What has to be said about the table. */
export function spellsProse({ sensors, spells: { spells, all } }: SpellsLog): string[] {
  const lines = [
    `unknown for ${inHours(all.unknown)} of ${inHours(all.period.end - all.period.start)}; ` +
      `sensors: ${sensors.map(sensorInWords).join('; ')}`,
  ];
  if (spells.some(({ boundedByUnknown }) => boundedByUnknown)) {
    lines.push('≥ reads "at least": the spell begins or ends where nothing is known.');
  }
  return lines;
}

function sensorInWords({ logger, accuracy, accuracySource }: SpellsSensor): string {
  const source = accuracySource === 'assumed' ? 'assumed' : 'stated';
  return `${logger} ± ${accuracy.temperature} K, ± ${accuracy.humidity} % (${source})`;
}
