import type { Check } from '../audit/check.js';
import { CHECKS } from '../audit/checks.js';
import { nearest } from '../calendar/nearest.js';
import { InputError } from '../errors.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import {
  CHECKS_CSV_COLUMNS,
  checkRow,
  checksDocument,
  LIMIT_HEADINGS,
  type LoggerLimits,
  limitCells,
  limitRows,
} from '../report/checksReport.js';
import { loggerOf } from '../site/site.js';
import type { AuditOptions } from './audit.js';
import { durationOption, limitsOf, siteFor } from './intake.js';
import { deliver, Exit } from './session.js';
import { onSheet } from './sheet.js';

/** Says of checks what they look for, how, by which limits of this site, and what to do. No log is read. */
export async function runExplain(names: readonly string[], options: AuditOptions, io: Io): Promise<Exit> {
  const checks = [...new Set(names.flatMap((text) => text.split(',')).flatMap(checksNamed))];
  const { site } = await siteFor(options, io);
  const told = durationOption('--cadence', options.cadence);
  const described = site.loggers.filter(({ id }) => options.logger?.includes(id) ?? true);
  const loggers: LoggerLimits[] = described.map((logger) => ({
    logger: logger.id,
    settings: limitsOf(logger, told),
  }));
  // a logger that the site does not describe has the defaults, and the limits of the site
  if (loggers.length === 0) loggers.push({ logger: null, settings: limitsOf(loggerOf(site, ''), told) });
  await deliver(
    await textOf(checks, loggers, options, io),
    options,
    io,
    site.file === null ? [] : [site.file],
  );
  return Exit.done;
}

function checksNamed(name: string): readonly Check[] {
  const wanted = name.trim();
  if (wanted === 'all') return CHECKS;
  const found = CHECKS.find((check) => check.name === wanted);
  if (found !== undefined) return [found];
  const names = CHECKS.map((check) => check.name);
  const near = nearest(wanted, names);
  throw new InputError(
    'there is no check of this name',
    { text: name },
    near.length > 0 ? `did you mean ${near.join(' or ')}?` : `the checks are ${names.join(', ')}; or all`,
  );
}

async function textOf(
  checks: readonly Check[],
  loggers: readonly LoggerLimits[],
  options: AuditOptions,
  io: Io,
): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(checksDocument(checks, loggers))];
  if (options.format === 'csv') return csvLines(CHECKS_CSV_COLUMNS, checks.map(checkRow));
  return onSheet('What the checks look for', options, io, (sheet) => pages(checks, loggers, sheet));
}

function* pages(checks: readonly Check[], loggers: readonly LoggerLimits[], sheet: Sheet): Generator<string> {
  for (const [i, check] of checks.entries()) {
    if (i > 0) yield* sheet.gap();
    yield* sheet.title(`${check.name}: ${check.looksFor}`);
    yield* sheet.prose(check.method);
    const limits = limitRows(check, loggers);
    if (limits.length > 0) {
      yield* sheet.table(
        LIMIT_HEADINGS.map((heading) => ({ heading, align: 'left', wrap: true })),
        limits.map(limitCells),
      );
    }
    yield* sheet.prose(`What to look at: ${check.advice}`);
    yield* sheet.smallPrint(`Source: ${check.source}`);
  }
}
