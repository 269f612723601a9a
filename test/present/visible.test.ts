import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { asciiText, visibleText } from '../../src/present/visible.js';

describe('visibleText', () => {
  it.each([
    { text: '\u001b[2Jgone', shown: '\\x1b[2Jgone' },
    { text: '\u009b31m', shown: '\\x9b31m' },
    { text: 'a\tb\r\n', shown: 'a\\tb\\x0d\\x0a' },
    { text: 'nul\0del\u007f', shown: 'nul\\x00del\\x7f' },
    { text: '\u202egnp.exe', shown: '\\u202egnp.exe' },
    { text: 'half \ud83c pair', shown: 'half \\ud83c pair' },
    { text: '温度 °C 🌡️', shown: '温度 °C 🌡️' },
  ])('shows $shown', ({ text, shown }) => {
    expect(visibleText(text)).toBe(shown);
  });
});

describe('asciiText', () => {
  it.each([
    { text: '21.3 °C ± 0.2', shown: '21.3 degC +- 0.2' },
    { text: 'Grünhüttl, Łódź, crème', shown: 'Grunhuttl, Lodz, creme' },
    { text: 'm³ and so on…', shown: 'm3 and so on...' },
    { text: '温 🌡', shown: '\\u6e29 \\u{1f321}' },
    { text: 'plain', shown: 'plain' },
  ])('spells $text as $shown', ({ text, shown }) => {
    expect(asciiText(text)).toBe(shown);
  });

  it('is printable ASCII whatever comes in, once it is visible', () => {
    const codePoints = fc.array(fc.integer({ min: 0, max: 0x10ffff }));
    fc.assert(
      fc.property(codePoints, (codes) => {
        const text = String.fromCodePoint(...codes);
        expect(asciiText(visibleText(text))).toMatch(/^[ -~]*$/);
      }),
    );
  });
});
