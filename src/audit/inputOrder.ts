import { type Lines, lineAt, nextBack } from '../log/lines.js';
import type { Log } from '../log/log.js';
import { ascendingOrder } from '../log/order.js';
import { type Pieces, pieceAt, piecesOf } from '../log/pieces.js';

/**
 * The rows of a source whose lines do not all stand in order of time, in order of its lines. A piece is a stretch of
 * the log that stands in the source as it is: all that is asked of the order is asked of pieces, of which there are
 * as many as there are breaks, and not of rows.
 */
export interface InputOrder {
  readonly source: number;
  readonly inInput: Pieces;
  /** Numbers of these pieces, in order of time. */
  readonly inTime: Uint32Array;
}

const known = new WeakMap<Log, { newestFirst: readonly boolean[]; orders: readonly InputOrder[] }>();

/**
 * The sources of a log that are not in order of time, nearly always none; worked out once for every log.
 *
 * @param newestFirst by source, whether its lines run from the newest reading to the oldest
 */
export function inputOrders(log: Log, newestFirst: readonly boolean[]): readonly InputOrder[] {
  const before = known.get(log);
  if (before?.newestFirst === newestFirst) return before.orders;
  const runs: number[][] = log.sources.map(() => []);
  for (let row = 0; row < log.length; ) {
    const source = log.source[row]!;
    const end = nextBreak(log, row + 1, directionOf(newestFirst, source));
    runs[source]!.push(row, end);
    row = end;
  }
  const orders = runs.flatMap((own, source) => {
    const direction = directionOf(newestFirst, source);
    return isCrooked(log, own, direction) ? [inLines(log, source, piecesOf(own), direction)] : [];
  });
  known.set(log, { newestFirst, orders });
  return orders;
}

/** Lines of later readings are greater, or less. */
const directionOf = (newestFirst: readonly boolean[], source: number): 1 | -1 =>
  newestFirst[source] === true ? -1 : 1;

/** The first row from `from` on, 1 or more, whose line does not follow that of the row before it in the same source. */
function nextBreak({ sources, lines, source, length }: Log, from: number, direction: 1 | -1): number {
  let until = sources.length > 1 ? from : length;
  while (until < length && source[until] === source[from - 1]) until++;
  return nextBack(lines, from, until, direction);
}

/** @param runs the first row of each and the one behind its last, by turns */
function isCrooked({ lines }: Log, runs: readonly number[], direction: 1 | -1): boolean {
  for (let i = 2; i < runs.length; i += 2)
    if (direction * (lineAt(lines, runs[i]!) - lineAt(lines, runs[i - 1]! - 1)) < 0) return true;
  return false;
}

/** Merges runs of rows by their lines; of equal lines the earlier row comes first. */
function inLines(log: Log, source: number, runs: Pieces, direction: number): InputOrder {
  const heads = runs.firsts.slice();
  const ends = Uint32Array.from(heads, (_, run) => pieceAt(runs, run).to);
  // where in the input what is left of each begins
  const places = Float64Array.from(heads, (row) => direction * lineAt(log.lines, row));
  const isBefore = (a: number, b: number) => places[a]! < places[b]! || (places[a] === places[b] && a < b);
  // a heap of the runs, that with the first line at its top
  const heap = Uint32Array.from(heads.keys());
  let size = heap.length;
  const sink = (from: number) => {
    const run = heap[from]!;
    let at = from;
    for (let below = 2 * at + 1; below < size; below = 2 * at + 1) {
      if (below + 1 < size && isBefore(heap[below + 1]!, heap[below]!)) below++;
      if (!isBefore(heap[below]!, run)) break;
      heap[at] = heap[below]!;
      at = below;
    }
    heap[at] = run;
  };
  for (let at = size >> 1; at >= 0; at--) sink(at);
  const bounds: number[] = [];
  while (size > 0) {
    const run = heap[0]!;
    const from = heads[run]!;
    const end = ends[run]!;
    let to = end;
    if (size > 1) {
      const next = size > 2 && isBefore(heap[2]!, heap[1]!) ? heap[2]! : heap[1]!;
      const least = places[next]! + (run < next ? 1 : 0);
      to = firstBehind(log.lines, from + 1, end, least, direction);
    }
    bounds.push(from, to);
    heads[run] = to;
    if (to === end) heap[0] = heap[--size]!;
    else places[run] = direction * lineAt(log.lines, to);
    sink(0);
  }
  const inInput = piecesOf(bounds);
  return { source, inInput, inTime: ascendingOrder(Float64Array.from(inInput.firsts))! };
}

/** The first of the rows [from, end) whose line, by the direction, is no less than this. */
function firstBehind(lines: Lines, from: number, end: number, least: number, direction: number): number {
  let low = from;
  let high = end;
  // it is near more often than not
  for (let step = 1; low + step < high; step *= 2) {
    if (direction * lineAt(lines, low + step) >= least) {
      high = low + step;
      break;
    }
    low += step;
  }
  while (low < high) {
    const middle = (low + high) >> 1;
    if (direction * lineAt(lines, middle) < least) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * The pieces that stand out of order: those of the fewest rows without which the source is in order of time (the
 * complement of a longest ascending subsequence). One row dated into the future is one row out of order here, not a
 * reason to call all rows after it late.
 *
 * @returns by piece in order of input, 1 for those
 */
export function strayPieces({ inInput, inTime }: InputOrder): Uint8Array {
  const { starts, firsts } = inInput;
  const n = inTime.length;
  const lengths = new Uint32Array(n + 1); // of the best subsequence that ends with a piece, in rows
  const before = new Uint32Array(n); // the piece in front of it, n for none
  // a tree over the pieces in order of input, each knot with the best of those under it
  const best = new Uint32Array(n + 1).fill(n);
  /** Of the first so many pieces in order of input the best, of equal ones the latest. */
  const bestOf = (count: number) => {
    let found = n;
    for (let at = count; at > 0; at &= at - 1) {
      const each = best[at]!;
      const more = lengths[each]! - lengths[found]!;
      if (more > 0 || (more === 0 && firsts[each]! > firsts[found]!)) found = each;
    }
    return found;
  };
  for (const piece of inTime) {
    const front = bestOf(piece);
    before[piece] = front;
    lengths[piece] = lengths[front]! + starts[piece + 1]! - starts[piece]!;
    for (let at = piece + 1; at <= n; at += at & -at)
      if (lengths[piece]! >= lengths[best[at]!]!) best[at] = piece;
  }
  const strays = new Uint8Array(n).fill(1);
  for (let piece = bestOf(n); piece < n; piece = before[piece]!) strays[piece] = 0;
  return strays;
}
