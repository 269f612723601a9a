import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LONGEST_NUMBER, putNumber, putTwoDigits } from '../../src/present/byteCells.js';
import { csvLine } from '../../src/present/csv.js';

const AT = 3;

function written(value: number): string {
  const bytes = Buffer.alloc(AT + LONGEST_NUMBER, '~');
  const end = putNumber(bytes, AT, value);
  expect(bytes.toString('latin1', 0, AT)).toBe('~~~');
  return bytes.toString('latin1', AT, end);
}

/** What the plain writer makes of a number. */
const plain = (value: number) => csvLine([value, '']).slice(0, -1);

describe('putNumber', () => {
  it.each([
    [0, '0'],
    [-0, '0'],
    [10, '10'],
    [0.1, '0.1'],
    [-0.05, '-0.05'],
    [1200.0304, '1200.0304'],
    [99_999_999_999, '99999999999'],
    [99_999_999_999.9999, '99999999999.9999'],
    [1e21, '1e+21'],
    [-1.2345678901234567e-100, '-1.2345678901234567e-100'],
    [-0.0000010018254670285387, '-0.0000010018254670285387'],
    [-0.0000012345678901234567, '-0.0000012345678901234567'],
    [0.30000000000000004, '0.30000000000000004'],
    [Number.NaN, ''],
    [Number.NEGATIVE_INFINITY, ''],
  ])('writes %d as "%s"', (value, text) => {
    expect(written(value)).toBe(text);
  });

  it('writes what the plain writer writes, for every double', () => {
    const decimal = fc
      .tuple(fc.maxSafeInteger(), fc.integer({ min: 0, max: 9 }))
      .map(([digits, places]) => digits / 10 ** places);
    const reading = fc
      .tuple(fc.integer({ min: -9999, max: 9_999_999 }), fc.integer({ min: 0, max: 5 }))
      .map(([digits, places]) => digits / 10 ** places);
    const neighbour = reading.map((value) => value * (1 + Number.EPSILON));
    fc.assert(
      fc.property(fc.oneof(fc.double(), fc.float(), decimal, reading, neighbour), (value) => {
        expect(written(value)).toBe(plain(value));
      }),
      { numRuns: 5000 },
    );
  });
});

it('putTwoDigits writes 0 to 99', () => {
  const bytes = Buffer.alloc(200);
  let at = 0;
  for (let value = 0; value < 100; value++) at = putTwoDigits(bytes, at, value);
  const expected = Array.from({ length: 100 }, (_, value) => String(value).padStart(2, '0')).join('');
  expect(bytes.toString('latin1', 0, at)).toBe(expected);
});
