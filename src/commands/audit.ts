import type { Severity } from '../log/finding.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { proseLines } from '../present/prose.js';
import { type Column, tableLines } from '../present/table.js';
import { type Palette, paletteFor, type Style } from '../present/terminal.js';
import {
  AUDIT_CSV_COLUMNS,
  type AuditReportInput,
  auditDocument,
  auditHeadline,
  auditRows,
  findingCells,
  worstFirst,
} from '../report/auditReport.js';
import { findingsOf, takeIn } from './intake.js';
import type { ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, nothingRead, sayAssumptions, sayFailures, styleOf } from './session.js';

export const FORMATS = ['table', 'csv', 'json'] as const;

export interface AuditOptions extends ReadingOptions, WritingOptions {
  readonly format: (typeof FORMATS)[number];
}

/** Lists what is wrong with the logs and how complete they are. */
export async function runAudit(logs: readonly string[], options: AuditOptions, io: Io): Promise<Exit> {
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

async function textOf(options: AuditOptions, input: AuditReportInput, io: Io): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(auditDocument(input))];
  if (options.format === 'csv') return csvLines(AUDIT_CSV_COLUMNS, auditRows(input));
  const style = styleOf(options, io);
  return table(input, style, await paletteFor(style.level));
}

function* table(input: AuditReportInput, style: Style, palette: Palette): Generator<string> {
  let apart = '';
  for (const work of input.works) {
    const findings = worstFirst(work.audit.findings);
    const headline = auditHeadline(work, input);
    if (findings.length > 0) yield apart;
    yield* proseLines(findings.length > 0 ? headline : `${headline}, nothing found`, style, palette.strong);
    apart = '\n';
    if (findings.length === 0) continue;
    const paint: Record<Severity, (text: string) => string> = {
      error: palette.alarm,
      warning: palette.caution,
      note: palette.faint,
    };
    const columns: Column[] = [
      { heading: 'severity', align: 'left', paint: (text, row) => paint[findings[row]!.severity](text) },
      { heading: 'check', align: 'left' },
      { heading: 'when', align: 'left', wrap: true },
      { heading: 'lines', align: 'left' },
      { heading: 'what', align: 'left', wrap: true },
    ];
    yield* tableLines(
      columns,
      findings.map((finding) => findingCells(finding, input.zone)),
      style,
    );
  }
}
