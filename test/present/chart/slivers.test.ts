import fc from 'fast-check';
import { expect, it } from 'vitest';
import { SLIVERS } from '../../../src/present/chart/frame.js';
import { slivers } from '../../../src/present/chart/slivers.js';

/** Ten milliseconds a sliver. */
const axis = { from: 0, until: SLIVERS * 10 };

it('everything that was marked is marked, and nothing further from it than a sliver', () => {
  const spans = fc.array(
    fc
      .tuple(fc.integer({ min: -500, max: axis.until + 500 }), fc.integer({ min: 1, max: 900 }))
      .map(([from, length]) => ({ from, until: from + length })),
    { maxLength: 12 },
  );
  fc.assert(
    fc.property(spans, (given) => {
      const found = slivers(given, axis);
      for (let at = 0; at < axis.until; at += 5) {
        const marked = given.some(({ from, until }) => at >= from && at < until);
        const near = given.some(({ from, until }) => at >= from - 10 && at < until + 10);
        const shown = found.some(({ from, width }) => at >= from * 10 && at < (from + width) * 10);
        if (marked) expect(shown).toBe(true);
        if (shown) expect(near).toBe(true);
      }
      for (let i = 1; i < found.length; i++) {
        expect(found[i]!.from).toBeGreaterThan(found[i - 1]!.from + found[i - 1]!.width);
      }
    }),
  );
});

it.each([
  { why: 'the shortest can be seen', span: { from: 5001, until: 5002 }, shown: [{ from: 500, width: 1 }] },
  {
    why: 'cut to the axis',
    span: { from: -50, until: 2 * axis.until },
    shown: [{ from: 0, width: SLIVERS }],
  },
  { why: 'empty', span: { from: 5000, until: 5000 }, shown: [] },
  { why: 'before the axis', span: { from: -50, until: 0 }, shown: [] },
  { why: 'after the axis', span: { from: axis.until, until: axis.until + 50 }, shown: [] },
])('$why', ({ span, shown }) => expect(slivers([span], axis)).toEqual(shown));
