import type { Severity } from '../log/finding.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import type { Column } from '../present/table.js';
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
import { type BeatOptions, takeInWithBeats } from './beats.js';
import type { Format, WritingOptions } from './options.js';
import { deliver, Exit, exitFor } from './session.js';
import { onSheet } from './sheet.js';
import { outagesSeen } from './watch.js';

export interface OutagesOptions extends BeatOptions, WritingOptions {
  readonly format: Format;
}

/** Crosses readings with heartbeats: what was down, when and why, and how available it all was. */
export async function runOutages(logs: readonly string[], options: OutagesOptions, io: Io): Promise<Exit> {
  const { intake, beats, failures, paths } = await takeInWithBeats(logs, options, io);
  const report = outagesSeen(intake, beats, options.logger);
  const code = exitFor(report.outages, options.failOn);
  const isSilent = options.quiet === true && code === Exit.done;
  const isNothing = report.watch === null && failures.length > 0;
  if (!isSilent && !isNothing) {
    await deliver(await textOf(options, report, io), options, io, paths);
  }
  return failures.length > 0 ? Exit.failed : code;
}

async function textOf(options: OutagesOptions, report: OutagesReport, io: Io): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(outagesDocument(report))];
  if (options.format === 'csv') return csvLines(OUTAGE_CSV_COLUMNS, outageRows(report));
  return onSheet('Outages', options, io, (sheet) => table(report, sheet));
}

function* table(report: OutagesReport, sheet: Sheet): Generator<string> {
  const outages = worstOutagesFirst(report.outages);
  const headline = outagesHeadline(report);
  yield* sheet.title(outages.length > 0 ? headline : `${headline}, no outage`);
  const paint: Record<Severity, (text: string) => string> = {
    error: sheet.palette.alarm,
    warning: sheet.palette.caution,
    note: sheet.palette.faint,
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
    yield* sheet.table(
      columns,
      outages.map((outage) => outageCells(outage, report.zone)),
    );
  }
  yield* sheet.gap();
  const columns = AVAILABILITY_HEADINGS.map(
    (heading, i): Column => ({ heading, align: i === 0 ? 'left' : 'right' }),
  );
  yield* sheet.table(columns, report.loggers.flatMap(availabilityCells));
  for (const line of outagesLegend(report)) yield* sheet.smallPrint(line);
}
