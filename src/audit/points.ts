import { Flag, isUsable, worseThan } from '../log/flag.js';
import { type Flags, flagsOf, type Log, type Measured, valuesOf } from '../log/log.js';
import { type Pieces, partOfPieces, rowAt, without } from '../log/pieces.js';
import type { Instant } from '../units.js';
import type { AuditInput, Mark, RowNumbers } from './check.js';
import type { Run } from './runs.js';
import { clearRows } from './sameInstant.js';

/**
 * Values of a quantity in order of time, one per instant: what can be compared with what stands beside it. They stay in
 * the columns of the log, where `rows` says which they are: a copy of them would be as large as the log.
 */
export interface Points {
  readonly quantity: Measured;
  readonly count: number;
  /** The row of each, ascending. */
  readonly rows: Pieces;
  /** Columns of the log, by row. */
  readonly times: Float64Array;
  readonly values: Float64Array;
  /** The other quantity of the same readings and its flags: see `partnerAt`. */
  readonly partners: Float64Array;
  readonly partnerFlags: Uint8Array;
}

/**
 * The usable values of a log. Readings of one instant that say the same count once; of those that differ none is
 * taken, since which of them is true is another check's question.
 *
 * They are true until flags are set: the next check asks anew, and gets the same where none was set against them.
 */
export function pointsOf(input: AuditInput, quantity: Measured): Points {
  const byQuantity = known.get(input.flags) ?? new Map<Measured, { input: AuditInput; points: Points }>();
  known.set(input.flags, byQuantity);
  const before = byQuantity.get(quantity);
  if (before?.input === input) return before.points;
  const points = sifted(before?.points ?? allOf(input, quantity), input, Flag.questionable);
  byQuantity.set(quantity, { input, points });
  return points;
}

/** What was gathered before. An audit gives out another input when a flag was set, and flags get only worse. */
const known = new WeakMap<Flags, Map<Measured, { readonly input: AuditInput; readonly points: Points }>>();

/** Those of the points that are not questionable. */
export function unquestioned(points: Points, input: AuditInput): Points {
  return sifted(points, input, Flag.notEvaluated);
}

function allOf({ log, flags }: AuditInput, quantity: Measured): Points {
  const other = otherThan(quantity);
  const rows = clearRows(log);
  return {
    quantity,
    count: rows.count,
    rows,
    times: log.time,
    values: valuesOf(log, quantity),
    partners: valuesOf(log, other),
    partnerFlags: flagsOf(flags, other),
  };
}

/** The points with no worse flag. Missing values have a worse one. */
function sifted(points: Points, { flags }: AuditInput, worst: Flag): Points {
  const rows = without(points.rows, worseThan(flagsOf(flags, points.quantity), worst));
  return rows.count === points.count ? points : { ...points, rows, count: rows.count };
}

/** The instant of a point [ms]. */
export function timeAt({ rows, times }: Points, at: number): Instant {
  return times[rowAt(rows, at)]!;
}

export function valueAt({ rows, values }: Points, at: number): number {
  return values[rowAt(rows, at)]!;
}

/** The other quantity of a point, NaN where it cannot be used. */
export function partnerAt({ rows, partners, partnerFlags }: Points, at: number): number {
  const row = rowAt(rows, at);
  return isUsable(partnerFlags[row]!) ? partners[row]! : NaN;
}

export function otherThan(quantity: Measured): Measured {
  return quantity === 'air_temperature' ? 'relative_humidity' : 'air_temperature';
}

/** The points before each of these places, and after the last of them. */
export function pointsApart(points: Points, places: readonly number[]): Points[] {
  if (places.length === 0) return [points];
  return [0, ...places].map((from, i) => {
    const to = places[i] ?? points.count;
    return { ...points, count: to - from, rows: partOfPieces(points.rows, from, to) };
  });
}

/** The rows of these points, and those that repeat them. */
export function rowsAt({ rows }: Points, log: Log, places: Iterable<number>): number[] {
  const all: number[] = [];
  for (const place of places) {
    const first = rowAt(rows, place);
    const end = firstAfter(log.time, first);
    for (let row = first; row < end; row++) all.push(row);
  }
  return all;
}

/** The same of all points of these runs, which follow each other. */
export function rowsOfRuns({ rows }: Points, { time }: Log, runs: readonly Run[]): Uint32Array {
  // what repeats a point stands right behind it
  const most = runs.reduce(
    (sum, { first, last }) => sum + firstAfter(time, rowAt(rows, last)) - rowAt(rows, first),
    0,
  );
  const all = new Uint32Array(most);
  let count = 0;
  for (const { first, last } of runs) {
    for (let at = first; at <= last; at++) {
      const row = rowAt(rows, at);
      const end = firstAfter(time, row);
      for (let each = row; each < end; each++) all[count++] = each;
    }
  }
  return all.subarray(0, count);
}

/** The first row of a later instant. */
function firstAfter(time: Float64Array, row: number): number {
  let end = row + 1;
  while (time[end] === time[row]) end++;
  return end;
}

/** How many instants these rows have, ascending: readings of one instant count once. */
export function instantsOf(rows: RowNumbers, { time }: Log): number {
  let count = 0;
  for (let i = 0; i < rows.length; i++) if (i === 0 || time[rows[i]!] !== time[rows[i - 1]!]) count++;
  return count;
}

/**
 * Marks against these rows, but for the values that came with a flag: what is compared with the rest of
 * the log looks different once the log is cleaned, and a log that is cleaned again must stay as it is.
 */
export function judgement(log: Log, quantity: Measured, rows: RowNumbers, flag: Flag): Mark {
  const carried = log.inputFlags === null ? null : flagsOf(log.inputFlags, quantity);
  return { quantity, rows: carried === null ? rows : [...rows].filter((row) => carried[row] === 0), flag };
}

/**
 * Value at a point on the straight line between two others.
 *
 * @param of the quantity: `valueAt` or `partnerAt`
 */
export function lineAt(points: Points, of: typeof valueAt, a: number, b: number, at: number): number {
  const t0 = timeAt(points, a);
  const v0 = of(points, a);
  return v0 + ((of(points, b) - v0) * (timeAt(points, at) - t0)) / (timeAt(points, b) - t0);
}
