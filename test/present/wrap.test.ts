import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { screenWidth } from '../../src/present/width.js';
import { widestWord, wrapped } from '../../src/present/wrap.js';

describe('wrapped', () => {
  it.each([
    { text: 'no reading for 1 h', width: 10, lines: ['no reading', 'for 1 h'] },
    { text: 'fits', width: 4, lines: ['fits'] },
    { text: '', width: 4, lines: [''] },
    { text: 'kept  apart', width: 20, lines: ['kept  apart'] },
    { text: 'abcdefghij kl', width: 4, lines: ['abcd', 'efgh', 'ij', 'kl'] },
    { text: 'a abcdefgh', width: 4, lines: ['a ab', 'cdef', 'gh'] },
    { text: '温度温度', width: 5, lines: ['温度', '温度'] },
    { text: '      ', width: 3, lines: [''] },
  ])('"$text" in $width columns', ({ text, width, lines }) => {
    expect(wrapped(text, width)).toEqual(lines);
  });

  const prose = fc.string({
    unit: fc.oneof(fc.constantFrom(' ', 'a', '度', '🌡️', '°'), fc.string({ minLength: 1 })),
  });

  it('keeps every line within the width and loses nothing but blanks', () => {
    fc.assert(
      fc.property(prose, fc.integer({ min: 2, max: 30 }), (text, width) => {
        const lines = wrapped(text, width);
        for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(width);
        expect(lines.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
      }),
    );
  });
});

describe('widestWord', () => {
  it('counts columns, not characters', () => {
    expect(widestWord('dew 温度計 point')).toBe(6);
  });
});

describe('screenWidth', () => {
  it.each([
    { text: '21.3 °C', width: 7 },
    { text: '温度', width: 4 },
    { text: '🌡️ ok', width: 5 },
    { text: 'e\u0301te\u0301', width: 3 },
    { text: 'soft\u00adhyphen', width: 10 },
    { text: '', width: 0 },
  ])('"$text" fills $width', ({ text, width }) => {
    expect(screenWidth(text)).toBe(width);
  });

  it('agrees with measuring the whole text at once', () => {
    const ours = fc.constantFrom(...'≤≥−–—…·°±×→τμΣ─█’“', '\u0301', '\ufe0f', '\u200d', '温');
    const unit = fc.oneof(ours, fc.string({ unit: 'grapheme', minLength: 1, maxLength: 1 }));
    const texts = fc.array(fc.string({ unit })).map((words) => words.join(' '));
    fc.assert(
      fc.property(texts, (text) => {
        expect(screenWidth(text)).toBe(stringWidth(text));
      }),
    );
  });
});
