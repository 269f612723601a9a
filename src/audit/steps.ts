import type { Measured } from '../log/log.js';
import { pieceAt, pieceOf, rowAt } from '../log/pieces.js';
import { firstNear } from '../log/span.js';
import type { Points } from './points.js';

/** Checks ask for no lesser steps between two readings, unless a site states so small a limit [K, %]. */
const LEAST: Readonly<Record<Measured, number>> = { air_temperature: 0.3, relative_humidity: 1 };
/** Where more than this share of all steps are so wide, a list of them saves nothing. */
const MOST = 1 / 8;

/** Rows of a column that lie so far from the one before them, ascending. */
interface WideSteps {
  readonly rows: Uint32Array;
  /** Where among them is the one that will be asked for next, nearly always. */
  next: number;
}

/** By column: see `wideSteps`. */
const known = new WeakMap<Float64Array, WideSteps | null>();

/**
 * The first point from `from` on, 1 or more, that is as far as this from the one before it, or further; their
 * number where there is none.
 */
export function nextStep(points: Points, from: number, least: number): number {
  const { count, rows, values, quantity } = points;
  if (from >= count) return count;
  const wide = least < LEAST[quantity] ? null : wideSteps(values, LEAST[quantity]);
  if (wide === null) return nextOfAll(points, from, least);
  const { starts, firsts } = rows;
  let row = rowAt(rows, from);
  const places = wide.rows;
  let next = firstNear(places, row, wide.next);
  for (let piece = pieceOf(rows, from); piece < firsts.length; row = firsts[++piece]!) {
    const start = starts[piece]!;
    const { from: first, to } = pieceAt(rows, piece);
    // from one piece to the next the step is none of the column
    if (row === first) {
      if (Math.abs(values[row]! - values[rowAt(rows, start - 1)]!) >= least) return start;
      row++;
    }
    while (next < places.length && places[next]! < row) next++;
    for (; next < places.length && places[next]! < to; next++) {
      const at = places[next]!;
      if (Math.abs(values[at]! - values[at - 1]!) < least) continue;
      wide.next = next + 1;
      return start + at - first;
    }
  }
  return count;
}

function nextOfAll({ count, rows, values }: Points, from: number, least: number): number {
  let before = rowAt(rows, from - 1);
  let row = rowAt(rows, from);
  for (let piece = pieceOf(rows, from); piece < rows.firsts.length; row = rows.firsts[++piece]!) {
    const { from: first, to } = pieceAt(rows, piece);
    const start = rows.starts[piece]!;
    if (Math.abs(values[row]! - values[before]!) >= least) return start + row - first;
    const found = nextWide(values, row + 1, to, least);
    if (found < to) return start + found - first;
    before = to - 1;
  }
  return count;
}

/**
 * The rows of a column whose value is so far from that of the row before: all checks look among them, and all rows
 * are looked at but once. Null where they are very many.
 */
function wideSteps(values: Float64Array, least: number): WideSteps | null {
  const before = known.get(values);
  if (before !== undefined) return before;
  const rows: number[] = [];
  const most = MOST * values.length;
  const n = values.length;
  for (let row = nextWide(values, 1, n, least); row < n; row = nextWide(values, row + 1, n, least)) {
    rows.push(row);
    if (rows.length > most) break;
  }
  const found = rows.length > most ? null : { rows: Uint32Array.from(rows), next: 0 };
  known.set(values, found);
  return found;
}

/** The first of the rows [from, to) that is so far from the one before it. */
function nextWide(values: Float64Array, from: number, to: number, least: number): number {
  for (let row = from; row < to; row++) if (Math.abs(values[row]! - values[row - 1]!) >= least) return row;
  return to;
}
