import { exactDuration } from '../calendar/duration.js';
import type { Zone } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import type { Severity } from '../log/finding.js';
import { arrivalsOf } from '../outages/arrivals.js';
import { availabilityOf, siteAvailability } from '../outages/availability.js';
import { type BeatFolder, beatFolder } from '../outages/beats.js';
import { type Device, watchOver } from '../outages/device.js';
import { outagesOf } from '../outages/together.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { proseLines } from '../present/prose.js';
import { type Column, tableLines } from '../present/table.js';
import { type Palette, paletteFor, type Style } from '../present/terminal.js';
import { type BeatInput, type BeatSource, readBeats } from '../reading/heartbeats.js';
import { loggerFromPath, STDIN } from '../reading/source.js';
import {
  AVAILABILITY_HEADINGS,
  availabilityCells,
  OUTAGE_CSV_COLUMNS,
  OUTAGE_HEADINGS,
  type OutagesReport,
  outageCells,
  outageRows,
  outagesDocument,
  outagesHeadline,
  outagesLegend,
  worstOutagesFirst,
} from '../report/outagesReport.js';
import { heartbeatFilesOf } from '../site/files.js';
import type { Instant, Milliseconds } from '../units.js';
import { expanded, type Intake, takeIn, type Work } from './intake.js';
import type { ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, say, sayAssumptions, sayFailures, styleOf } from './session.js';

export const FORMATS = ['table', 'csv', 'json'] as const;

export interface OutagesOptions extends ReadingOptions, WritingOptions {
  readonly format: (typeof FORMATS)[number];
  /** Files or patterns. */
  readonly heartbeats?: readonly string[];
  readonly heartbeatCadence?: string;
}

/** Crosses readings with heartbeats: what was down, when and why, and how available it all was. */
export async function runOutages(logs: readonly string[], options: OutagesOptions, io: Io): Promise<Exit> {
  const cadence = cadenceOption(options.heartbeatCadence);
  const intake = await takeIn(logs, options, io);
  const beats = await takeBeats(options, intake, cadence, io);
  const failures = [...intake.failures, ...beats.failures];
  sayFailures(io, failures);
  if (options.verbose) {
    sayAssumptions(io, intake);
    sayBeats(io, beats);
  }
  const report = reportOn(intake, beats, options.logger);
  const code = exitFor(report.outages, options.failOn);
  const isSilent = options.quiet === true && code === Exit.done;
  const isNothing = report.watch === null && failures.length > 0;
  if (!isSilent && !isNothing) {
    const inputs = [...intake.paths, ...beats.paths];
    await deliver(await textOf(options, report, io), options, io, inputs);
  }
  return failures.length > 0 ? Exit.failed : code;
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

/** The heartbeats of all loggers, folded. */
interface BeatIntake {
  readonly folders: ReadonlyMap<string, BeatFolder>;
  /** The last beat of any logger in each source. */
  readonly lastBeats: readonly Instant[];
  readonly sources: readonly BeatSource[];
  readonly failures: readonly InputError[];
  readonly paths: readonly string[];
}

async function takeBeats(
  options: OutagesOptions,
  intake: Intake,
  cadence: Milliseconds | null,
  io: Io,
): Promise<BeatIntake> {
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
  for (const input of inputs) {
    let last = -Infinity;
    let name = '';
    let folder: BeatFolder | null = null;
    try {
      const source = await readBeats(input, io.stdin, (logger, time, restarted, skipped) => {
        if (time > last) last = time;
        if (folder === null || logger !== name) [name, folder] = [logger, folderOf(logger)];
        folder.take(time, restarted, skipped);
      });
      sources.push(source);
      lastBeats.push(last);
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      failures.push(error);
    }
  }
  return { folders, lastBeats, sources, failures, paths: inputs.map(({ path }) => path) };
}

/** The heartbeat logs of the options, else those of the site file. */
async function beatInputs(
  options: OutagesOptions,
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

const BEAT_WORDS = /[-_. ]*(?:heart[-_. ]?beats?|beats?|alive|pings?)[-_. ]*/i;

/** Whose beats a file holds where its lines do not say: by its name, else of the only logger that is known. */
function loggerOfBeats(path: string, known: readonly string[]): string {
  const name = loggerFromPath(path).replace(BEAT_WORDS, '');
  return known.includes(name) || new Set(known).size !== 1 ? name : known[0]!;
}

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

function reportOn(intake: Intake, beats: BeatIntake, asked: readonly string[] | undefined): OutagesReport {
  const { works, site, zone } = intake;
  // a logger of which no file was there has no readings to miss
  const read = works.filter(({ reading }) => reading.lines.total > 0);
  const order = site.loggers.map(({ id }) => id);
  const ids = new Set(read.map(({ reading }) => reading.log.logger));
  for (const id of beats.folders.keys()) if (asked === undefined || asked.includes(id)) ids.add(id);
  const place = (id: string) => (order.includes(id) ? order.indexOf(id) : order.length);
  const sorted = [...ids].sort((a, b) => place(a) - place(b));
  const devices = sorted.map((id) =>
    deviceOf(
      id,
      read.find(({ reading }) => reading.log.logger === id),
      read,
      beats,
      zone,
    ),
  );
  const watch = watchOver(devices, intake.window);
  const outages = watch === null ? [] : outagesOf(devices, watch, zone);
  const loggers = watch === null ? [] : devices.map((device) => availabilityOf(device, outages, watch));
  return {
    zone,
    watch,
    outages,
    loggers,
    site: siteAvailability(loggers, outages),
    cadences: new Map(
      devices.flatMap(({ logger, beats }) => (beats === null ? [] : [[logger, beats.cadence] as const])),
    ),
    sources: beats.sources,
  };
}

function deviceOf(
  id: string,
  work: Work | undefined,
  works: readonly Work[],
  { folders, sources, lastBeats }: BeatIntake,
  zone: Zone,
): Device {
  const mine = sources.flatMap((source, i) =>
    source.loggers.has(id) ? [{ last: lastBeats[i]!, zone: source.zone }] : [],
  );
  const sharing = works.filter(
    (other) =>
      work !== undefined && other.reading.log.sources.some((s) => work.reading.log.sources.includes(s)),
  );
  const isLocal = work?.reading.parts.some(
    ({ assumed }) => assumed.zone_of_stamps !== null && /local$/.test(assumed.time ?? ''),
  );
  return {
    logger: id,
    beats: folders.get(id)?.result() ?? null,
    arrivals:
      work === undefined
        ? null
        : arrivalsOf(work.audit, work.cleaned, work.reading.around, work.reading.rejections),
    beatsReach: latest(mine.map(({ last }) => last)),
    readingsReach: latest(sharing.flatMap(({ reading: { log } }) => log.time[log.length - 1] ?? [])),
    beatsZone: mine.find((source) => source.zone !== null)?.zone ?? null,
    readingsZone: isLocal === true ? (work?.logger.zone ?? zone) : null,
  };
}

function latest(instants: readonly Instant[]): Instant | null {
  return instants.length === 0 ? null : Math.max(...instants);
}

async function textOf(options: OutagesOptions, report: OutagesReport, io: Io): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(outagesDocument(report))];
  if (options.format === 'csv') return csvLines(OUTAGE_CSV_COLUMNS, outageRows(report));
  const style = styleOf(options, io);
  return table(report, style, await paletteFor(style.level));
}

function* table(report: OutagesReport, style: Style, palette: Palette): Generator<string> {
  const outages = worstOutagesFirst(report.outages);
  const headline = outagesHeadline(report);
  yield* proseLines(outages.length > 0 ? headline : `${headline}, no outage`, style, palette.strong);
  const paint: Record<Severity, (text: string) => string> = {
    error: palette.alarm,
    warning: palette.caution,
    note: palette.faint,
  };
  if (outages.length > 0) {
    const columns = OUTAGE_HEADINGS.map(
      (heading, i): Column => ({
        heading,
        align: heading === 'down' ? 'right' : 'left',
        wrap: heading === 'what' || heading === 'when',
        ...(i === 0 ? { paint: (text: string, row: number) => paint[outages[row]!.severity](text) } : {}),
      }),
    );
    yield* tableLines(
      columns,
      outages.map((outage) => outageCells(outage, report.zone)),
      style,
    );
  }
  yield '\n';
  const columns = AVAILABILITY_HEADINGS.map(
    (heading, i): Column => ({ heading, align: i === 0 ? 'left' : 'right' }),
  );
  yield* tableLines(columns, report.loggers.flatMap(availabilityCells), style);
  for (const line of outagesLegend(report)) yield* proseLines(line, style, palette.faint);
}
