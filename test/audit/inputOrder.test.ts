import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inputOrders, strayPieces } from '../../src/audit/inputOrder.js';
import { linesOf } from '../../src/log/lines.js';
import type { Log } from '../../src/log/log.js';
import { pieceAt, rowAt } from '../../src/log/pieces.js';

/** A log whose rows, in order of time, stand in these lines of these sources. */
function logOf(rows: readonly { readonly line: number; readonly source: number }[]): Log {
  const length = rows.length;
  return {
    logger: 'loft',
    sources: ['a.csv', 'b.csv'],
    length,
    time: Float64Array.from(rows.keys()),
    temperature: new Float64Array(length),
    humidity: new Float64Array(length),
    lines: linesOf(rows.map(({ line }) => line)),
    source: Uint16Array.from(rows, ({ source }) => source),
    inputFlags: null,
  };
}

/** Few different lines, so that ties are common. */
const randomRows = fc.array(
  fc.record({ line: fc.integer({ min: 1, max: 30 }), source: fc.integer({ min: 0, max: 1 }) }),
  { maxLength: 60 },
);

const range = (from: number, to: number) => Array.from({ length: to - from }, (_, i) => from + i);

/** Length of the longest non-descending subsequence, each against all before it. */
function longestAscending(keys: readonly number[]): number {
  const best: number[] = [];
  for (let row = 0; row < keys.length; row++) {
    best[row] = 1;
    for (let i = 0; i < row; i++) if (keys[i]! <= keys[row]!) best[row] = Math.max(best[row]!, best[i]! + 1);
  }
  return Math.max(0, ...best);
}

describe('the order of the input', () => {
  it('is that of a stable sort of the lines of each source that is not in order', () => {
    fc.assert(
      fc.property(randomRows, fc.boolean(), (rows, newestFirst) => {
        const log = logOf(rows);
        const found = inputOrders(log, [newestFirst, newestFirst]);
        const sign = newestFirst ? -1 : 1;
        const expected = [0, 1].flatMap((source) => {
          const own = [...rows.keys()].filter((row) => rows[row]!.source === source);
          const sorted = own.toSorted((a, b) => sign * (rows[a]!.line - rows[b]!.line));
          return sorted.some((row, i) => row !== own[i]) ? [{ source, rows: sorted }] : [];
        });
        const said = found.map(({ source, inInput }) => ({
          source,
          rows: range(0, inInput.count).map((place) => rowAt(inInput, place)),
        }));
        expect(said).toEqual(expected);
        for (const { inInput, inTime } of found) {
          const firsts = Array.from(inTime, (piece) => inInput.firsts[piece]!);
          expect(firsts).toEqual(firsts.toSorted((a, b) => a - b));
        }
      }),
    );
  });

  it('is worked out once for every log', () => {
    const log = logOf([2, 1].map((line) => ({ line, source: 0 })));
    const oldestFirst = [false];
    expect(inputOrders(log, oldestFirst)).toBe(inputOrders(log, oldestFirst));
    expect(inputOrders(log, [true])).toEqual([]);
  });
});

describe('the rows out of order', () => {
  const strays = (lines: readonly number[]) =>
    inputOrders(logOf(lines.map((line) => ({ line, source: 0 }))), [false]).flatMap((order) => {
      const stray = strayPieces(order);
      return [...order.inTime].flatMap((piece) => {
        const { from, to } = pieceAt(order.inInput, piece);
        return stray[piece] === 1 ? range(from, to) : [];
      });
    });

  it('are the fewest without which the rest ascends', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 30 }), { maxLength: 60 }), (lines) => {
        const found = strays(lines);
        const left = lines.filter((_, row) => !found.includes(row));
        expect(left).toEqual(left.toSorted((a, b) => a - b));
        expect(found.length).toBe(lines.length - longestAscending(lines));
        expect(found).toEqual([...new Set(found)].sort((a, b) => a - b));
      }),
    );
  });

  it.each([
    { why: 'nothing at all', lines: [], out: [] },
    { why: 'equal lines are in order', lines: [1, 1, 1], out: [] },
    { why: 'one far ahead of all that follow', lines: [1, 2, 99, 3, 4, 5], out: [2] },
    { why: 'one that came late', lines: [1, 3, 4, 5, 2, 6], out: [4] },
    { why: 'of two that came late the later one', lines: [1, 3, 2, 4], out: [1] },
    { why: 'three before a long late block', lines: [1, 50, 51, 52, ...range(2, 40)], out: [1, 2, 3] },
  ])('$why', ({ lines, out }) => {
    expect(strays(lines)).toEqual(out);
  });

  it('are all but one of a column in reverse', () => {
    expect(strays(range(1, 101).reverse()).length).toBe(99);
  });
});
