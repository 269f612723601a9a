import { basename, dirname, relative, resolve } from 'node:path';
import { htmlPage } from '../present/htmlPage.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { markdownPage } from '../present/markdownPage.js';
import { paletteFor } from '../present/terminal.js';
import { textPage } from '../present/textPage.js';
import { STDIN, sourceName } from '../reading/source.js';
import { needsOf } from '../report/needs.js';
import { type Page, type PageLogger, pageLogger, spanOfPage } from '../report/page.js';
import { pageDocument } from '../report/pageDocument.js';
import { pageJson } from '../report/pageJson.js';
import { type BeatOptions, takeInWithBeats } from './beats.js';
import { companionFinder } from './companions.js';
import { digestsOf } from './digest.js';
import type { PageFormat, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, styleOf } from './session.js';
import { nameAndVersion } from './version.js';
import { outagesSeen } from './watch.js';

export interface ReportOptions extends BeatOptions, WritingOptions {
  readonly format: PageFormat;
}

/** The page of a night or a month: all that the other commands tell of a site, the worst of it first. */
export async function runReport(logs: readonly string[], options: ReportOptions, io: Io): Promise<Exit> {
  const { intake, beats, failures, paths } = await takeInWithBeats(logs, options, io);
  const { site, zone, zoneFrom, works, window, sources } = intake;
  const outages = outagesSeen(intake, beats, options.logger);
  const span = spanOfPage(works, window, outages);
  if (span === null && failures.length > 0) return Exit.failed;
  const companionOf = companionFinder(logs, options, io, intake);
  const loggers: PageLogger[] = [];
  for (const work of span === null ? [] : works) {
    const { surfaces } = work.logger;
    const companions = await Promise.all(surfaces.map((surface) => companionOf(surface, work)));
    loggers.push(pageLogger(work, companions, span!, zone));
  }
  const page: Page = {
    place: site.place,
    zone,
    zoneFrom,
    span,
    loggers,
    outages,
    failures,
    sources,
    made: {
      program: nameAndVersion(),
      inputs: await digestsOf(paths, io.cwd),
      options: optionsInWords(options),
    },
    nameOf: (path) => nameBelow(site.file === null ? io.cwd : dirname(resolve(io.cwd, site.file)), path),
  };
  const code = exitFor(needsOf(page), options.failOn);
  if (options.quiet !== true || code !== Exit.done) {
    await deliver(await textOf(options, page, io), options, io, paths);
  }
  return failures.length > 0 ? Exit.failed : code;
}

/** The folder of a page's inputs is left out, so that it comes out the same wherever they lie. */
function nameBelow(folder: string, path: string): string {
  if (path === STDIN) return sourceName(path);
  const name = relative(folder, resolve(folder, path));
  return name.startsWith('..') ? basename(path) : name;
}

/** Options that say where the page goes, how it looks, or what is listed as an input anyway. */
const NOT_OF_THE_PAGE: ReadonlySet<string> = new Set(
  'site heartbeats format output quiet verbose color colour failOn'.split(' '),
);

/** The options that the figures hang on, as they would be written. */
function optionsInWords(options: ReportOptions): string[] {
  return Object.entries(options).flatMap(([name, value]) => {
    if (NOT_OF_THE_PAGE.has(name) || value === undefined || value === true) return [];
    const option = `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
    if (value === false) return [option.replace('--', '--no-')];
    return [`${option} ${Array.isArray(value) ? value.join(',') : value}`];
  });
}

async function textOf({ format, ...options }: ReportOptions, page: Page, io: Io): Promise<Iterable<string>> {
  if (format === 'json') return [jsonText(pageJson(page))];
  const document = pageDocument(page);
  if (format === 'markdown') return markdownPage(document);
  if (format === 'html') return htmlPage(document);
  const style = styleOf(options, io);
  return textPage(document, style, await paletteFor(style.level));
}
