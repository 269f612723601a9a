import { nearest } from '../calendar/nearest.js';
import { changesOf } from '../cleaning/changes.js';
import type { BadPolicy } from '../cleaning/clean.js';
import { InputError } from '../errors.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { openOutput } from '../present/output.js';
import { tableLines } from '../present/table.js';
import { type Quantity, quantities } from '../psychrometry/quantities.js';
import type { ByteText } from '../reading/encoding.js';
import {
  CHANGE_COLUMNS,
  changeRows,
  cleanedColumns,
  cleanedDocument,
  cleanedRows,
} from '../report/cleanedReport.js';
import { type AirOptions, airModelOf, pressureOf } from './airOptions.js';
import { findingsOf, type Intake, takeIn } from './intake.js';
import type { ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, sayAssumptions, sayEmpty, sayFailures, styleOf } from './session.js';

export const FORMATS = ['csv', 'json', 'table'] as const;

export interface CleanOptions extends ReadingOptions, WritingOptions, AirOptions {
  readonly format: (typeof FORMATS)[number];
  /** Names, with commas between them. */
  readonly add?: readonly string[];
  readonly bad: BadPolicy;
  readonly crlf?: boolean;
  readonly changes?: string;
  readonly rejects?: string;
}

/** Writes the cleaned log, and on request what was changed and what could not be read. */
export async function runClean(logs: readonly string[], options: CleanOptions, io: Io): Promise<Exit> {
  refuseSameTargets(options);
  const added = (options.add ?? []).flatMap(parseQuantities);
  const rejected: ByteText[] = [];
  const keep = options.rejects === undefined ? undefined : (raw: ByteText) => rejected.push(raw);
  const intake = await takeIn(logs, options, io, { bad: options.bad, onReject: keep });
  sayFailures(io, intake.failures);
  if (options.verbose) sayAssumptions(io, intake);
  sayEmpty(io, intake);
  await deliver(textOf(options, [...new Set(added)], intake, io), options, io, intake.paths);
  if (options.changes !== undefined) await writeChanges(options.changes, intake, io);
  if (options.rejects !== undefined) await writeRejects(options.rejects, rejected, intake, io);
  return intake.failures.length > 0 ? Exit.failed : exitFor(findingsOf(intake), options.failOn);
}

function refuseSameTargets({ output, changes, rejects }: CleanOptions): void {
  const targets = [output ?? '-', changes, rejects].filter((target) => target !== undefined);
  const twice = targets.find((target, i) => targets.indexOf(target) < i);
  if (twice === undefined) return;
  throw new InputError('two results cannot go to the same place', { text: twice }, 'name a file for each');
}

function textOf(options: CleanOptions, added: readonly Quantity[], intake: Intake, io: Io): Iterable<string> {
  const cleaned = intake.works.map((work) => work.cleaned);
  const derived = {
    quantities: added,
    pressure: pressureOf(options, intake.site),
    model: airModelOf(options),
  };
  const columns = cleanedColumns(derived);
  const rows = cleanedRows(cleaned, intake.zone, derived);
  if (options.format === 'csv') return csvLines(columns, rows, { crlf: options.crlf === true });
  if (options.format === 'json') return [jsonText(cleanedDocument(columns, rows, intake.zone))];
  const cells = Array.from(rows, (row) =>
    row.map((cell) => (cell === null || Number.isNaN(cell) ? '' : `${cell}`)),
  );
  const aligned = columns.map((heading, i) => ({ heading, align: i < 2 ? 'left' : 'right' }) as const);
  return tableLines(aligned, cells, styleOf(options, io));
}

async function writeChanges(target: string, intake: Intake, io: Io): Promise<void> {
  const changes = intake.works.flatMap((work) => changesOf(work.audit, work.cleaned, intake.zone));
  await deliver(csvLines(CHANGE_COLUMNS, changeRows(changes)), { output: target }, io, intake.paths);
}

/** Verbatim: the lines go out as the bytes that came in. */
async function writeRejects(
  target: string,
  lines: readonly ByteText[],
  intake: Intake,
  io: Io,
): Promise<void> {
  const output = await openOutput(target, io, intake.paths, 'latin1');
  try {
    await output.write(lines.map((line) => `${line}\n`));
    await output.close();
  } catch (error) {
    await output.abandon();
    throw error;
  }
}

/** The quantities of `--add a,b`. */
function parseQuantities(text: string): Quantity[] {
  return text.split(',').map((name) => {
    const found = quantities.find(
      (quantity) => quantity.name === name.trim() || quantity.column === name.trim(),
    );
    if (found !== undefined) return found;
    const names = quantities.map((quantity) => quantity.name);
    const near = nearest(name, names);
    throw new InputError(
      'there is no quantity of this name',
      { text: name },
      near.length > 0 ? `did you mean ${near.join(' or ')}?` : `--add takes ${names.join(', ')}`,
    );
  });
}
