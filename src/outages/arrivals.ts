import type { Audit } from '../audit/audit.js';
import { displacedRows } from '../audit/disorder.js';
import { QUANTITIES } from '../audit/range.js';
import type { Cleaned } from '../cleaning/clean.js';
import type { Rejection } from '../log/account.js';
import type { CheckName } from '../log/finding.js';
import { Flag, isUsable } from '../log/flag.js';
import { lineAt } from '../log/lines.js';
import { type Flags, flagsOf, type Log, valuesOf } from '../log/log.js';
import { rowsOf } from '../log/pieces.js';
import type { Instant, Milliseconds } from '../units.js';

/** What came with a row. */
export const Content = { usable: 0, none: 1, stuck: 2, unusable: 3 } as const;
export type Content = (typeof Content)[keyof typeof Content];

/** The rows of one logger as they came in, whatever their values. */
export interface Arrivals {
  readonly cadence: Milliseconds | null;
  /** Instants of the rows [ms], ascending, each once. */
  readonly time: Float64Array;
  readonly content: Uint8Array;
  /** 1 where newer rows stand in front of it in the input: it was held back. */
  readonly late: Uint8Array;
  /** 1 for a value with which one-wire thermometers answer before their first conversion. */
  readonly powerOn: Uint8Array;
  /** Lines between a row and the next that are there and cannot be read. */
  readonly torn: Uint16Array;
  /** The last row before the time that is looked at and the first after it, where they are known. */
  readonly before: Instant | null;
  readonly after: Instant | null;
}

/** The power-on value of one-wire thermometers [°C] (data sheet quoted in driver threads). */
const POWER_ON = 85;
/** Checks that speak of a sensor which answers, and measures nothing. */
const STUCK: ReadonlySet<CheckName> = new Set(['flat_line', 'saturation']);

/**
 * @param around the readings with those just outside the window
 */
export function arrivalsOf(
  { log, flags, marks, cadence, newestFirst }: Audit,
  { kept }: Pick<Cleaned, 'kept'>,
  around: Log,
  rejections: readonly Rejection[],
): Arrivals {
  const rows = rowsOf(kept);
  const n = rows.length;
  const time = Float64Array.from(rows, (row) => log.time[row]!);
  const late = new Uint8Array(n);
  const displaced = new Set(displacedRows(log, newestFirst, cadence));
  if (displaced.size > 0) for (let i = 0; i < n; i++) if (displaced.has(rows[i]!)) late[i] = 1;
  const powerOn = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    const row = rows[i]!;
    if (log.temperature[row] === POWER_ON && !isUsable(flags.temperature[row]!)) powerOn[i] = 1;
  }
  const torn = new Uint16Array(n);
  if (rejections.length > 0)
    for (let i = 0; i + 1 < n; i++) torn[i] = tornBetween(log, rows[i]!, rows[i + 1]!, rejections);
  const content = contentOf(log, flags, rows, stuckRows(marks));
  return { cadence, time, content, late, powerOn, torn, ...neighbours(log, around) };
}

function stuckRows(marks: Audit['marks']): Set<number> {
  const stuck = new Set<number>();
  for (const { check, mark } of marks) {
    if (STUCK.has(check) && mark.flag === Flag.bad) for (const row of Array.from(mark.rows)) stuck.add(row);
  }
  return stuck;
}

/** What came with each of these rows: of several things the one that tells most of the sensor. */
function contentOf(log: Log, flags: Flags, rows: Uint32Array, stuck: ReadonlySet<number>): Uint8Array {
  const columns = QUANTITIES.filter((quantity) =>
    valuesOf(log, quantity).some((value) => !Number.isNaN(value)),
  );
  const content = new Uint8Array(rows.length).fill(columns.length === 0 ? Content.none : Content.usable);
  for (const quantity of columns) lookAt(content, rows, valuesOf(log, quantity), flagsOf(flags, quantity));
  if (stuck.size === 0) return content;
  for (let i = 0; i < rows.length; i++)
    if (content[i] !== Content.none && stuck.has(rows[i]!)) content[i] = Content.stuck;
  return content;
}

function lookAt(content: Uint8Array, rows: Uint32Array, values: Float64Array, flags: Uint8Array): void {
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    if (flags[row] === Flag.missing || Number.isNaN(values[row]!)) content[i] = Content.none;
    else if (content[i] === Content.usable && !isUsable(flags[row]!)) content[i] = Content.unusable;
  }
}

/** Lines between two rows, as many of them as were rejected thereabouts. */
function tornBetween(log: Log, row: number, next: number, rejections: readonly Rejection[]): number {
  if (log.source[row] !== log.source[next]) return 0;
  const ends = [lineAt(log.lines, row), lineAt(log.lines, next)];
  const from = Math.min(...ends);
  const to = Math.max(...ends);
  if (to - from < 2) return 0;
  const source = log.sources[log.source[row]!];
  let torn = 0;
  for (const { source: where, firstLine, lastLine, count } of rejections) {
    if (where !== source) continue;
    const lines = Math.min(to - 1, lastLine) - Math.max(from + 1, firstLine) + 1;
    if (lines > 0) torn += Math.min(lines, count);
  }
  return Math.min(torn, to - from - 1);
}

function neighbours(log: Log, around: Log): Pick<Arrivals, 'before' | 'after'> {
  if (log.length === 0 || around === log) return { before: null, after: null };
  const first = log.time[0]!;
  const last = log.time[log.length - 1]!;
  let before: Instant | null = null;
  let after: Instant | null = null;
  for (const time of around.time) {
    if (time < first) before = time;
    else if (time > last && after === null) after = time;
  }
  return { before, after };
}
