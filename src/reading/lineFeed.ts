import type { PlainLines } from './plainLines.js';
import type { RecordScanner } from './records.js';

/** Takes the bytes of an input, piece by piece; the last call has `last` set. A piece is not kept. */
export type Feed = (piece: Buffer, last: boolean) => void;

/** So many lines at most go to the lane for all lines before the plain lane is tried again. */
const LONGEST_DETOUR = 1024;

/**
 * Sends the lines of an input through the plain lane, and those that it does not take through the other, in
 * order of input and with the same line numbers.
 *
 * @param plain the plain lane, null while it is not to be used
 */
export function lineFeed(lineEnd: '\n' | '\r', plain: () => PlainLines | null, others: RecordScanner): Feed {
  const end = lineEnd.charCodeAt(0);
  /** Pieces of a line whose end has not come yet. */
  let begun: Buffer[] = [];
  // where one line is not plain the next ones often are not either: twice as many each time
  let detour = 1;

  /** Whole lines: the last byte is a line end. */
  function lines(bytes: Buffer): void {
    const to = bytes.length;
    let at = 0;
    while (at < to) {
      const lane = others.isOpen ? null : plain();
      if (lane !== null) {
        const next = lane.take(bytes, at, to, others.line);
        others.line += lane.taken;
        if (next > at) detour = 1;
        at = next;
        if (at >= to) return;
      }
      let stop = at;
      for (let i = 0; i < detour && stop < to; i++) stop = bytes.indexOf(end, stop) + 1;
      detour = Math.min(2 * detour, LONGEST_DETOUR);
      others.push(bytes.toString('latin1', at, stop), false);
      at = stop;
    }
  }

  return (piece, last) => {
    const first = piece.indexOf(end) + 1;
    if (first > 0) {
      let from = 0;
      if (begun.length > 0) {
        // the line across the border of two pieces is put together by itself
        lines(Buffer.concat([...begun, piece.subarray(0, first)]));
        begun = [];
        from = first;
      }
      const to = piece.lastIndexOf(end) + 1;
      if (from < to) lines(piece.subarray(from, to));
      if (to < piece.length) begun.push(Buffer.from(piece.subarray(to)));
    } else if (piece.length > 0) begun.push(Buffer.from(piece));
    if (last) others.push(Buffer.concat(begun).toString('latin1'), true);
  };
}
