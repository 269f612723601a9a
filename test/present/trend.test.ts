import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import type { Style } from '../../src/present/terminal.js';
import { trendLines } from '../../src/present/trend.js';
import type { Trend } from '../../src/report/trend.js';

const terminal: Style = { level: 0, width: 80, unicode: true };
const drawn = (trends: Trend[], style: Partial<Style> = {}) =>
  [...trendLines(trends, { ...terminal, ...style })].join('');
const of = (...values: number[]): Trend => ({ name: 'mean °C', values, decimals: 1 });

describe('a course', () => {
  it('goes from the least value to the greatest, and what is unknown looks like nothing else', () => {
    expect(drawn([of(-1, 0, 1, 2, 3, 4, 5, 6, NaN, 2)])).toBe('mean °C -1.0 ▁▂▃▄▅▆▇█?▄ 6.0\n');
  });

  it('is written in digits where the terminal knows ASCII only', () => {
    expect(drawn([of(-1, 0, 1, 2, 3, 4, 5, 6, NaN, 2)], { unicode: false })).toBe(
      'mean degC -1.0 12345678?4 6.0\n',
    );
  });

  it('stands in the middle where nothing changes', () => {
    expect(drawn([of(5, 5, 5)])).toBe('mean °C 5.0 ▅▅▅ 5.0\n');
  });

  it('is all unknown, without values, where nothing is known', () => {
    expect(drawn([of(NaN, NaN, NaN)])).toBe('mean °C  ???\n');
  });

  it('stands under those of other columns', () => {
    expect(drawn([of(1, 2, 3), { name: '%', values: [90, 80, 100], decimals: 0 }])).toBe(
      'mean °C 1.0 ▁▅█ 3.0\n%        80 ▅▁█ 100\n',
    );
  });

  it('is not drawn in a pipe, for fewer than three rows, and where there is no room', () => {
    expect(drawn([of(1, 2, 3)], { width: null })).toBe('');
    expect(drawn([of(1, 2)])).toBe('');
    expect(drawn([of(...Array.from({ length: 100 }, (_, i) => i))], { width: 40 })).toBe('');
  });
});

describe('where there are more rows than room', () => {
  it('a mark stands for the mean of several, and the line says so', () => {
    const values = Array.from({ length: 200 }, (_, i) => i);
    expect(drawn([of(...values)])).toBe(
      'mean °C 0.0 ▁▁▁▂▂▂▂▂▂▃▃▃▃▃▄▄▄▄▄▄▅▅▅▅▅▅▆▆▆▆▆▇▇▇▇▇▇███ 199.0 (5 rows a mark)\n',
    );
  });

  it('one unknown row makes its mark unknown', () => {
    const values = Array.from({ length: 200 }, (_, i) => (i === 17 ? NaN : i));
    const marks = /[▁-█?]+/.exec(drawn([of(...values)]))![0];
    expect([...marks].map((mark) => mark === '?').indexOf(true)).toBe(3);
    expect(marks.match(/\?/g)).toHaveLength(1);
  });

  it('no line is wider than the terminal', () => {
    const value = fc.oneof(fc.double({ min: -1e4, max: 1e4, noNaN: true }), fc.constant(NaN));
    fc.assert(
      fc.property(
        fc.array(value, { maxLength: 400 }),
        fc.array(value, { maxLength: 400 }),
        fc.integer({ min: 10, max: 200 }),
        fc.boolean(),
        (a, b, width, unicode) => {
          const text = drawn([of(...a), { name: 'least margin K', values: b, decimals: 2 }], {
            width,
            unicode,
          });
          for (const line of text.split('\n')) expect(stringWidth(line)).toBeLessThanOrEqual(width);
          if (!unicode) expect(text).toMatch(/^[\n -~]*$/);
        },
      ),
    );
  });
});
