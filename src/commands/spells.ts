import { exactDuration } from '../calendar/duration.js';
import { nearest } from '../calendar/nearest.js';
import { periodsCovering } from '../calendar/period.js';
import { appliesTo, type Condition, type NamedLogger, parseCondition } from '../damp/condition.js';
import {
  type AirSettings,
  heldTimes,
  heldTogether,
  type Station,
  type StationSurface,
} from '../damp/conditionHeld.js';
import { airingConditions, FROST_FREE, paintingConditions } from '../damp/conditionPresets.js';
import { spellsOf } from '../damp/spells.js';
import type { Surface } from '../damp/surface.js';
import { InputError } from '../errors.js';
import type { Accuracy } from '../log/sensor.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import { spanOf } from '../report/coverage.js';
import {
  SPELLS_CAUTIONS,
  SPELLS_CSV_COLUMNS,
  SPELLS_HEADINGS,
  SPELLS_LEGEND,
  type SpellsLog,
  spellsCells,
  spellsDocument,
  spellsHeadline,
  spellsProse,
  spellsRows,
} from '../report/spellsReport.js';
import { HOUR, type Milliseconds } from '../units.js';
import { type AirOptions, airModelOf, pressureOf } from './airOptions.js';
import { type CompanionFinder, companionFinder } from './companions.js';
import { type Intake, takeIn, type Work } from './intake.js';
import type { Format, ReadingOptions, SpellPurpose, WritingOptions } from './options.js';
import { deliver, Exit, exitOf, nothingRead, sayIntake } from './session.js';
import { onSheet } from './sheet.js';
import { isStated, statedSurfaces } from './statedSurfaces.js';

export interface SpellsOptions extends ReadingOptions, WritingOptions, AirOptions {
  readonly format: Format;
  readonly where?: readonly string[];
  readonly for?: SpellPurpose;
  readonly lasting?: string;
  /** Names of surfaces that are to be painted, and `NAME=DURATION`: masses that stand beside every logger. */
  readonly surface?: readonly string[] | undefined;
  readonly indoor?: string;
  readonly outdoor?: string;
  readonly temperatureAccuracy?: number;
  readonly humidityAccuracy?: number;
}

/** A coat needs hours to dry before the air may turn damp: our choice, the product sheet says better. */
const PAINTING_LASTS: Milliseconds = 4 * HOUR;

/** When stated conditions held long enough. */
export async function runSpells(logs: readonly string[], given: SpellsOptions, io: Io): Promise<Exit> {
  const stated = statedSurfaces(given.surface?.filter(isStated) ?? []);
  const named = given.surface?.filter((text) => !isStated(text));
  refuseWhatDoesNotBelong({ ...given, surface: named });
  const options = { ...given, surface: named && [...named, ...stated.map(({ name }) => name)] };
  const least = leastOf(options);
  const { logger, ...everything } = options;
  const intake = withSurfaces(await takeIn(logs, speaksOfOthers(options) ? everything : options, io), stated);
  sayIntake(io, intake, options);
  if (nothingRead(intake)) return Exit.failed;

  const asked = questions(intake, options);
  if (asked.length === 0 && intake.failures.length === 0) {
    const ids = intake.works.map(({ reading }) => reading.log.logger).filter((id) => isWanted(id, options));
    throw new InputError(
      'no logger has all that is asked for',
      { text: options.where?.join(' and ') ?? options.for! },
      `looked at: ${ids.join(', ') || 'none'}`,
    );
  }
  const companionOf = companionFinder(logs, options, io, intake);
  const stationOf = await stationsOf(intake, asked, options, companionOf);
  const air = { pressure: pressureOf(options, intake.site), model: airModelOf(options) };
  const spells = asked
    .map((question) => spellsAt(question, options, least, intake, stationOf, air))
    .filter((done) => done !== null);
  await deliver(await textOf(options, spells, least, intake, io), options, io, intake.paths);
  return exitOf(intake, options);
}

/** The intake with these surfaces beside every logger, in the place of its own of the same names. */
function withSurfaces(intake: Intake, stated: readonly Surface[]): Intake {
  const names = stated.map(({ name }) => name);
  const works = intake.works.map((work) => {
    const others = work.logger.surfaces.filter(({ name }) => !isAmong(names, name));
    return { ...work, logger: { ...work.logger, surfaces: [...others, ...stated] } };
  });
  return { ...intake, works };
}

function refuseWhatDoesNotBelong(options: SpellsOptions): void {
  const { for: purpose, where, surface, indoor, outdoor } = options;
  if (purpose === undefined && where === undefined) {
    throw new InputError(
      'no condition to look for',
      {},
      'write --where "relative_humidity<=85", or --for painting, airing or frost-free',
    );
  }
  if (purpose === 'airing') {
    if (indoor === undefined || outdoor === undefined) {
      throw new InputError(
        '--for airing compares two loggers',
        {},
        'name them with --indoor ID and --outdoor ID',
      );
    }
    if (indoor === outdoor) {
      throw new InputError('--indoor and --outdoor are the same logger', { text: indoor }, 'name two');
    }
  } else if (indoor !== undefined || outdoor !== undefined) {
    throw new InputError('--indoor and --outdoor belong to --for airing', {}, 'add it, or leave them out');
  }
  if (surface !== undefined && surface.length > 0 && purpose !== 'painting') {
    throw new InputError(
      '--surface belongs to --for painting',
      {},
      'elsewhere name a surface in a condition, as in --where "hull.margin>=3"',
    );
  }
}

/** How long a spell lasts at least. */
function leastOf({ lasting, for: purpose }: SpellsOptions): Milliseconds {
  if (lasting === undefined) return purpose === 'painting' ? PAINTING_LASTS : 0;
  const [, hours, minutes] = /^(?:([\d.,]+) ?h)? ?(?:([\d.,]+) ?min)?$/.exec(lasting.trim()) ?? [];
  const plain = hours !== undefined || minutes !== undefined;
  const text = plain ? `PT${hours ? `${hours}H` : ''}${minutes ? `${minutes}M` : ''}` : lasting.trim();
  try {
    return exactDuration(text);
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw new InputError(
      '--lasting takes a length of time',
      { text: lasting },
      'write 4h, 90min, 1h30min or, as ISO 8601 has it, PT1H30M',
    );
  }
}

/** Conditions may name loggers that `--logger` leaves out: then all are read, and those asked for are shown. */
function speaksOfOthers({ where = [], outdoor }: SpellsOptions): boolean {
  return outdoor !== undefined || where.some((text) => text.includes('/'));
}

function isWanted(id: string, { logger, indoor }: SpellsOptions): boolean {
  return (logger === undefined || logger.includes(id)) && (indoor === undefined || indoor === id);
}

function namesOf({ logger, reading }: Work): NamedLogger {
  return { id: reading.log.logger, surfaces: logger.surfaces.map(({ name }) => name) };
}

/** A logger and what has to hold there. */
interface Question {
  readonly work: Work;
  readonly conditions: readonly Condition[];
}

/** What is asked of which logger; those that lack something are left out. */
function questions({ works }: Intake, options: SpellsOptions): Question[] {
  const loggers = works.map(namesOf);
  const where = (options.where ?? []).map((text) => parseCondition(text, loggers));
  const ids = loggers.map(({ id }) => id);
  const wanted = speaksOfOthers(options) ? (options.logger ?? []) : [];
  for (const id of [options.indoor, options.outdoor, ...wanted]) {
    if (id !== undefined) refuseUnknown('logger', id, ids);
  }
  const surfaces = loggers.flatMap((logger) => logger.surfaces);
  for (const name of options.surface ?? []) {
    if (!isAmong(surfaces, name)) refuseUnknown('surface', name, surfaces);
  }
  return works.flatMap((work) => {
    const own = namesOf(work);
    const ready = isWanted(own.id, options) ? readyMade(own, options) : null;
    if (ready === null) return [];
    const conditions = [...ready, ...where];
    return conditions.every((condition) => appliesTo(condition, own)) ? [{ work, conditions }] : [];
  });
}

/** The conditions of `--for` at a logger; null where it has nothing that they could be put to. */
function readyMade(
  { surfaces }: NamedLogger,
  { for: purpose, surface, outdoor }: SpellsOptions,
): readonly Condition[] | null {
  if (purpose === undefined) return [];
  switch (purpose) {
    case 'frost-free':
      return FROST_FREE;
    case 'airing':
      return airingConditions(outdoor!);
    case 'painting': {
      const painted = surfaces.filter((name) => surface === undefined || isAmong(surface, name));
      return painted.length > 0 ? paintingConditions(painted) : null;
    }
  }
}

function refuseUnknown(what: string, name: string, names: readonly string[]): void {
  if (names.includes(name)) return;
  const near = nearest(name, names);
  throw new InputError(
    `there is no ${what} of this name`,
    { text: name },
    near.length > 0 ? `did you mean ${near.join(' or ')}?` : `there are ${[...new Set(names)].join(', ')}`,
  );
}

/** Whether a surface is among others; capital letters do not matter, as in conditions. */
function isAmong(names: readonly string[], name: string): boolean {
  return names.some((each) => each.toLowerCase() === name.toLowerCase());
}

/** The loggers as conditions see them, with the surfaces that these name. */
async function stationsOf(
  { works }: Intake,
  asked: readonly Question[],
  options: SpellsOptions,
  companionOf: CompanionFinder,
): Promise<(logger: string) => Station> {
  const named = new Set(
    asked.flatMap(({ conditions }) =>
      conditions
        .flatMap(({ left, right }) => [left, right])
        .map((operand) => (operand !== null && 'surface' in operand ? operand.surface : null)),
    ),
  );
  const stations = new Map<string, Station>();
  for (const work of works) {
    const surfaces: StationSurface[] = [];
    for (const surface of work.logger.surfaces) {
      if (named.has(surface.name)) surfaces.push({ surface, companion: await companionOf(surface, work) });
    }
    const { course: log, bridge } = work;
    stations.set(work.reading.log.logger, { log, bridge, accuracy: accuracyOf(work, options), surfaces });
  }
  return (logger) => stations.get(logger)!;
}

function accuracyOf({ logger }: Work, options: SpellsOptions): Accuracy {
  return {
    temperature: options.temperatureAccuracy ?? logger.accuracy.temperature,
    humidity: options.humidityAccuracy ?? logger.accuracy.humidity,
  };
}

function spellsAt(
  { work, conditions }: Question,
  options: SpellsOptions,
  least: Milliseconds,
  { works, window, zone }: Intake,
  stationOf: (logger: string) => Station,
  air: AirSettings,
): SpellsLog | null {
  const span = spanOf(work.cleaned.log, window);
  if (span === null) return null;
  const own = work.reading.log.logger;
  const held = conditions.map((condition) => heldTimes(condition, own, stationOf, air)).reduce(heldTogether);
  const days = periodsCovering('day', span.from, span.until, zone);
  const texts = conditions.map(({ text }) => text);
  const concerned = new Set([own, ...conditions.flatMap(({ left, right }) => [left.logger, right?.logger])]);
  const stated = options.temperatureAccuracy !== undefined || options.humidityAccuracy !== undefined;
  return {
    logger: own,
    condition: [
      ...(options.for === undefined ? [] : [options.for]),
      ...(options.where ?? []).map((text) => text.trim()),
    ].join(' and '),
    conditions: texts,
    sensors: works
      .filter(({ reading }) => concerned.has(reading.log.logger))
      .map((each) => ({
        logger: each.reading.log.logger,
        accuracy: accuracyOf(each, options),
        accuracySource: stated ? 'option' : each.logger.accuracySource,
      })),
    spells: spellsOf(held, { start: span.from, end: span.until }, days, least),
  };
}

async function textOf(
  options: SpellsOptions,
  spells: readonly SpellsLog[],
  least: Milliseconds,
  { zone }: Intake,
  io: Io,
): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(spellsDocument(spells, least, zone))];
  if (options.format === 'csv') return csvLines(SPELLS_CSV_COLUMNS, spellsRows(spells, zone));
  return onSheet('Spells', options, io, (sheet) => table(spells, least, options, zone, sheet));
}

function* table(
  spells: readonly SpellsLog[],
  least: Milliseconds,
  { quiet }: SpellsOptions,
  zone: Intake['zone'],
  sheet: Sheet,
): Generator<string> {
  const columns = SPELLS_HEADINGS.map(
    (heading, i) => ({ heading, align: i === 0 ? 'left' : 'right' }) as const,
  );
  for (const log of spells) {
    yield* sheet.title(spellsHeadline(log, least));
    yield* sheet.table(columns, spellsCells(log.spells, zone));
    for (const line of spellsProse(log)) yield* sheet.prose(line);
    yield* sheet.gap();
  }
  if (quiet === true) return;
  if (spells.length > 0) yield* sheet.prose(SPELLS_LEGEND);
  for (const caution of SPELLS_CAUTIONS) yield* sheet.smallPrint(caution);
}
