import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MarkdownColumn, markdownTable, markdownText } from '../../src/present/markdown.js';
import { visibleText } from '../../src/present/visible.js';

const columns: MarkdownColumn[] = [
  { heading: 'logger', align: 'left' },
  { heading: 'hours', align: 'right' },
];
const table = (rows: string[][], of = columns) => [...markdownTable(of, rows)].join('');

describe('a table', () => {
  it('is padded, with its figures to the right', () => {
    expect(table([['sail-loft', '12.5'], ['温度', '-3.0'], ['short']])).toBe(
      `| logger    | hours |
| --------- | ----: |
| sail-loft |  12.5 |
| 温度      |  -3.0 |
| short     |       |
`,
    );
  });

  it('has its headings where there are no rows, and is nothing without columns', () => {
    expect(table([])).toBe('| logger | hours |\n| ------ | ----: |\n');
    expect(table([['a']], [])).toBe('');
  });

  it('is never torn by what an input holds', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(hostileText(), hostileText()), { maxLength: 4 }), (rows) => {
        const lines = table(rows).split('\n').slice(0, -1);
        expect(lines).toHaveLength(rows.length + 2);
        for (const [i, row] of rows.entries()) {
          const cells = lines[i + 2]!.split(/(?<!\\)(?:\\\\)*\|/).slice(1, -1);
          expect(cells).toHaveLength(2);
          expect(cells.map((cell) => shown(cell.trim()))).toEqual(
            row.map((cell) => visibleText(cell.trim())),
          );
        }
      }),
    );
  });
});

describe('text', () => {
  it.each([
    { why: 'column marks', text: 'a|b', written: 'a\\|b' },
    { why: 'code', text: '`rm`', written: '\\`rm\\`' },
    { why: 'HTML', text: '"><script>&amp;', written: '">&lt;script>&amp;amp;' },
    { why: 'a comparison', text: 'humidity<=85 & margin>=3', written: 'humidity<=85 & margin>=3' },
    { why: 'a quotation', text: '> loft', written: '\\> loft' },
    { why: 'a line end', text: 'a\nb\r', written: 'a\\\\x0ab' },
    { why: 'stress', text: '*a* _b_ ~~c~~', written: '\\*a\\* \\_b\\_ \\~\\~c\\~\\~' },
    { why: 'a link', text: '[a](b)', written: '\\[a\\](b)' },
    {
      why: 'names of columns stay as they are',
      text: 'air_temperature_degC',
      written: 'air_temperature_degC',
    },
    { why: 'a heading', text: '# loft', written: '\\# loft' },
    { why: 'a number sign that begins none', text: '#1 loft', written: '#1 loft' },
    { why: 'a list', text: '- loft', written: '\\- loft' },
    { why: 'a numbered list', text: '1. loft', written: '1\\. loft' },
    { why: 'a rule', text: '---', written: '\\---' },
    { why: 'a negative number', text: '-5.2', written: '-5.2' },
    { why: 'a decimal', text: '1.5 h', written: '1.5 h' },
    { why: 'an escape code', text: '\u001b[31m', written: '\\\\x1b\\[31m' },
  ])('$why', ({ text, written }) => {
    expect(markdownText(text)).toBe(written);
  });
});

function hostileText(): fc.Arbitrary<string> {
  return fc.string({ unit: fc.constantFrom(...'|\\`*_<>&~[]#-+=1.; \n\r\ta\u001b') });
}

/** What a reader of Markdown sees. */
function shown(markdown: string): string {
  return markdown
    .replace(/\\([!-/:-@[-`{-~])/g, '$1')
    .replaceAll('&lt;', '<')
    .replaceAll('&amp;', '&');
}
