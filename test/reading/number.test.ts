import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cellKind, parseNumber, parseWithUnit } from '../../src/reading/number.js';

const number = (text: string, decimal: '.' | ',' = '.') => parseNumber(text, 0, text.length, decimal);

const digits = (most: number) =>
  fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: 1, maxLength: most });
const decimals = fc
  .tuple(
    fc.constantFrom('', '+', '-'),
    digits(20),
    fc.option(digits(25)),
    fc.option(fc.integer({ min: -330, max: 300 })),
  )
  .map(
    ([sign, whole, part, power]) =>
      `${sign}${whole}${part === null ? '' : `.${part}`}${power === null ? '' : `e${power}`}`,
  );

describe('parseNumber', () => {
  it('gives the same double as Number()', () => {
    fc.assert(
      fc.property(decimals, (text) => {
        const expected = Number(text);
        expect(number(text)).toBe(Number.isFinite(expected) ? expected : NaN);
        expect(number(text.replace('.', ','), ',')).toBe(Number.isFinite(expected) ? expected : NaN);
      }),
      { numRuns: 3000 },
    );
  });

  it('gives back every double that is written out', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(number(String(value))).toBe(value === 0 ? 0 : value); // -0 is written 0
      }),
    );
  });

  it('reads the part of a text that it is given', () => {
    expect(parseNumber('1,22.5,3', 2, 6, '.')).toBe(22.5);
  });

  it.each(['20.1', ' 20.1', '20.1\t', '\t +20.1 '])('takes blanks around a number: %j', (text) => {
    expect(number(text)).toBe(20.1);
  });

  it.each([
    '',
    ' ',
    '-',
    '+',
    '.',
    '-.',
    '0x10',
    '0b1',
    '1e',
    '1e3x',
    '1_000',
    '1 000',
    'Infinity',
    '-inf',
    'NaN',
    '1.2.3',
    '1,5',
    '--5',
    '5-',
    '20.1°',
    '1e999',
    `${'9'.repeat(400)}`,
    '20.1\r',
    '20.1\0',
  ])('takes %j for no number', (text) => {
    expect(number(text)).toBeNaN();
  });

  it.each(['20.1', '1.234,5', '1,2,3', ','])('takes %j for no number with a decimal comma', (text) => {
    expect(number(text, ',')).toBeNaN();
  });

  it.each([
    ['5.', 5],
    ['.5', 0.5],
    ['-0', -0],
    ['1E2', 100],
    ['007', 7],
    ['0.000000000000000000000000125', 1.25e-25],
    ['0.1000000000000000055511151231257827', 0.1],
  ])('reads %j', (text, value) => {
    expect(number(text)).toBe(value);
  });
});

describe('a cell without number', () => {
  it.each([
    '',
    '  ',
    'NULL',
    'null',
    'None',
    '\\N',
    'nan',
    'NaN',
    '-nan',
    'N/A',
    '#N/A',
    'inf',
    '--',
    '?',
    'unavailable',
  ])('is missing: %j', (text) => expect(cellKind(text)).toBe('missing'));

  it.each(['err', '0x10', '20.1.2', 'E4', '20,1', '\0'])('is unreadable: %j', (text) => {
    expect(cellKind(text)).toBe('unreadable');
  });
});

describe('a number with a unit', () => {
  const bytes = (text: string) => Buffer.from(text).toString('latin1');
  it.each([
    { text: '21.5 °C', value: 21.5, unit: 'C' },
    { text: '21.5°C', value: 21.5, unit: 'C' },
    { text: '-3C', value: -3, unit: 'C' },
    { text: '70.3 degF', value: 70.3, unit: 'F' },
    { text: '293.15 K', value: 293.15, unit: 'K' },
    { text: '80 %', value: 80, unit: null },
    { text: '80.5%RH', value: 80.5, unit: null },
    { text: '80 % r.F.', value: 80, unit: null },
    { text: '\u22125.5', value: -5.5, unit: null },
    { text: '\u22125.5 °C', value: -5.5, unit: 'C' },
    { text: '12 V', value: NaN, unit: null },
    { text: '% 80', value: NaN, unit: null },
    { text: '20.5.1 °C', value: NaN, unit: null },
  ])('$text', ({ text, value, unit }) => {
    expect(parseWithUnit(bytes(text), '.')).toEqual({ value, unit });
  });

  it('may be written in windows-1252 and with a decimal comma', () => {
    expect(parseWithUnit('21,5 \u00b0C', ',')).toEqual({ value: 21.5, unit: 'C' });
    expect(parseWithUnit('21,5 \u00b0C', '.').value).toBeNaN();
  });
});
