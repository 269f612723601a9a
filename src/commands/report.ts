import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { paletteFor } from '../present/terminal.js';
import { textPage } from '../present/textPage.js';
import { needsOf } from '../report/needs.js';
import { type Page, pageLogger, spanOfPage } from '../report/page.js';
import { pageDocument } from '../report/pageDocument.js';
import { pageJson } from '../report/pageJson.js';
import { sayBeats, takeBeats } from './beats.js';
import { companionFinder } from './companions.js';
import { digestsOf } from './digest.js';
import { type IntakeOptions, takeIn } from './intake.js';
import type { PageFormat, ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, sayAssumptions, sayFailures, styleOf } from './session.js';
import { outagesSeen } from './watch.js';

export interface ReportOptions extends ReadingOptions, WritingOptions {
  readonly format: PageFormat;
  /** Files or patterns. */
  readonly heartbeats?: readonly string[];
}

/** The page of a night or a month: all that the other commands tell of a site, the worst of it first. */
export async function runReport(logs: readonly string[], options: ReportOptions, io: Io): Promise<Exit> {
  // wood and mould remember: all readings before the window count
  const settings: IntakeOptions = { runUp: () => Number.POSITIVE_INFINITY };
  const intake = await takeIn(logs, options, io, settings);
  const beats = await takeBeats(options, intake, null, io);
  const failures = [...intake.failures, ...beats.failures];
  sayFailures(io, failures);
  if (options.verbose) {
    sayAssumptions(io, intake);
    sayBeats(io, beats);
  }
  const { site, zone, zoneFrom, works, window, sources } = intake;
  const outages = outagesSeen(intake, beats, options.logger);
  const span = spanOfPage(works, window, outages);
  if (span === null && failures.length > 0) return Exit.failed;
  const companionOf = companionFinder(logs, options, io, intake, settings);
  const loggers = [];
  for (const work of span === null ? [] : works) {
    const { surfaces } = work.logger;
    const companions = await Promise.all(surfaces.map((surface) => companionOf(surface, work)));
    loggers.push(pageLogger(work, companions, span!, zone));
  }
  const paths = [...intake.paths, ...beats.paths];
  const page: Page = {
    place: site.place,
    zone,
    zoneFrom,
    span,
    loggers,
    outages,
    failures,
    sources,
    made: { program: 'dewledger', inputs: await digestsOf(paths, io.cwd), options: [] },
  };
  const code = exitFor(needsOf(page), options.failOn);
  if (options.quiet !== true || code !== Exit.done) {
    await deliver(await textOf(options, page, io), options, io, paths);
  }
  return failures.length > 0 ? Exit.failed : code;
}

async function textOf(options: ReportOptions, page: Page, io: Io): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(pageJson(page))];
  const style = styleOf(options, io);
  return textPage(pageDocument(page), style, await paletteFor(style.level));
}
