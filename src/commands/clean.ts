import { resolve } from 'node:path';
import { nearest } from '../calendar/nearest.js';
import { changesOf } from '../cleaning/changes.js';
import type { BadPolicy } from '../cleaning/clean.js';
import { InputError } from '../errors.js';
import { cleanedCsv } from '../present/cleanedCsv.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
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
import { type HandingOut, handOut } from './handedOut.js';
import { type Intake, type RawWork, takeIn } from './intake.js';
import type { Format, ReadingOptions, WritingOptions } from './options.js';
import { type Delivery, deliverAll, Exit, exitOf, nothingRead, sayIntake } from './session.js';
import { onSheet } from './sheet.js';

export interface CleanOptions extends ReadingOptions, WritingOptions, AirOptions, HandingOut {
  readonly format: Format;
  /** Names, with commas between them. */
  readonly add?: readonly string[];
  readonly bad: BadPolicy;
  readonly crlf?: boolean;
  readonly changes?: string;
  readonly rejects?: string;
}

/** Writes the cleaned log, and on request what was changed and what could not be read. */
export async function runClean(logs: readonly string[], options: CleanOptions, io: Io): Promise<Exit> {
  refuseSameTargets(options, io);
  const handed = handOut(options);
  const added = (options.add ?? []).flatMap(parseQuantities);
  const rejected: ByteText[] = [];
  const keep = options.rejects === undefined ? undefined : (raw: ByteText) => rejected.push(raw);
  const settings = { bad: options.bad, onReject: keep };
  // what was changed is told by what was read
  const raw =
    options.changes === undefined ? null : await takeIn(logs, options, io, { ...settings, raw: true });
  const intake = raw ?? (await takeIn(logs, options, io, settings));
  sayIntake(io, intake, options);
  if (nothingRead(intake)) return Exit.failed;
  const cleaned = intake.works.map((work) => work.cleaned);
  const results: Delivery[] = [
    {
      target: options.output,
      chunks: await textOf(options, [...new Set(added)], handed(cleaned), intake, io),
    },
  ];
  if (raw !== null) results.push({ target: options.changes, chunks: changesText(raw) });
  if (options.rejects !== undefined)
    results.push({ target: options.rejects, chunks: verbatim(rejected), encoding: 'latin1' });
  await deliverAll(results, io, intake.paths);
  return exitOf(intake, options);
}

function refuseSameTargets({ output, changes, rejects }: CleanOptions, io: Io): void {
  const targets = [output ?? '-', changes, rejects].filter((target) => target !== undefined);
  const places = targets.map((target) => (target === '-' ? target : resolve(io.cwd, target)));
  const twice = targets.find((_, i) => places.indexOf(places[i]!) < i);
  if (twice === undefined) return;
  throw new InputError('two results cannot go to the same place', { text: twice }, 'name a file for each');
}

async function textOf(
  options: CleanOptions,
  added: readonly Quantity[],
  cleaned: ReturnType<ReturnType<typeof handOut>>,
  intake: Intake,
  io: Io,
): Promise<Delivery['chunks']> {
  const derived = {
    quantities: added,
    pressure: pressureOf(options, intake.site),
    model: airModelOf(options),
  };
  if (options.format === 'csv')
    return cleanedCsv(cleaned, intake.zone, derived, { crlf: options.crlf === true });
  const columns = cleanedColumns(derived);
  const rows = cleanedRows(cleaned, intake.zone, derived);
  if (options.format === 'json') return [jsonText(cleanedDocument(columns, rows, intake.zone))];
  const cells = Array.from(rows, (row) =>
    row.map((cell) => (cell === null || Number.isNaN(cell) ? '' : `${cell}`)),
  );
  const aligned = columns.map((heading, i) => ({ heading, align: i < 2 ? 'left' : 'right' }) as const);
  return onSheet('Cleaned log', options, io, (sheet) => sheet.table(aligned, cells));
}

function changesText({ works, zone }: Intake<RawWork>): Iterable<string> {
  const changes = works.flatMap(({ audit, cleaned }) => changesOf(audit, cleaned, zone));
  return csvLines(CHANGE_COLUMNS, changeRows(changes));
}

/** The lines go out as the bytes that came in. */
function* verbatim(lines: readonly ByteText[]): Generator<string> {
  for (const line of lines) yield `${line}\n`;
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
