import { stripVTControlCharacters } from 'node:util';
import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { type Column, tableLines } from '../../src/present/table.js';
import type { Style } from '../../src/present/terminal.js';

const inPipe: Style = { level: 0, width: null, unicode: true };
const text = (columns: Column[], rows: string[][], style: Partial<Style> = {}) =>
  [...tableLines(columns, rows, { ...inPipe, ...style })].join('');
const linesOf = (table: string) => table.split('\n').slice(0, -1);

const columns: Column[] = [
  { heading: 'logger', align: 'left' },
  { heading: 'condensation hours', align: 'right' },
  { heading: 'message', align: 'left', wrap: true },
];
const rows = [
  [
    'sail-loft',
    '12.5',
    'no reading for 1 h 10 min, then two readings with the same time and different values',
  ],
  ['温度', '3.0', 'short'],
  ['🌡️ loft', '', 'the time jumps back by 1 h, as at the end of daylight saving'],
];

describe('in a pipe', () => {
  it('is one line a row, aligned by what the screen shows, with nothing cut', () => {
    expect(text(columns, rows)).toBe(
      `logger     condensation hours  message
${'─'.repeat(115)}
sail-loft                12.5  no reading for 1 h 10 min, then two readings with the same time and different values
温度                      3.0  short
🌡️ loft                        the time jumps back by 1 h, as at the end of daylight saving
`,
    );
  });

  it('has a heading and a rule where there are no rows', () => {
    expect(text(columns, [])).toBe(`logger  condensation hours  message\n${'─'.repeat(35)}\n`);
  });

  it('fills up short rows and keeps empty ones', () => {
    expect(linesOf(text(columns, [['a'], [], ['b']])).slice(2)).toEqual(['a', '', 'b']);
  });

  it('is nothing without columns', () => {
    expect(text([], [[]])).toBe('');
  });
});

describe('at a terminal', () => {
  it.each([60, 80, 140])('of %d columns no line is wider, and every word is there', (width) => {
    const table = text(columns, rows, { width });
    for (const line of linesOf(table)) expect(stringWidth(line)).toBeLessThanOrEqual(width);
    for (const word of rows.flat().join(' ').split(' ')) expect(table).toContain(word);
  });

  it('breaks prose first and figures never', () => {
    expect(text(columns, rows.slice(0, 1), { width: 60 })).toBe(
      `logger     condensation hours  message
────────────────────────────────────────────────────────────
sail-loft                12.5  no reading for 1 h 10 min,
                               then two readings with the
                               same time and different
                               values
`,
    );
  });

  it('breaks headings before it goes over the edge', () => {
    expect(text(columns, [['sail-loft', '12.5', 'short one']], { width: 34 })).toBe(
      `           condensation
logger            hours  message
──────────────────────────────────
sail-loft          12.5  short one
`,
    );
  });

  it('lets figures that are too wide together stand as they are', () => {
    const figures: Column[] = ['a', 'b', 'c'].map((heading) => ({ heading, align: 'right' }));
    const table = text(figures, [['1234567890', '1234567890', '1234567890']], { width: 20 });
    expect(linesOf(table)[2]).toBe('1234567890 1234567890 1234567890');
  });

  it('puts one blank between columns where two do not fit', () => {
    const figures: Column[] = ['a', 'b', 'c'].map((heading) => ({ heading, align: 'right' }));
    const row = [['1234567890', '1234567890', '1234567890']];
    expect(linesOf(text(figures, row, { width: 34 }))[2]).toBe('1234567890  1234567890  1234567890');
    expect(linesOf(text(figures, row, { width: 33 }))[2]).toBe('1234567890 1234567890 1234567890');
  });

  it('without Unicode is ASCII throughout', () => {
    const table = text([{ heading: 'air [°C]', align: 'right' }], [['21.3'], ['± 0.2']], { unicode: false });
    expect(table).toBe('air [degC]\n----------\n      21.3\n    +- 0.2\n');
  });
});

describe('hostile cells', () => {
  it.each([false, true])('send nothing to the terminal (Unicode %s)', (unicode) => {
    const table = text(columns, [['\u001b[2J\u0007', 'a\nb\r', '\u202edrow \u009b31m']], { unicode });
    expect(table).not.toMatch(/[^\P{Cc}\n]|\p{Bidi_Control}/u);
    expect(linesOf(table)).toHaveLength(3);
    expect(table).toContain('\\x1b[2J\\x07');
    expect(table).toContain('a\\x0ab\\x0d');
  });

  it('may hold the very character that keeps places', () => {
    expect(linesOf(text(columns, [['\uE000', '1', '\uE000\uE000 b']])).at(-1)).toMatch(
      /^\uE000 +1 {2}\uE000\uE000 b$/,
    );
  });
});

describe('colour', () => {
  const red = (shown: string) => `\u001b[31m${shown}\u001b[39m`;
  const plain = (coloured: string) => stripVTControlCharacters(coloured);
  const painted = columns.map((column) => ({ ...column, paint: red }));

  it.each([null, 60])('changes no width (at %s columns)', (width) => {
    const table = text(painted, rows, { level: 1, width });
    expect(table).toContain(red('温度'));
    expect(plain(table)).toBe(text(columns, rows, { width }));
  });

  it('is not asked for at level 0', () => {
    expect(text(painted, rows)).toBe(text(columns, rows));
  });

  it('knows the row, also on the second line of a cell', () => {
    const asked: [string, number][] = [];
    const paint = (shown: string, row: number) => {
      asked.push([shown, row]);
      return shown;
    };
    text([{ heading: 'm', align: 'left', wrap: true, paint }], [['one'], ['two three']], {
      level: 1,
      width: 8,
    });
    expect(asked).toEqual([
      ['one', 0],
      ['two', 1],
      ['three', 1],
    ]);
  });
});

describe('a long listing', () => {
  it('looks exactly like a short one', () => {
    const cell = fc.oneof(
      fc.string({ maxLength: 12 }),
      fc.constantFrom('21.3 °C', '温度', '🌡️', '', ' ', '\u00ad', 'two words '),
    );
    const row = fc.array(cell, { minLength: 3, maxLength: 3 });
    const style = fc.record({
      width: fc.constantFrom(null, 40, 60),
      level: fc.constantFrom(0 as const, 1 as const),
      unicode: fc.boolean(),
    });
    const painted = columns.map((column) => ({
      ...column,
      paint: (shown: string) => `\u001b[1m${shown}\u001b[22m`,
    }));
    fc.assert(
      fc.property(fc.array(row, { minLength: 1, maxLength: 10 }), style, (some, chosen) => {
        const many = Array.from({ length: 110 }, (_, i) => some[i % some.length]!);
        const short = linesOf(text(painted, some, chosen));
        const long = linesOf(text(painted, many, chosen));
        expect(long.slice(0, short.length)).toEqual(short);
      }),
      { numRuns: 60 },
    );
  });

  it('has a line for each of 10,000 rows', () => {
    const many = Array.from({ length: 10_000 }, (_, i) => ['sail-loft', String(i), 'no reading for 1 h']);
    const lines = linesOf(text(columns, many));
    expect(lines).toHaveLength(10_002);
    expect(lines.at(-1)).toBe('sail-loft                9999  no reading for 1 h');
  });
});
