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

/** Figures and words without what either format draws around them. */
function wordsOf(text: string): string[] {
  return text
    .replace(/^\|[ |:-]+\|$/gm, '')
    .replace(/^### /gm, '')
    .split(/[\s|]+/)
    .filter((word) => word !== '');
}
