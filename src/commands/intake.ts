import { stat } from 'node:fs/promises';
import { homedir } from 'node:os';
import { resolve } from 'node:path';
import { type Audit, audit, type Verdicts } from '../audit/audit.js';
import type { AuditSettings, LimitSetting } from '../audit/check.js';
import { DEFAULT_LIMITS } from '../audit/grossRange.js';
import { exactDuration } from '../calendar/duration.js';
import { type Window, windowFrom } from '../calendar/window.js';
import { systemZone, type Zone, zoneNamed } from '../calendar/zone.js';
import { type BadPolicy, type Cleaned, clean, partOfCleaned } from '../cleaning/clean.js';
import { InputError } from '../errors.js';
import { bridgingLimit } from '../log/bridging.js';
import type { CleanLog, Log } from '../log/log.js';
import type { Io } from '../present/io.js';
import { type Progress, withProgress } from '../present/progress.js';
import type { LayoutOptions } from '../reading/layout.js';
import {
  emptyReading,
  type LogAccount,
  type LogReading,
  type Reading,
  readLogs,
  toCelsius,
} from '../reading/logs.js';
import type { Input, RejectListener } from '../reading/read.js';
import { loggerFromPath, STDIN, sourceName } from '../reading/source.js';
import { fileOwners, filesOf } from '../site/files.js';
import { findSite } from '../site/find.js';
import { defaultSite, loggerOf, type ReadingHints, type Site, type SiteLogger } from '../site/site.js';
import type { Milliseconds } from '../units.js';
import type { LayoutWords, ReadingOptions, WritingOptions } from './options.js';

/** One logger's log, audited and cleaned, with all that belongs to it. */
export interface Work {
  /** Without the columns as they were read: cleaning took their memory. */
  readonly reading: LogAccount;
  readonly logger: SiteLogger;
  readonly audit: Verdicts;
  readonly cleaned: Cleaned;
  /** All readings there are, cleaned, with those outside the window: what means and durations are made from. */
  readonly course: CleanLog;
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
}

/** The same with the log as it was read. */
export interface RawWork extends Work {
  readonly reading: LogReading;
  readonly audit: Audit;
}

export interface Intake<Each extends Work = Work> {
  readonly site: Site;
  /** Where the site file was named; null without one. */
  readonly siteFrom: string | null;
  readonly zone: Zone;
  readonly zoneFrom: 'option' | 'environment' | 'site file' | 'system';
  readonly window: Window;
  readonly works: readonly Each[];
  readonly sources: Reading['sources'];
  readonly failures: readonly InputError[];
  /** The paths that were read, which must not be overwritten. */
  readonly paths: readonly string[];
}

export interface IntakeOptions {
  readonly bad?: BadPolicy;
  readonly onReject?: RejectListener | undefined;
  /**
   * Whether the readings are asked for as they were read, too. Else the cleaned ones take their memory, which is most of
   * what a long log takes.
   */
  readonly raw?: boolean;
}

/**
 * Everything up to the cleaned logs, the same for every command: settles site, zone and window, reads,
 * audits and cleans.
 *
 * @throws InputError where nothing can be done at all; inputs that fail one by one are in `failures`
 */
export function takeIn(
  logs: readonly string[],
  options: ReadingOptions & Pick<WritingOptions, 'quiet'>,
  io: Io,
  settings: IntakeOptions & { readonly raw: true },
): Promise<Intake<RawWork>>;
export function takeIn(
  logs: readonly string[],
  options: ReadingOptions & Pick<WritingOptions, 'quiet'>,
  io: Io,
  settings?: IntakeOptions,
): Promise<Intake>;
export async function takeIn(
  logs: readonly string[],
  options: ReadingOptions & Pick<WritingOptions, 'quiet'>,
  io: Io,
  settings: IntakeOptions = {},
): Promise<Intake> {
  return withProgress(io, options.quiet === true, (progress) => taken(logs, options, io, settings, progress));
}

async function taken(
  logs: readonly string[],
  options: ReadingOptions,
  io: Io,
  { bad = 'blank', onReject, raw = false }: IntakeOptions,
  progress: Progress,
): Promise<Intake> {
  const stated = {
    cadence: durationOption('--cadence', options.cadence),
    bridge: durationOption('--bridge', options.bridge),
  };
  const { site, from: siteFrom } = await siteFor(options, io);
  const { zone, from: zoneFrom } = zoneFor(options, io, site);
  const window = windowFrom(options, zone, () => io.now());
  const fromSite = logs.length === 0 && site.loggers.some(({ files }) => files.length > 0);
  const { inputs, silent } = fromSite
    ? await siteInputs(site, options, zone)
    : { inputs: await namedInputs(logs, site, options, zone, io), silent: [] };
  const reading = await readLogs(inputs, window, io.stdin, onReject, ({ path }) =>
    progress(`reading ${sourceName(path)}`),
  );
  const wanted = options.logger;
  const found = [...reading.logs, ...silent.map(emptyReading)].filter(
    ({ log }) => wanted === undefined || wanted.includes(log.logger),
  );
  const failures = [...reading.failures, ...missingLoggers(wanted, found, reading)];
  // a check may look at the other logs as they were read: all are checked before one is cleaned
  const audits = found
    .sort((a, b) => orderOf(site, a) - orderOf(site, b))
    .map((each, _, all) => {
      progress(`checking ${each.log.logger}`);
      const others = all.filter((other) => other !== each).map(({ around }) => around);
      return auditOf(each, others, site, options, stated.cadence, window, zone);
    });
  const works = audits.map((each) => cleanedWork(each, site, stated.bridge, bad, raw));
  return {
    site,
    siteFrom,
    zone,
    zoneFrom,
    window,
    works,
    sources: reading.sources,
    failures,
    paths: [...inputs.map(({ path }) => path), ...(site.file === null ? [] : [site.file])],
  };
}

export function durationOption(option: string, text: string | undefined): Milliseconds | null {
  if (text === undefined) return null;
  const duration = exactDuration(text);
  if (duration > 0) return duration;
  throw new InputError(`${option} must be longer than nothing`, { text }, 'such as PT10M for ten minutes');
}

/** As the site file lists them; others behind, by name, as the reader gives them. */
function orderOf(site: Site, { log }: LogReading): number {
  const place = site.loggers.findIndex(({ id }) => id === log.logger);
  return place < 0 ? site.loggers.length : place;
}

/** The site that counts, and where it was named; the defaults where there is no site file. */
export async function siteFor(
  options: Pick<ReadingOptions, 'site'>,
  io: Io,
): Promise<{ site: Site; from: string | null }> {
  const found = await findSite({
    option: options.site ?? null,
    env: io.env,
    cwd: io.cwd,
    home: io.env.HOME ?? homedir(),
  });
  if (found === null) return { site: defaultSite, from: null };
  const { loadSite } = await import('../site/load.js');
  return { site: await loadSite(found.path), from: found.from };
}

export function zoneFor(
  options: Pick<ReadingOptions, 'zone'>,
  io: Io,
  site: Site,
): { zone: Zone; from: Intake['zoneFrom'] } {
  if (options.zone !== undefined) return { zone: zoneNamed(options.zone), from: 'option' };
  const named = io.env.DEWLEDGER_ZONE;
  if (named !== undefined && named !== '') return { zone: zoneNamed(named), from: 'environment' };
  if (site.zone !== null) return { zone: site.zone, from: 'site file' };
  return { zone: systemZone(), from: 'system' };
}

/** The logs that the site file names, and the loggers of it for which no file is there. */
async function siteInputs(site: Site, options: ReadingOptions, zone: Zone) {
  const inputs = new Map<string, Input>();
  const silent: string[] = [];
  for (const logger of site.loggers) {
    if (options.logger !== undefined && !options.logger.includes(logger.id)) continue;
    const files = await filesOf(site, logger);
    if (files.length === 0) silent.push(logger.id);
    for (const path of files) {
      if (!inputs.has(path)) inputs.set(path, inputFor(path, logger, options, zone));
    }
  }
  return { inputs: [...inputs.values()], silent };
}

async function namedInputs(
  logs: readonly string[],
  site: Site,
  options: ReadingOptions,
  zone: Zone,
  io: Io,
): Promise<Input[]> {
  const words = logs.length > 0 ? logs : [STDIN];
  if (words.filter((word) => word === STDIN).length > 1) {
    throw new InputError('standard input can be read only once', { text: STDIN }, 'give - one time');
  }
  const owners = await fileOwners(site);
  const inputs: Input[] = [];
  for (const word of words) {
    for (const path of await expanded(word, io.cwd)) {
      const mine = path === STDIN ? [] : await owners(path);
      const logger = mine[0] ?? loggerOf(site, loggerFromPath(path));
      inputs.push(inputFor(path, logger, options, zone));
    }
  }
  return inputs;
}

/** A path as it is; a pattern (quoted, so that the shell left it alone) as the files that it matches. */
export async function expanded(word: string, cwd: string): Promise<string[]> {
  if (word === STDIN) return [STDIN];
  const exists = await stat(resolve(cwd, word)).then(
    () => true,
    () => false,
  );
  if (exists || !/[*?[{]/.test(word)) return [resolvedFor(word, cwd)];
  const { glob } = await import('tinyglobby');
  const found = await glob(word, { cwd, expandDirectories: false, absolute: cwd !== process.cwd() });
  if (found.length === 0)
    throw new InputError('no file matches', { text: word }, 'look at the path and the pattern');
  return found.sort();
}

/** Relative to the folder that the run was started in; the name is kept as it was written where that is ours. */
function resolvedFor(word: string, cwd: string): string {
  return cwd === process.cwd() ? word : resolve(cwd, word);
}

function inputFor(path: string, logger: SiteLogger, options: ReadingOptions, zone: Zone): Input {
  const layout: LayoutOptions = {
    ...layoutFor(options, logger.reading),
    header: options.header,
    humidityUnit: options.humidityUnit ?? null,
  };
  return { path, logger: logger.id, layout, zone: logger.zone ?? zone };
}

/** What options, else hints, say about the writing of a file. */
export function layoutFor(options: LayoutWords, hints: ReadingHints): LayoutOptions {
  return {
    timeColumn: options.timeColumn ?? hints.timeColumn,
    temperatureColumn: options.temperatureColumn ?? hints.temperatureColumn,
    humidityColumn: options.humidityColumn ?? hints.humidityColumn,
    loggerColumn: options.loggerColumn ?? hints.loggerColumn,
    header: true,
    delimiter: options.delimiter ?? hints.delimiter,
    decimal: options.decimal ?? hints.decimal,
    dateOrder: options.dateOrder ?? hints.dateOrder,
    temperatureUnit: options.temperatureUnit ?? hints.temperatureUnit,
    humidityUnit: null,
  };
}

/** Loggers that were asked for and are in none of the inputs. */
function missingLoggers(
  wanted: readonly string[] | undefined,
  found: readonly LogReading[],
  reading: Reading,
): InputError[] {
  const names = found.map(({ log }) => log.logger);
  return (wanted ?? [])
    .filter((id) => !names.includes(id))
    .map((id) => {
      const there = reading.logs.map(({ log }) => log.logger).join(', ');
      return new InputError(
        'there is no logger of this name',
        { text: id },
        `the inputs hold: ${there || 'none'}`,
      );
    });
}

type Audited = Pick<RawWork, 'reading' | 'audit'>;

function auditOf(
  reading: LogReading,
  others: readonly Log[],
  site: Site,
  options: ReadingOptions,
  cadence: Milliseconds | null,
  window: Window,
  zone: Zone,
): Audited {
  const unit = reading.parts[0]?.assumed.temperature_unit ?? null;
  const settings: AuditSettings = {
    ...limitsOf(loggerOf(site, reading.log.logger), cadence),
    from: window.from,
    until: window.until,
    toCelsius: (written) => toCelsius(written, unit),
    zone,
  };
  return { reading, audit: audit(reading, settings, new Set(options.skip), others) };
}

function cleanedWork(
  { reading, audit: audited }: Audited,
  site: Site,
  bridge: Milliseconds | null,
  bad: BadPolicy,
  raw: boolean,
): Work {
  const { logger: name, sources, length } = reading.log;
  const logger = loggerOf(site, name);
  const cleaned = clean(audited.around, logger.accuracy, bad, !raw);
  const { log: _, around: __, ...read } = reading;
  return {
    reading: raw ? reading : { ...read, log: { logger: name, sources, length } },
    logger,
    audit: raw ? audited : withoutLog(audited),
    cleaned: partOfCleaned(cleaned, audited.asked),
    course: cleaned.log,
    bridge: bridge ?? logger.bridge ?? bridgingLimit(audited.cadence),
  };
}

/** Without what cleaning in place has left behind. */
function withoutLog({ log: _, flags: __, around: ___, ...audited }: Audit): Verdicts {
  return audited;
}

/** What the checks go by for a logger. */
export function limitsOf(
  { cadence, limits, ownLimits, sensorRange, accuracy }: SiteLogger,
  told: Milliseconds | null,
): Pick<AuditSettings, LimitSetting> {
  return {
    cadence: told ?? cadence,
    limits: {
      airTemperature: limits.airTemperature ?? DEFAULT_LIMITS.airTemperature,
      relativeHumidity: limits.relativeHumidity ?? DEFAULT_LIMITS.relativeHumidity,
    },
    ownLimits,
    sensorRange,
    accuracy,
  };
}
