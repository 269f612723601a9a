import { exactDuration } from '../calendar/duration.js';
import { InputError } from '../errors.js';
import { type BeatFolder, beatFolder } from '../outages/beats.js';
import type { Io } from '../present/io.js';
import { type Progress, withProgress } from '../present/progress.js';
import { type BeatInput, type BeatListener, type BeatSource, readBeats } from '../reading/heartbeats.js';
import { beatLoggerFromPath, STDIN, sourceName } from '../reading/source.js';
import { heartbeatFilesOf } from '../site/files.js';
import type { Instant, Milliseconds } from '../units.js';
import { expanded, type Intake, type RawWork, takeIn } from './intake.js';
import type { ReadingOptions, WritingOptions } from './options.js';
import { say, sayAssumptions, sayFailures } from './session.js';

/** The heartbeats of all loggers, folded. */
export interface BeatIntake {
  readonly folders: ReadonlyMap<string, BeatFolder>;
  /** The last beat of any logger in each source. */
  readonly lastBeats: readonly Instant[];
  readonly sources: readonly BeatSource[];
  readonly failures: readonly InputError[];
  readonly paths: readonly string[];
}

/** What tells where heartbeats are. */
export interface BeatOptions extends ReadingOptions {
  /** Files or patterns; absent: those of the site file. */
  readonly heartbeats?: readonly string[];
  /** Time between them, as written; absent: that of the site file, else inferred. */
  readonly heartbeatCadence?: string;
}

/** Readings and heartbeats, and what failed of either; it is said, too. */
export async function takeInWithBeats(
  logs: readonly string[],
  options: BeatOptions & Pick<WritingOptions, 'quiet' | 'verbose'>,
  io: Io,
): Promise<{
  readonly intake: Intake<RawWork>;
  readonly beats: BeatIntake;
  readonly failures: readonly InputError[];
  /** The paths that were read, which must not be overwritten. */
  readonly paths: readonly string[];
}> {
  const intake = await takeIn(logs, options, io, { raw: true });
  const beats = await takeBeats(options, intake, io);
  const failures = [...intake.failures, ...beats.failures];
  sayFailures(io, failures);
  if (options.verbose) {
    sayAssumptions(io, intake);
    sayBeats(io, beats);
  }
  return { intake, beats, failures, paths: [...intake.paths, ...beats.paths] };
}

/** Reads and folds heartbeats; inputs that fail one by one are in `failures`. */
function takeBeats(
  options: BeatOptions & Pick<WritingOptions, 'quiet'>,
  intake: Intake,
  io: Io,
): Promise<BeatIntake> {
  return withProgress(io, options.quiet === true, (progress) => taken(options, intake, io, progress));
}

async function taken(options: BeatOptions, intake: Intake, io: Io, progress: Progress): Promise<BeatIntake> {
  const cadence = cadenceOption(options.heartbeatCadence);
  const { site } = intake;
  const folders = new Map<string, BeatFolder>();
  const sources: BeatSource[] = [];
  const lastBeats: Instant[] = [];
  const failures: InputError[] = [];
  const inputs = await beatInputs(options, intake, io);
  const folderOf = (logger: string): BeatFolder => {
    let folder = folders.get(logger);
    if (folder === undefined) {
      const stated = site.loggers.find(({ id }) => id === logger)?.heartbeatCadence ?? null;
      folder = beatFolder(cadence ?? stated);
      folders.set(logger, folder);
    }
    return folder;
  };
  let last = -Infinity;
  let name = '';
  let folder: BeatFolder | null = null;
  const onBeat: BeatListener = (logger, time, restarted, skipped) => {
    if (time > last) last = time;
    if (folder === null || logger !== name) [name, folder] = [logger, folderOf(logger)];
    folder.take(time, restarted, skipped);
  };
  for (const input of inputs) {
    progress(`reading ${sourceName(input.path)}`);
    last = -Infinity;
    try {
      const source = await readBeats(input, io.stdin, onBeat);
      sources.push(source);
      lastBeats.push(last);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      failures.push(error);
    }
  }
  return { folders, lastBeats, sources, failures, paths: inputs.map(({ path }) => path) };
}

function cadenceOption(text: string | undefined): Milliseconds | null {
  if (text === undefined) return null;
  const cadence = exactDuration(text);
  if (cadence > 0) return cadence;
  throw new InputError(
    '--heartbeat-cadence must be longer than nothing',
    { text },
    'such as PT1M for a minute',
  );
}

/** The heartbeat logs of the options, else those of the site file. */
async function beatInputs(
  options: BeatOptions,
  { site, works, zone, paths }: Intake,
  io: Io,
): Promise<BeatInput[]> {
  const inputs = new Map<string, BeatInput>();
  const add = (path: string, id: string) => {
    if (inputs.has(path)) return;
    const logger = site.loggers.find((each) => each.id === id);
    const dateOrder = options.dateOrder ?? logger?.reading.dateOrder ?? null;
    inputs.set(path, { path, logger: id, zone: logger?.zone ?? zone, dateOrder });
  };
  if (options.heartbeats !== undefined) {
    if ([...paths, ...options.heartbeats].filter((path) => path === STDIN).length > 1) {
      throw new InputError(
        'standard input can be read only once',
        { text: STDIN },
        'name a file for the readings or for the heartbeats',
      );
    }
    const known = [...site.loggers.map(({ id }) => id), ...works.map(({ reading }) => reading.log.logger)];
    for (const word of options.heartbeats) {
      for (const path of await expanded(word, io.cwd)) add(path, loggerOfBeats(path, known));
    }
    return [...inputs.values()];
  }
  for (const logger of site.loggers) {
    if (options.logger !== undefined && !options.logger.includes(logger.id)) continue;
    for (const path of await heartbeatFilesOf(site, logger)) add(path, logger.id);
  }
  return [...inputs.values()];
}

/** Whose beats a file holds where its lines do not say: by its name, else of the only logger that is known. */
function loggerOfBeats(path: string, known: readonly string[]): string {
  const name = beatLoggerFromPath(path);
  return known.includes(name) || new Set(known).size !== 1 ? name : known[0]!;
}

/** What was taken for granted about the heartbeats, for `--verbose`. */
function sayBeats(io: Io, { sources }: BeatIntake): void {
  for (const { source, lines, zone, rejected } of sources) {
    const { total, header, blank, accepted } = lines;
    const zoned = zone === null ? '' : `, local in ${zone.name}`;
    say(
      io,
      `${source}: heartbeats${zoned}, lines total ${total}, header ${header}, blank ${blank}, ` +
        `accepted ${accepted}, rejected ${lines.rejected}`,
    );
    for (const [reason, { count, line, example }] of rejected) {
      say(io, `${source}:${line}: ${count} rejected (${reason}), the first: ${example}`);
    }
  }
}
