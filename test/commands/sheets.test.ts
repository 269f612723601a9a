import { JSDOM } from 'jsdom';
import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, GOOD, sample } from './call.js';

vi.setConfig({ testTimeout: 30_000 }); // whole months are read, on a busy machine, too

const SITE = ['--site', sample('skerry-mere.toml'), '--logger', 'boat-hall'];
const DAYS = ['--since', '2025-10-25', '--until', '2025-10-29'];

const COMMANDS = [
  { words: ['audit', ...SITE, '--fail-on', 'never'], heading: 'severity' },
  { words: ['clean', ...SITE, ...DAYS], heading: 'time' },
  { words: ['daily', ...SITE, ...DAYS], heading: 'period' },
  { words: ['damp', ...SITE, ...DAYS], heading: 'period' },
  { words: ['spells', ...SITE, ...DAYS, '--for', 'painting'], heading: 'day' },
  { words: ['outages', ...SITE, '--fail-on', 'never'], heading: 'severity' },
  { words: ['air', '20', '60'], heading: 'quantity' },
];

describe.each(COMMANDS)('$words.0 --format html', ({ words, heading }) => {
  it('is a page that says what the table for the terminal says', async () => {
    const table = await call([...words, '--format', 'table']);
    const page = await call([...words, '--format', 'html', '--color']);
    expect({ ...page, stdout: '' }).toEqual({ code: 0, stdout: '', stderr: '' });
    const { document } = new JSDOM(page.stdout).window;
    expect(document.querySelector('h1')?.textContent).toBe(document.title);
    expect(document.querySelector('th')?.textContent).toBe(heading);
    const shown = new Set(wordsOf(textOf(document.body)));
    expect(wordsOf(table.stdout.replace(/^─+$/gm, '')).filter((word) => !shown.has(word))).toEqual([]);
  });
});

describe.each(COMMANDS)('$words.0 --format markdown', ({ words, heading }) => {
  it('says what the table for the terminal says, in the same order', async () => {
    const table = await call([...words, '--format', 'table']);
    const markdown = await call([...words, '--format', 'markdown', '--color']);
    expect({ ...markdown, stdout: '' }).toEqual({ code: 0, stdout: '', stderr: '' });
    expect(wordsOf(markdown.stdout)).toEqual(wordsOf(table.stdout.replace(/^─+$/gm, '')));
  });

  it('has tables of as many cells in every row, each after an empty line', async () => {
    const { stdout } = await call([...words, '--format', 'markdown']);
    const blocks = stdout.split('\n\n').filter((block) => block.startsWith('|'));
    expect(blocks[0]?.slice(2)).toMatch(new RegExp(`^${heading}\\b`));
    for (const block of blocks) {
      const counts = block
        .trimEnd()
        .split('\n')
        .map((row) => row.split(/(?<!\\)\|/).length);
      expect(new Set(counts).size).toBe(1);
    }
    expect(stdout).toMatch(/[^\n]\n$/);
  });
});

it('a page has a section for every title that stands over sentences, and captions over tables', async () => {
  const { stdout } = await call(['audit', '--explain', 'gap,spike', ...SITE, '--format', 'html']);
  const { document } = new JSDOM(stdout).window;
  const titles = [...document.querySelectorAll('section > h2')].map((title) => title.textContent);
  expect(titles).toEqual([expect.stringMatching(/^gap: /), expect.stringMatching(/^spike: /)]);
  const site = await call(['site', 'check', sample('skerry-mere.toml'), '--format', 'html']);
  const page = new JSDOM(site.stdout).window.document;
  expect(page.querySelectorAll('h2')).toHaveLength(0);
  expect(page.querySelector('caption')?.textContent).toContain('Skerry Mere');
});

it('shows the name of a logger as it is, whatever it means elsewhere', async () => {
  const folder = folderOf({ '*a|b*<script>.csv': GOOD });
  const { stdout } = await call([
    'audit',
    `${folder}/*a|b*<script>.csv`,
    '--zone',
    'UTC',
    '--format',
    'markdown',
  ]);
  expect(stdout).toMatch(/^### \\\*a\\\|b\\\*&lt;script>: 2025-10-01 00:00 to/);
});

/** The texts of an element, a blank between any two. */
function textOf(element: Element): string {
  const { NodeFilter } = element.ownerDocument.defaultView!;
  const walker = element.ownerDocument.createTreeWalker(element, NodeFilter.SHOW_TEXT);
  let text = '';
  while (walker.nextNode() !== null) text += ` ${walker.currentNode.textContent}`;
  return text;
}

/** Figures and words without what either format draws around them. */
function wordsOf(text: string): string[] {
  return text
    .replace(/^\|[ |:-]+\|$/gm, '')
    .replace(/^### /gm, '')
    .split(/[\s|]+/)
    .filter((word) => word !== '');
}
