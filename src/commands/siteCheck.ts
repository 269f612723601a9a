import { InputError } from '../errors.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import type { Column } from '../present/table.js';
import {
  type CheckedSite,
  SITE_LOGGER_HEADINGS,
  SITE_REMARK_HEADINGS,
  SITE_SURFACE_HEADINGS,
  siteDocument,
  siteHeadline,
  siteLoggerCells,
  siteRemarkCells,
  siteRemarks,
  siteSurfaceCells,
} from '../report/siteReport.js';
import { filesOf, heartbeatFilesOf } from '../site/files.js';
import { siteFor } from './intake.js';
import type { PageFormat, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, say } from './session.js';
import { onSheet } from './sheet.js';

export interface SiteCheckOptions extends WritingOptions {
  readonly format: PageFormat;
}

/** Checks a site file and tells what it means. A mistake in it ends the run with its place. */
export async function runSiteCheck(
  file: string | undefined,
  options: SiteCheckOptions,
  io: Io,
): Promise<Exit> {
  const { site, from } = await siteFor(file === undefined ? {} : { site: file }, io);
  if (site.file === null) {
    throw new InputError(
      'there is no site file to check',
      {},
      'name one, or write one with dewledger site init',
    );
  }
  // which of several was found is worth knowing
  if (options.quiet !== true && (file === undefined || options.verbose))
    say(io, `site file ${site.file} (${from})`);
  const loggers = await Promise.all(
    site.loggers.map(async (logger) => ({
      logger,
      files: await filesOf(site, logger),
      heartbeats: await heartbeatFilesOf(site, logger),
    })),
  );
  const checked = { site, loggers };
  const code = exitFor(siteRemarks(checked), options.failOn);
  if (options.quiet !== true || code !== Exit.done) {
    const text =
      options.format === 'json'
        ? [jsonText(siteDocument(checked))]
        : await onSheet('Site file', { ...options, format: options.format }, io, (sheet) =>
            table(checked, sheet),
          );
    await deliver(text, options, io, [site.file]);
  }
  return code;
}

function* table(checked: CheckedSite, sheet: Sheet): Generator<string> {
  yield* sheet.title(siteHeadline(checked));
  yield* sheet.table(columns(SITE_LOGGER_HEADINGS), siteLoggerCells(checked));
  yield* sheet.gap();
  yield* sheet.table(columns(SITE_SURFACE_HEADINGS), siteSurfaceCells(checked));
  const remarks = siteRemarkCells(checked);
  if (remarks.length === 0) return;
  yield* sheet.gap();
  yield* sheet.table(columns(SITE_REMARK_HEADINGS), remarks);
}

/** The last column may be broken where the terminal is narrow: it is prose. */
function columns(headings: readonly string[]): Column[] {
  return headings.map((heading, i) => ({
    heading,
    align: heading === 'files' ? 'right' : 'left',
    wrap: i === headings.length - 1,
  }));
}
