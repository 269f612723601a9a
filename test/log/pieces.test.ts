import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { partOfPieces, piecesOf, placeFrom, rowAt, rowsOf, without } from '../../src/log/pieces.js';

/** Some of the rows 0 to 39, and the stretches in which they follow each other. */
const someRows = fc.subarray(Array.from({ length: 40 }, (_, row) => row));

function boundsOf(rows: readonly number[]): number[] {
  return rows.flatMap((row) => [
    ...(rows.includes(row - 1) ? [] : [row]),
    ...(rows.includes(row + 1) ? [] : [row + 1]),
  ]);
}

describe('rows in pieces', () => {
  it('are where they would be in a list, in whatever order they are asked for', () => {
    fc.assert(
      fc.property(someRows, fc.array(fc.nat(39)), (rows, places) => {
        const pieces = piecesOf(boundsOf(rows));
        expect([...rowsOf(pieces)]).toEqual(rows);
        for (const place of places) if (place < pieces.count) expect(rowAt(pieces, place)).toBe(rows[place]);
      }),
    );
  });

  it('may come in another order than that of the log', () => {
    expect([...rowsOf(piecesOf([5, 7, 0, 2, 7, 8]))]).toEqual([5, 6, 0, 1, 7]);
  });

  it('but for others are what is left', () => {
    fc.assert(
      fc.property(someRows, someRows, (rows, out) => {
        const left = without(piecesOf(boundsOf(rows)), boundsOf(out));
        expect([...rowsOf(left)]).toEqual(rows.filter((row) => !out.includes(row)));
      }),
    );
  });

  it('are found by their number, or the next one is', () => {
    fc.assert(
      fc.property(someRows, fc.nat(40), (rows, row) => {
        const place = rows.findIndex((each) => each >= row);
        expect(placeFrom(piecesOf(boundsOf(rows)), row)).toBe(place < 0 ? rows.length : place);
      }),
    );
  });

  it('may be cut at any place, and counted from another row', () => {
    fc.assert(
      fc.property(someRows, fc.nat(40), fc.nat(40), (rows, from, to) => {
        const end = Math.min(to, rows.length);
        const origin = rows[0] ?? 0;
        const part = partOfPieces(piecesOf(boundsOf(rows)), from, end, origin);
        expect([...rowsOf(part)]).toEqual(rows.slice(from, Math.max(from, end)).map((row) => row - origin));
      }),
    );
  });
});
