import { InputError } from '../errors.js';
import type { Severity } from '../log/finding.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import type { Column } from '../present/table.js';
import {
  AUDIT_CSV_COLUMNS,
  type AuditReportInput,
  auditDocument,
  auditHeadline,
  auditRows,
} from '../report/auditReport.js';
import { ADVICE_HEADINGS, adviceCells, FINDING_HEADINGS, findingLines } from '../report/findingsTable.js';
import {
  readableCells,
  SHARING_HEADINGS,
  SHARING_NOTES,
  type Sharing,
  sharingHeadline,
  sharingOf,
} from '../report/sharingReport.js';
import { type Intake, takeIn } from './intake.js';
import type { Format, ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, findingsOf, nothingRead, sayAssumptions, sayFailures } from './session.js';
import { onSheet } from './sheet.js';

export interface AuditOptions extends ReadingOptions, WritingOptions {
  readonly format: Format;
  /** Names of checks, with commas between them: nothing is read, they are explained. */
  readonly explain?: readonly string[];
  /** Say what a stranger could read from the logs. */
  readonly sharing?: boolean;
}

/** Lists what is wrong with the logs and how complete they are. */
export async function runAudit(logs: readonly string[], options: AuditOptions, io: Io): Promise<Exit> {
  if (options.explain !== undefined) {
    const { runExplain } = await import('./explain.js');
    return runExplain(options.explain, options, io);
  }
  if (options.sharing === true && options.format === 'csv') {
    throw new InputError('--sharing has no rows for csv', {}, 'take --format table, markdown or json');
  }
  const intake = await takeIn(logs, options, io);
  sayFailures(io, intake.failures);
  if (options.verbose) sayAssumptions(io, intake);
  const code = exitFor(findingsOf(intake), options.failOn);
  const silent = options.quiet === true && code === Exit.done;
  if (!silent && !nothingRead(intake)) {
    await deliver(await textOf(options, intake, io), options, io, intake.paths);
  }
  return intake.failures.length > 0 ? Exit.failed : code;
}

async function textOf(options: AuditOptions, input: Intake, io: Io): Promise<Iterable<string>> {
  const { works, window, zone } = input;
  const sharing = options.sharing === true ? works.map((work) => sharingOf(work, window, zone)) : null;
  if (options.format === 'json') return [jsonText(auditDocument(input, sharing))];
  if (options.format === 'csv') return csvLines(AUDIT_CSV_COLUMNS, auditRows(input));
  return onSheet('Audit of the logs', options, io, (sheet) =>
    sharing === null ? table(input, sheet) : [...table(input, sheet), ...sharingTable(sharing, sheet)],
  );
}

function* sharingTable(sharing: readonly Sharing[], sheet: Sheet): Generator<string> {
  for (const each of sharing) {
    yield* sheet.gap();
    yield* sheet.title(sharingHeadline(each));
    yield* sheet.table(
      SHARING_HEADINGS.map((heading) => ({ heading, align: 'left', wrap: true })),
      each.readable.map(readableCells),
    );
  }
  for (const note of SHARING_NOTES) yield* sheet.smallPrint(note);
}

function* table(input: AuditReportInput, sheet: Sheet): Generator<string> {
  let isFirst = true;
  for (const work of input.works) {
    const lines = findingLines(work.audit.findings, work.audit.cadence, input.zone);
    const headline = auditHeadline(work, input);
    if (lines.length > 0 && !isFirst) yield* sheet.gap();
    yield* sheet.title(lines.length > 0 ? headline : `${headline}, nothing found`);
    isFirst = false;
    if (lines.length === 0) continue;
    const paint: Record<Severity, (text: string) => string> = {
      error: sheet.palette.alarm,
      warning: sheet.palette.caution,
      note: sheet.palette.faint,
    };
    const columns = FINDING_HEADINGS.map(
      (heading): Column => ({
        heading,
        align: 'left',
        wrap: heading === 'when, length' || heading === 'what',
        ...(heading === 'severity' && { paint: (text, row) => paint[lines[row]!.severity](text) }),
      }),
    );
    yield* sheet.table(
      columns,
      lines.map(({ cells }) => cells),
    );
  }
  const advice = adviceCells(input.works.flatMap(({ audit }) => audit.findings));
  if (advice.length === 0) return;
  yield* sheet.gap();
  yield* sheet.table(
    ADVICE_HEADINGS.map((heading) => ({ heading, align: 'left', wrap: heading !== 'check' })),
    advice,
  );
}
