import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Punctuation, recordScanner } from '../../src/reading/records.js';

interface Seen {
  readonly cells: readonly string[];
  readonly line: number;
  readonly lines: number;
  readonly trouble: string | null;
  readonly terminated: boolean;
  readonly raw: string;
}

const RFC: Punctuation = { delimiter: ',', escape: '"', lineEnd: '\n' };

/** Everything that the scanner gives, outer blanks of cells taken off. */
function scan(pieces: readonly string[], punctuation: Punctuation): Seen[] {
  const seen: Seen[] = [];
  const scanner = recordScanner(punctuation, (record) => {
    const { text, count, start, end, line, lines, trouble, terminated } = record;
    const cells = Array.from({ length: count }, (_, i) => text.slice(start[i]!, end[i]!).trim());
    seen.push({ cells, line, lines, trouble, terminated, raw: record.raw() });
  });
  for (const [i, piece] of pieces.entries()) scanner.push(piece, i === pieces.length - 1);
  return seen;
}

/** The same by csv-parse alone; it skips blank lines. */
function slowly(text: string, { delimiter, escape: escaping, lineEnd }: Punctuation): string[][] {
  const rows = parse(text, {
    delimiter: delimiter === ' ' ? [' ', '\t'] : delimiter,
    escape: escaping,
    record_delimiter: lineEnd === '\r' ? '\r' : ['\r\n', '\n'],
    relax_column_count: true,
    skip_empty_lines: true,
    trim: true,
  });
  return delimiter === ' ' ? rows.map((row) => row.filter((cell) => cell !== '')) : rows;
}

const punctuations = fc.record({
  delimiter: fc.constantFrom(',', ';', '\t', '|', ' '),
  escape: fc.constantFrom<'"' | '\\'>('"', '\\'),
  lineEnd: fc.constantFrom<'\n' | '\r'>('\n', '\r'),
});
const contents = fc.string({
  unit: fc.constantFrom('a', '1', '2', '.', ',', ';', '|', ' ', '\t', '"', '\\', '\n', '-', '\u00c2'),
  maxLength: 6,
});

/** A cell as a writer of this dialect writes it: in quotes where that is needed, or where it likes to. */
function written(
  content: string,
  quoted: boolean,
  { delimiter, escape: escaping, lineEnd }: Punctuation,
): string {
  const plain = content
    .replaceAll('\n', '')
    .replaceAll(delimiter, '')
    .replace(/["\\\t ]/g, '');
  if (!quoted) return plain === '' && delimiter === ' ' ? '0' : plain;
  // blanks at the ends are cut off by one lane and not by the other
  let inside = content.replaceAll('\n', lineEnd).trim();
  if (delimiter === ' ' && inside === '') inside = 'x';
  const escaped = escaping === '"' ? inside.replaceAll('"', '""') : inside.replace(/["\\]/g, '\\$&');
  return `"${escaped}"`;
}

const texts = fc
  .record({
    punctuation: punctuations,
    crlf: fc.boolean(),
    ended: fc.boolean(),
    rows: fc.array(fc.array(fc.tuple(contents, fc.boolean()), { minLength: 2, maxLength: 4 }), {
      minLength: 1,
      maxLength: 6,
    }),
  })
  .map(({ punctuation, crlf, ended, rows }) => {
    const end = punctuation.lineEnd === '\n' && crlf ? '\r\n' : punctuation.lineEnd;
    const lines = rows.map((cells) =>
      cells.map(([content, quoted]) => written(content, quoted, punctuation)).join(punctuation.delimiter),
    );
    return { punctuation, text: lines.join(end) + (ended ? end : '') };
  });

describe('the two lanes', () => {
  it('give what csv-parse gives', () => {
    fc.assert(
      fc.property(texts, ({ punctuation, text }) => {
        const ours = scan([text], punctuation);
        expect(ours.filter(({ trouble }) => trouble !== null)).toEqual([]);
        const filled = ours.map(({ cells }) => cells).filter((cells) => cells.length > 1 || cells[0] !== '');
        expect(filled).toEqual(slowly(text, punctuation));
      }),
      { numRuns: 400 },
    );
  });

  it('give the same wherever the input is cut', () => {
    const damaged = fc.string({
      unit: fc.constantFrom('a', '1', ',', '"', '"', '\\', '\n', '\r', ' '),
      maxLength: 40,
    });
    const inputs = fc.oneof(
      texts,
      damaged.chain((text) => punctuations.map((punctuation) => ({ punctuation, text }))),
    );
    fc.assert(
      fc.property(inputs, fc.array(fc.nat({ max: 80 }), { maxLength: 5 }), ({ punctuation, text }, cuts) => {
        const places = [0, ...cuts.filter((cut) => cut < text.length).sort((a, b) => a - b), text.length];
        const pieces = places.slice(1).map((place, i) => text.slice(places[i]!, place));
        const whole = scan([text], punctuation);
        expect(scan(pieces, punctuation)).toEqual(whole);
        expect(scan([...text, ''], punctuation)).toEqual(whole);
      }),
      { numRuns: 400 },
    );
  });

  it('account for every line of any input', () => {
    const anything = fc.string({ unit: fc.constantFrom('a', ',', '"', '\\', '\n', ' '), maxLength: 60 });
    fc.assert(
      fc.property(anything, fc.constantFrom<'"' | '\\'>('"', '\\'), (text, escaping) => {
        const seen = scan([text], { ...RFC, escape: escaping });
        expect(seen.map(({ raw, terminated }) => raw + (terminated ? '\n' : '')).join('')).toBe(text);
        let line = 1;
        for (const record of seen) {
          expect(record.line).toBe(line);
          line += record.lines;
        }
        expect(line - 1).toBe(text.split('\n').length - (text === '' || text.endsWith('\n') ? 1 : 0));
      }),
    );
  });
});

describe('a line', () => {
  const cells = (text: string, punctuation: Partial<Punctuation> = {}) =>
    scan([text], { ...RFC, ...punctuation }).map((record) => record.cells);

  it.each([
    { why: 'blanks round quotes', text: 'a, "b,c" ,d', becomes: [['a', 'b,c', 'd']] },
    { why: 'an empty cell at the end', text: 'a,b,\n', becomes: [['a', 'b', '']] },
    { why: 'quotes written twice', text: '"say ""no""",1', becomes: [['say "no"', '1']] },
    {
      why: 'two carriage returns',
      text: 'a,1\r\r\nb,2\r\r\n',
      becomes: [
        ['a', '1'],
        ['b', '2'],
      ],
    },
    { why: 'a blank line', text: 'a,1\n\nb,2\n', becomes: [['a', '1'], [''], ['b', '2']] },
    { why: 'empty quotes', text: '"","",1', becomes: [['', '', '1']] },
  ])('$why', ({ text, becomes }) => {
    expect(cells(text)).toEqual(becomes);
  });

  it('with backslashes, as databases write them', () => {
    expect(cells('"a \\"b\\"",\\N,"c\\\\"\n', { escape: '\\' })).toEqual([['a "b"', '\\N', 'c\\']]);
  });

  it('between blanks takes runs of them for one', () => {
    expect(cells('  a   1\t2  \n', { delimiter: ' ' })).toEqual([['a', '1', '2']]);
  });

  it.each([
    { why: 'never closed', torn: '"2025-10-01,20.1' },
    { why: 'closed in the middle of a cell', torn: '"2025-10-01"x,20.1' },
    { why: 'opened in the middle of a cell', torn: '2025-10-01,20.1"' },
    { why: 'an inch mark', torn: '2025-10-01,5" pipe' },
    { why: 'run into the next line', torn: '"2025-10-01","20.1"2025-10-02","20.2"' },
  ])('whose quotes cannot be right costs that line only: $why', ({ torn }) => {
    const seen = scan([`"a","1"\n${torn}\n"b","2"\n"c","3"\n`], RFC);
    expect(seen.map(({ line, cells: found, trouble }) => [line, trouble ?? found])).toEqual([
      [1, ['a', '1']],
      [2, 'quotes'],
      [3, ['b', '2']],
      [4, ['c', '3']],
    ]);
  });

  it('behind one that spans several keeps its number', () => {
    const seen = scan(['a,"one\ntwo\n\nthree"\nb,2\n"c\n",3'], RFC);
    expect(seen.map(({ line, lines }) => [line, lines])).toEqual([
      [1, 4],
      [5, 1],
      [6, 2],
    ]);
    expect(seen[0]!.cells).toEqual(['a', 'one\ntwo\n\nthree']);
  });

  it('left open for too long is torn, and those below are lines again', () => {
    const seen = scan([`"open\n${'a,1\n'.repeat(40)}`], RFC);
    expect(seen.map(({ trouble }) => trouble)).toEqual(['quotes', ...new Array(40).fill(null)]);
  });

  it('of 20 MB without end is one record', () => {
    // pieces of 64 KiB: looking through all of them again for each new one would take minutes
    const piece = 'x'.repeat(1 << 16);
    const seen = scan([...new Array(320).fill(piece), '"'], RFC);
    expect(seen.map(({ trouble, raw }) => [trouble, raw.length])).toEqual([['quotes', 320 * (1 << 16) + 1]]);
  });
});
