import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addLines, addRows, linesOf, nextBack, noLines, partOf, reversed } from '../../src/log/lines.js';
import { lineNumbers } from './lineNumbers.js';

/** Lines as inputs have them: one by one, every so many, backwards, and with steps that are like no other. */
const pieces = fc.array(
  fc.record({
    first: fc.integer({ min: 1, max: 60 }),
    step: fc.integer({ min: -3, max: 3 }),
    count: fc.integer({ min: 0, max: 6 }),
  }),
  { maxLength: 12 },
);
const numbers = pieces.map((all) => all.flatMap(spelled));
const place = fc.nat(80);

function spelled({ first, step, count }: { first: number; step: number; count: number }): number[] {
  return Array.from({ length: count }, (_, i) => first + i * step);
}

describe('lines', () => {
  it('are those that were added, one by one or many at once', () => {
    fc.assert(
      fc.property(pieces, (all) => {
        const lines = noLines();
        for (const { first, step, count } of all) addLines(lines, first, step, count);
        const added = all.flatMap(spelled);
        expect(lineNumbers(lines)).toEqual(added);
        expect(lineNumbers(linesOf(added))).toEqual(added);
        expect(linesOf(added).count).toBeLessThanOrEqual((added.length + 1) / 2);
      }),
    );
  });

  it('of rows are a part of those of all, and go on where others end', () => {
    fc.assert(
      fc.property(numbers, numbers, place, place, (some, others, a, b) => {
        const [first, end] = [Math.min(a, b, others.length), Math.min(Math.max(a, b), others.length)];
        expect(lineNumbers(partOf(linesOf(others), first, end))).toEqual(others.slice(first, end));
        const lines = linesOf(some);
        addRows(lines, linesOf(others), first, end);
        expect(lineNumbers(lines)).toEqual([...some, ...others.slice(first, end)]);
      }),
    );
  });

  it('turned round are the same from the other end', () => {
    fc.assert(
      fc.property(numbers, (all) => {
        expect(lineNumbers(reversed(linesOf(all)))).toEqual(all.toReversed());
      }),
    );
  });

  it('that go back are found as by looking at each', () => {
    fc.assert(
      fc.property(numbers, place, place, fc.constantFrom(1 as const, -1 as const), (all, a, b, direction) => {
        const from = 1 + a;
        const until = Math.min(b, all.length);
        const isBack = (row: number) => direction * (all[row]! - all[row - 1]!) < 0;
        const back = all.findIndex((_, row) => row >= from && row < until && isBack(row));
        expect(nextBack(linesOf(all), from, until, direction)).toBe(back < 0 ? until : back);
      }),
    );
  });

  it('of a log with a line here and there left out take next to nothing', () => {
    const lines = noLines();
    for (let line = 2; line < 1_000_000; line += 1001) addLines(lines, line, 1, 1000);
    expect(lines.count).toBe(999);
    expect(lines.runs.byteLength).toBeLessThan(20_000);
  });
});
