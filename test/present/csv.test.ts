import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Cell, csvLine, csvLines } from '../../src/present/csv.js';

const text = (header: string[], rows: Iterable<Cell[]>, crlf = false) =>
  [...csvLines(header, rows, { crlf })].join('');

describe('csvLine', () => {
  it.each([
    { cells: ['sail-loft', 21.3, -3.5, 0.1], line: 'sail-loft,21.3,-3.5,0.1', why: 'plain cells' },
    { cells: [NaN, null, Infinity, ''], line: ',,,', why: 'missing values are empty' },
    { cells: [-0, 1e21, 1e-7], line: '0,1e+21,1e-7', why: 'shortest exact text, no minus zero' },
    {
      cells: ['a,b', 'say "no"', 'two\nlines', 'cr\rhere'],
      line: '"a,b","say ""no""","two\nlines","cr\rhere"',
    },
    { cells: ['温度 °C', ' padded '], line: '温度 °C, padded ', why: 'nothing else is quoted' },
    { cells: [null], line: '""', why: 'a lone empty cell must not look like a blank line' },
  ])('$line ($why)', ({ cells, line }) => {
    expect(csvLine(cells)).toBe(line);
  });

  it.each(['=1+2', '+cmd', '-cmd', '@sum', '\tx', '\rx', '\0x', '=', '-', '--5', '-3.5.1', '-1e', '+1-2'])(
    'defuses %j with an apostrophe',
    (cell) => {
      const [[read]] = parse(`${csvLine([cell, 'x'])}\n`) as [[string]];
      expect(read).toBe(`'${cell}`);
    },
  );

  it.each(['-3.5', '+7', '-.5', '-5.', '-1e-7', '+1E+3', '-3,5'])(
    'leaves the plain number "%s" alone',
    (cell) => {
      const [[read]] = parse(`${csvLine([cell, 'x'])}\n`) as [[string]];
      expect(read).toBe(cell);
    },
  );

  it('defuses before it quotes', () => {
    expect(csvLine(['=HYPERLINK("a","b")', 'x'])).toBe(`"'=HYPERLINK(""a"",""b"")",x`);
  });

  it('gives the same line when its own cells are written again', () => {
    const awkward = fc.string({ unit: fc.constantFrom(...'=+-@\t\r\0"\',;\n1.aé'), maxLength: 6 });
    fc.assert(
      fc.property(fc.array(awkward, { minLength: 2, maxLength: 5 }), (cells) => {
        const once = csvLine(cells);
        const [read] = parse(once, { relax_column_count: true }) as string[][];
        expect(csvLine(read!)).toBe(once);
      }),
    );
  });

  it('writes every double so that the same double is read', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), fc.integer(), (a, b) => {
        const cells = csvLine([a, b, a]).split(',').map(Number);
        expect(cells).toEqual([a + 0, b, a + 0]);
      }),
    );
  });

  it('never mixes up numbers that lie close together', () => {
    const values = Array.from({ length: 20_000 }, (_, i) => (i % 5000) / 1000 - 2.5);
    expect(csvLine([...values, ...values])).toBe(
      [...values, ...values].map((value) => String(value)).join(','),
    );
  });
});

describe('csvLines', () => {
  it('has the heading even without rows', () => {
    expect(text(['time', 'logger'], [])).toBe('time,logger\n');
  });

  it('ends every line, the last too', () => {
    expect(
      text(
        ['a', 'b'],
        [
          [1, 'x'],
          [null, 'y'],
        ],
      ),
    ).toBe('a,b\n1,x\n,y\n');
    expect(text(['a', 'b'], [[1, 'x']], true)).toBe('a,b\r\n1,x\r\n');
  });

  it('hands over pieces of many whole lines and asks for rows only as it goes', () => {
    let asked = 0;
    function* rows(): Generator<Cell[]> {
      for (; asked < 100_000; asked++) yield [asked, 'sail-loft'];
    }
    const pieces = csvLines(['n', 'logger'], rows());
    const first = pieces.next().value as string;
    expect(first.length).toBeGreaterThanOrEqual(65_536);
    expect(first.length).toBeLessThan(66_000);
    expect(asked).toBeLessThan(5_000);
    const all = first + [...pieces].join('');
    expect(all.endsWith('\n')).toBe(true);
    expect(all.split('\n')).toHaveLength(100_002);
  });

  it('is read back by a CSV reader as it was given', () => {
    // No text that the formula guard would change.
    const cell = fc.string({ unit: 'grapheme' }).filter((value) => !/^[=+\-@\t\r\0]/.test(value));
    fc.assert(
      fc.property(fc.array(fc.tuple(cell, cell, cell), { minLength: 1 }), fc.boolean(), (rows, crlf) => {
        const written = text(['a', 'b', 'c'], rows, crlf);
        expect(parse(written, { from: 2, record_delimiter: crlf ? '\r\n' : '\n' })).toEqual(rows);
      }),
    );
  });
});
