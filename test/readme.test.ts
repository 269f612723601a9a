import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('..', import.meta.url));
const readme = readFileSync(`${root}README.md`, 'utf8');

/** Commands of the README with the output that is shown below them. */
const shown = [...readme.matchAll(/```console\n\$ dewledger (.*)\n([\s\S]*?)```/g)].map(
  ([, words, output]) => ({
    words: words!,
    output: output!,
  }),
);

function dewledger(words: string): string {
  try {
    const env = { PATH: process.env.PATH, TZ: 'Asia/Kolkata', LANG: 'C' };
    return execFileSync('node', ['bin/dewledger.js', ...words.split(' ')], {
      cwd: root,
      encoding: 'utf8',
      env,
    });
  } catch (error) {
    // findings end with 1, and are shown all the same
    const { status, stdout } = error as { status: number; stdout: string };
    if (status === 1) return stdout;
    throw error;
  }
}

describe('README', () => {
  it('shows commands with their output', () => {
    expect(shown.length).toBeGreaterThanOrEqual(4);
  });

  it.each(shown)('prints what is shown: dewledger $words', ({ words, output }) => {
    expect(dewledger(words)).toBe(output);
  });

  it('names the scripts that package.json has', () => {
    const { scripts } = JSON.parse(readFileSync(`${root}package.json`, 'utf8')) as { scripts: object };
    const named = [...readme.matchAll(/^npm (?:run )?(\w+)/gm)].map(([, script]) => script);
    expect(named.length).toBeGreaterThan(0);
    expect(Object.keys(scripts)).toEqual(expect.arrayContaining(named));
  });
});
