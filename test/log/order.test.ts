import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ascendingOrder, mixedRows, sortedRows } from '../../src/log/order.js';

const sorted = (keys: Float64Array) => ascendingOrder(keys) ?? Uint32Array.from(keys, (_, row) => row);

/** Array sort is stable by the language standard, and shares no line with ours. */
const bySort = (keys: Float64Array) => Uint32Array.from([...keys.keys()].sort((a, b) => keys[a]! - keys[b]!));

/** Few different keys, so that ties are common. */
const randomKeys = fc
  .array(fc.integer({ min: 0, max: 30 }), { maxLength: 60 })
  .map((keys) => Float64Array.from(keys));

const range = (from: number, to: number) => Array.from({ length: to - from }, (_, i) => from + i);

const SHAPES = [
  { why: 'newest first', keys: range(0, 500).reverse() },
  { why: 'newest first, each twice', keys: range(0, 500).map((i) => -(i >> 1)) },
  { why: 'one late block', keys: [...range(0, 100), ...range(400, 403), ...range(100, 400)] },
  { why: 'old file behind a new one', keys: [...range(300, 600), ...range(0, 300)] },
  { why: 'two files that overlap', keys: [...range(0, 300), ...range(200, 500)] },
  { why: 'rising and falling in turn', keys: range(0, 301).map((i) => (i % 2 === 0 ? i : -i)) },
  { why: 'an odd number of runs', keys: [5, 6, 3, 4, 1, 2, 2, 7, 0] },
  { why: 'all the same but the last', keys: [...new Array<number>(50).fill(4), 3] },
  { why: 'before 1970', keys: [-1, -3, -2, 0, -3] },
];

describe('the ascending order of a column', () => {
  it.each(SHAPES)('$why: as a stable sort has it', ({ keys }) => {
    const column = Float64Array.from(keys);
    expect(ascendingOrder(column)).toEqual(bySort(column));
  });

  it('is that of a stable sort for any keys', () => {
    fc.assert(
      fc.property(randomKeys, (keys) => {
        expect(sorted(keys)).toEqual(bySort(keys));
      }),
    );
  });

  it('is null where the column is in order, ties and all', () => {
    for (const keys of [[], [7], [1, 1, 2, 2, 9]]) expect(ascendingOrder(Float64Array.from(keys))).toBeNull();
  });

  it('leaves the column itself as it is', () => {
    const keys = Float64Array.of(3, 1, 2);
    ascendingOrder(keys);
    expect([...keys]).toEqual([3, 1, 2]);
  });
});

/** The order of all rows, from that of the stretches that are not in order. */
const sortedInPieces = (keys: Float64Array) => {
  const stretches = mixedRows(keys);
  const moved = sortedRows(keys, stretches);
  const rows = Uint32Array.from(keys, (_, row) => row);
  let from = 0;
  for (const { first, end } of stretches) {
    rows.set(moved.subarray(from, from + end - first), first);
    from += end - first;
  }
  return rows;
};

describe('the stretches out of order', () => {
  it.each(SHAPES)('$why: once they are sorted, all is', ({ keys }) => {
    const column = Float64Array.from(keys);
    expect(sortedInPieces(column)).toEqual(bySort(column));
  });

  it('hold all that has to be moved, for any keys', () => {
    // long pieces in order stand between, so that there is more than one stretch
    const pieces = fc.array(fc.tuple(randomKeys, fc.integer({ min: 0, max: 150 })), { maxLength: 6 });
    fc.assert(
      fc.property(pieces, fc.nat({ max: 40 }), (mixed, rise) => {
        const keys = Float64Array.from(
          mixed.flatMap(([some, calm], i) =>
            [...some, ...new Array<number>(calm).fill(30)].map((key) => key + i * rise),
          ),
        );
        expect(sortedInPieces(keys)).toEqual(bySort(keys));
      }),
    );
  });

  it('are short where only some rows are late', () => {
    const keys = Float64Array.from(range(0, 3000));
    for (const late of [1000, 1010, 2500])
      keys.copyWithin(late, late + 1, late + 6).fill(late, late + 5, late + 6);
    expect(mixedRows(keys).map(({ first, end }) => [first, end])).toEqual([
      [1000, 1016],
      [2500, 2506],
    ]);
  });

  it('are none where the column is in order', () => {
    for (const keys of [[], [7], [1, 1, 2, 2, 9]]) expect(mixedRows(Float64Array.from(keys))).toEqual([]);
  });
});
