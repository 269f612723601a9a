import { describe, expect, it } from 'vitest';
import { markdownPage } from '../../src/present/markdownPage.js';
import { paletteFor } from '../../src/present/terminal.js';
import { textPage } from '../../src/present/textPage.js';
import { screenWidth } from '../../src/present/width.js';
import type { Document } from '../../src/report/document.js';
import { madeUpPage } from './madeUpPage.js';

const PLAIN = { level: 0, width: null, unicode: true } as const;
const plain = await paletteFor(0);
const text = (page: Document, style: Parameters<typeof textPage>[1] = PLAIN) =>
  [...textPage(page, style, plain)].join('');
const markdown = (page: Document) => [...markdownPage(page)].join('');

const page = (...parts: Document['parts']): Document => ({ title: 'Boathouse', subtitle: 'a night', parts });

describe.each([
  ['text', text],
  ['Markdown', markdown],
])('%s', (_, write) => {
  it('says everything that the document says', () => {
    const all = write(
      page(
        { kind: 'verdict', tone: 'alarm', text: 'Not well.' },
        { kind: 'items', items: [{ tone: 'caution', text: 'winch wet', more: 'wipe it' }] },
        { kind: 'facts', facts: [{ name: 'warmest', value: '16.6 °C', more: 'believable' }] },
        {
          kind: 'grid',
          caption: 'outages',
          columns: [
            { heading: 'cause', align: 'left' },
            { heading: 'down', align: 'right' },
          ],
          rows: [['power', '3 h']],
        },
        {
          kind: 'section',
          id: 'x',
          title: 'More',
          folded: true,
          parts: [
            { kind: 'paragraph', text: 'in a section' },
            { kind: 'caution', text: 'beware' },
          ],
        },
        {
          kind: 'calendar',
          title: 'days',
          words: '',
          meaning: 'hours',
          days: [{ date: '2025-10-27', weekday: 1, lines: ['8.5 h', 'no power'], share: 0.5, known: 1 }],
        },
      ),
    );
    for (const piece of [
      'Boathouse|a night|Not well.|caution|winch wet|wipe it|warmest|16.6 °C|believable|outages|cause|power|3 h',
      'More|in a section|beware|days|2025-10-27|8.5 h|no power',
    ].flatMap((pieces) => pieces.split('|'))) {
      expect(all).toContain(piece);
    }
  });

  it('tells pictures in words where it does not draw them', () => {
    const strips = {
      kind: 'strips' as const,
      title: 'heard',
      words: 'loft silent from 04:00 to 06:00',
      axis: { from: 0, until: 1, ticks: [] },
      states: [],
      strips: [],
    };
    expect(write(page(strips))).toContain('heard: loft silent from 04:00 to 06:00');
  });

  it('is the same for the same document', () => {
    expect(write(madeUpPage)).toBe(write(madeUpPage));
  });
});

describe('text', () => {
  it('fits the terminal, with everything but figures wrapped', () => {
    const lines = text(madeUpPage, { ...PLAIN, width: 80 }).split('\n');
    expect(lines.length).toBeGreaterThan(40);
    expect(lines.filter((line) => screenWidth(line) > 80)).toEqual([]);
  });

  it('draws with blocks only on a terminal that shows them', () => {
    const blocks = /[▁-█░▒]/;
    expect(text(madeUpPage, { ...PLAIN, width: 80 })).toMatch(blocks);
    expect(text(madeUpPage)).not.toMatch(blocks);
    const ascii = text(madeUpPage, { level: 0, width: 80, unicode: false });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: the range is that of ASCII
    expect(ascii).toMatch(/^[\x00-\x7f]*$/);
  });

  it('marks with words what it colours', async () => {
    const items = page({ kind: 'items', items: [{ tone: 'alarm', text: 'no power' }] });
    const coloured = [...textPage(items, { ...PLAIN, level: 1 }, await paletteFor(1))].join('');
    expect(coloured).toContain('\x1b[31malarm');
    expect(text(items)).toContain('alarm  no power');
  });
});

it('stacks the cells of a row where the terminal is too narrow for its figures', () => {
  const heads = ['surface', 'certain h', 'expected h', 'possible h'];
  const columns = heads.map((heading, i) => ({
    heading,
    align: i === 0 ? ('left' as const) : ('right' as const),
  }));
  const grid = {
    kind: 'grid' as const,
    caption: 'Condensation',
    columns,
    rows: [['winch', '8.1', '8.5', '9.8']],
  };
  expect(text(page(grid), { ...PLAIN, width: 40 })).toMatch(/winch +8\.1 +8\.5 +9\.8\n/);
  expect(text(page(grid), { ...PLAIN, width: 24 })).toContain(
    'winch\n  certain h   8.1\n  expected h  8.5\n  possible h  9.8\n',
  );
});
