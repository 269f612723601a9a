/**
 * Rows of a log one after the other, as pieces in which each row is the next of the log: nearly always few and long
 * ones. A list of the rows themselves would take four bytes for each, as much as half a column.
 */
export interface Pieces {
  /** How many rows they are. */
  readonly count: number;
  /** The place of the first row of each piece, and their number behind the last. */
  readonly starts: Uint32Array;
  /** That row. */
  readonly firsts: Uint32Array;
  /** The piece that was asked for last: the next is nearly always there, too. */
  readonly last: { piece: number };
}

/** @param bounds the first row of each piece and the row behind its last, by turns; no piece is empty */
export function piecesOf(bounds: ArrayLike<number>): Pieces {
  const firsts = new Uint32Array(bounds.length >> 1);
  const starts = new Uint32Array(firsts.length + 1);
  for (let i = 0; i < firsts.length; i++) {
    firsts[i] = bounds[2 * i]!;
    starts[i + 1] = starts[i]! + bounds[2 * i + 1]! - bounds[2 * i]!;
  }
  return { count: starts[firsts.length]!, starts, firsts, last: { piece: 0 } };
}

/**
 * These rows, but for some.
 *
 * @param pieces ascending
 * @param out stretches of rows to leave out: the first of each and the one behind its last, by turns, ascending
 */
export function without(pieces: Pieces, out: ArrayLike<number>): Pieces {
  if (out.length === 0) return pieces;
  const bounds: number[] = [];
  let next = 0;
  for (let piece = 0; piece < pieces.firsts.length; piece++) {
    const { from: first, to } = pieceAt(pieces, piece);
    let from = first;
    while (next < out.length && out[next + 1]! <= from) next += 2;
    for (; next < out.length && out[next]! < to; next += 2) {
      if (out[next]! > from) bounds.push(from, out[next]!);
      from = out[next + 1]!;
      // what reaches over the end of the piece may reach into the next
      if (from >= to) break;
    }
    if (from < to) bounds.push(from, to);
  }
  return piecesOf(bounds);
}

/** The rows [from, to) of a piece. */
export function pieceAt(
  { starts, firsts }: Pieces,
  piece: number,
): { readonly from: number; readonly to: number } {
  const from = firsts[piece]!;
  return { from, to: from + starts[piece + 1]! - starts[piece]! };
}

/** The piece in which a place lies, 0 to `count` - 1. */
export function pieceOf({ starts, last }: Pieces, place: number): number {
  let { piece } = last;
  if (place >= starts[piece + 1]!) piece++;
  if (place < starts[piece]! || !(place < starts[piece + 1]!)) {
    let low = 0;
    let high = starts.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (starts[middle]! <= place) low = middle;
      else high = middle;
    }
    piece = low;
  }
  last.piece = piece;
  return piece;
}

/** The row at a place, 0 to `count` - 1. */
export function rowAt(pieces: Pieces, place: number): number {
  const piece = pieceOf(pieces, place);
  return pieces.firsts[piece]! + place - pieces.starts[piece]!;
}

/** The first place whose row is no less than this one; `count` where there is none. @param pieces ascending */
export function placeFrom({ starts, firsts, count }: Pieces, row: number): number {
  let low = 0;
  let high = firsts.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (firsts[middle]! <= row) low = middle + 1;
    else high = middle;
  }
  if (low === 0) return 0;
  return Math.min(starts[low - 1]! + row - firsts[low - 1]!, starts[low] ?? count);
}

/**
 * The places [from, to), counted from the first of them.
 *
 * @param origin the row from which rows are counted
 */
export function partOfPieces(pieces: Pieces, from: number, to: number, origin = 0): Pieces {
  const bounds: number[] = [];
  for (let place = from; place < to; ) {
    const piece = pieceOf(pieces, place);
    const row = pieces.firsts[piece]! + place - pieces.starts[piece]! - origin;
    const end = Math.min(to, pieces.starts[piece + 1]!);
    bounds.push(row, row + end - place);
    place = end;
  }
  return piecesOf(bounds);
}

/** The rows as a list. */
export function rowsOf(pieces: Pieces): Uint32Array {
  return Uint32Array.from({ length: pieces.count }, (_, place) => rowAt(pieces, place));
}
