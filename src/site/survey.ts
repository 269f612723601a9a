import { counted } from '../audit/episodes.js';
import { resolutionOf } from '../audit/resolution.js';
import type { Zone } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import { inferCadence } from '../log/cadence.js';
import { type BeatFolder, beatFolder } from '../outages/beats.js';
import { readBeats } from '../reading/heartbeats.js';
import type { LayoutOptions } from '../reading/layout.js';
import {
  type Assumed,
  type LogReading,
  type Reading,
  readLogs,
  type SourceAccount,
} from '../reading/logs.js';
import { NoValues } from '../reading/noValues.js';
import type { Input } from '../reading/read.js';
import { beatLoggerFromPath, loggerFromPath } from '../reading/source.js';
import type { Instant, Milliseconds } from '../units.js';

/** What logs show of the place that they come from. */
export interface Survey {
  /** By id, in code point order. */
  readonly loggers: readonly SeenLogger[];
  /** Whether any stamp is without offset, so that the zone decides what instant it is. */
  readonly localStamps: boolean;
  /** Inputs of which nothing can be made. */
  readonly failures: readonly InputError[];
}

export interface SeenLogger {
  readonly id: string;
  /** Paths of its logs, as they were given; none of a logger that only heartbeats tell of. */
  readonly files: readonly string[];
  readonly readings: number;
  /** Instants of its first and last reading, null where it has none. */
  readonly span: readonly [first: Instant, last: Instant] | null;
  readonly cadence: Milliseconds | null;
  /** Step in which its values are written [K, %]; 0 finer than 0.01, NaN unknown. */
  readonly temperatureStep: number;
  readonly humidityStep: number;
  /** What the reader found out about the writing of its first log. */
  readonly assumed: Assumed | null;
  /** Headings of columns that hold the temperature of a surface. */
  readonly surfaceColumns: readonly string[];
  readonly heartbeats: SeenHeartbeats | null;
}

export interface SeenHeartbeats {
  readonly files: readonly string[];
  readonly beats: number;
  readonly cadence: Milliseconds;
}

/** A date at the end of a name: files that differ in it alone are parts of one log. A count may as well tell loggers apart. */
const DATE = /[-_. ]*(?:19|20)\d\d(?:[-_.]?\d\d){0,2}$/;

const EVERYTHING = { from: null, until: null };

/**
 * Reads logs and tells what there is to see in them: loggers, cadences, steps, surfaces, heartbeats.
 *
 * @param paths of files, in any order
 * @param layout what a person has said about the writing of them
 * @param zone of stamps without offset
 * @param onFile told of every file before it is read
 */
export async function survey(
  paths: readonly string[],
  layout: LayoutOptions,
  zone: Zone,
  stdin: AsyncIterable<unknown>,
  onFile: (path: string) => void = () => {},
): Promise<Survey> {
  const inputs = inputsOf(paths, layout, zone);
  const read = (each: readonly Input[]) =>
    readLogs(each, EVERYTHING, stdin, undefined, ({ path }) => onFile(path));
  const reading = await read(inputs);
  const beats = await beatsOf(reading.failures, layout, zone, stdin, onFile);
  const loggers = new Map<string, SeenLogger>();
  for (const log of reading.logs) {
    const { logger, sources } = log.log;
    const columns = await surfaceColumnsOf(
      log,
      reading,
      inputs.filter(({ path }) => sources.includes(path)),
      read,
    );
    loggers.set(logger, { ...seenIn(log, columns), heartbeats: beats.loggers.get(logger) ?? null });
  }
  for (const [id, heartbeats] of beats.loggers) {
    if (!loggers.has(id)) loggers.set(id, { ...UNSEEN, id, heartbeats });
  }
  return {
    loggers: [...loggers.values()].sort((a, b) => (a.id < b.id ? -1 : 1)),
    localStamps: beats.local || reading.sources.some(({ assumed }) => assumed.zone_of_stamps !== null),
    failures: beats.failures,
  };
}

/** What was found, in short. */
export function surveyInWords({ loggers }: Survey): string {
  const beating = loggers.filter(({ heartbeats }) => heartbeats !== null).length;
  const surfaces = loggers.flatMap(({ surfaceColumns }) => surfaceColumns).length;
  return [
    counted(loggers.length, 'logger'),
    ...(beating > 0 ? [`${beating} with heartbeats`] : []),
    ...(surfaces > 0 ? [counted(surfaces, 'measured surface')] : []),
  ].join(', ');
}

function inputsOf(paths: readonly string[], layout: LayoutOptions, zone: Zone): Input[] {
  const stems = paths.map((path) => loggerFromPath(path).replace(DATE, ''));
  return paths.map((path, i) => {
    const stem = stems[i]!;
    const isPart = stem !== '' && stems.indexOf(stem) !== stems.lastIndexOf(stem);
    return { path, logger: isPart ? stem : loggerFromPath(path), layout, zone };
  });
}

const UNSEEN: Omit<SeenLogger, 'id' | 'heartbeats'> = {
  files: [],
  readings: 0,
  span: null,
  cadence: null,
  temperatureStep: NaN,
  humidityStep: NaN,
  assumed: null,
  surfaceColumns: [],
};

function seenIn({ log, parts }: LogReading, surfaceColumns: readonly string[]): SeenLogger {
  const { logger, sources, time, temperature, humidity, length } = log;
  return {
    id: logger,
    files: sources,
    readings: length,
    span: length === 0 ? null : [time[0]!, time[length - 1]!],
    cadence: inferCadence(time),
    temperatureStep: resolutionOf(temperature, length),
    humidityStep: resolutionOf(humidity, length),
    assumed: parts[0]?.assumed ?? null,
    surfaceColumns,
    heartbeats: null,
  };
}

/** Inputs without values are heartbeats where they hold beats; the others stay failures. */
async function beatsOf(
  failures: readonly InputError[],
  layout: LayoutOptions,
  zone: Zone,
  stdin: AsyncIterable<unknown>,
  onFile: (path: string) => void,
) {
  const found = new Map<string, { files: string[]; beats: number; folder: BeatFolder }>();
  const left: InputError[] = [];
  let local = false;
  for (const failure of failures) {
    const path = failure.place.file;
    if (!(failure instanceof NoValues) || path === undefined) {
      left.push(failure);
      continue;
    }
    const input = { path, logger: beatLoggerFromPath(path), zone, dateOrder: layout.dateOrder };
    onFile(path);
    const folded = new Map<string, { beats: number; folder: BeatFolder }>();
    try {
      const source = await readBeats(input, stdin, (logger, time, restarted, skipped) => {
        const mine = folded.get(logger) ?? {
          beats: 0,
          folder: found.get(logger)?.folder ?? beatFolder(null),
        };
        folded.set(logger, mine);
        mine.beats++;
        mine.folder.take(time, restarted, skipped);
      });
      if (folded.size === 0) left.push(failure);
      local ||= source.zone !== null;
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      left.push(failure);
      continue;
    }
    for (const [logger, { beats, folder }] of folded) {
      const before = found.get(logger);
      found.set(logger, {
        files: [...(before?.files ?? []), path],
        beats: (before?.beats ?? 0) + beats,
        folder,
      });
    }
  }
  const loggers = new Map<string, SeenHeartbeats>();
  for (const [logger, { files, beats, folder }] of found) {
    loggers.set(logger, { files, beats, cadence: folder.result()!.cadence });
  }
  return { loggers, local, failures: left };
}

/** Things that people fasten a second thermometer to; a heading with one of these and a temperature is a surface. */
const SURFACE_WORDS =
  /surface|oberfl|wall|wand|hull|window|glass|pane|pipe|rohr|floor|boden|slab|beam|rafter|ceiling|decke|roof|metal|steel|stone/i;
const TEMPERATURE_WORDS = /temp|°\s*[CF]|deg[CF]?\b|[\s_([]t(?:$|[\s_\])])|celsius|fahrenheit/i;
const HUMIDITY_WORDS = /hum|feucht|moist|%|\brh\b/i;

/** Headings of columns that nothing else needs, that sound like a surface, and that can be read as its temperature. */
async function surfaceColumnsOf(
  { log }: LogReading,
  { logs, sources }: Reading,
  inputs: readonly Input[],
  read: (inputs: readonly Input[]) => Promise<Reading>,
): Promise<string[]> {
  const mine = sources.filter(({ source }) => log.sources.includes(source));
  const sharing = logs.filter((other) => other.log.sources.some((source) => log.sources.includes(source)));
  // with a pair of columns for each logger, nothing says whose surface a further one is
  if (sharing.length > 1 && mine.some(({ assumed }) => assumed.columns?.logger === undefined)) return [];
  const found: string[] = [];
  for (const heading of mine[0]?.headings ?? []) {
    if (!mine.every((source) => isFreeSurface(heading, source))) continue;
    const columns = { temperatureColumn: heading, humidityColumn: 'none' };
    const own = await read(inputs.map((input) => ({ ...input, layout: { ...input.layout, ...columns } })));
    const values = own.logs.find(({ log: each }) => each.logger === log.logger)?.log.temperature ?? [];
    if (own.failures.length === 0 && values.some((value) => !Number.isNaN(value))) found.push(heading);
  }
  return found;
}

function isFreeSurface(heading: string, { headings, assumed }: SourceAccount): boolean {
  return (
    headings.includes(heading) &&
    !Object.values(assumed.columns ?? {}).includes(heading) &&
    SURFACE_WORDS.test(heading) &&
    TEMPERATURE_WORDS.test(heading) &&
    !HUMIDITY_WORDS.test(heading)
  );
}
