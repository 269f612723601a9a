import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

// The streams of a real process differ from every stream that a test can make up: standard output
// is synchronous for files, and a terminal has a size. So a small program is compiled and run.

const PROGRAM = `
import { isClosedPipe, openOutput } from './present/output.js';
import { styleFor } from './present/terminal.js';
const io = { ...process, stdin: process.stdin, stdout: process.stdout, stderr: process.stderr, cwd: process.cwd() };
if (process.argv[2] === 'style') {
  process.stdout.write(JSON.stringify(styleFor(process.stdout, process.env)));
} else {
  const output = await openOutput('-', io, []);
  try {
    await output.write(Array.from({ length: 3000 }, () => 'x'.repeat(999) + '\\n'));
    await output.close();
  } catch (error) {
    process.stderr.write(isClosedPipe(error) ? 'closed' : error.message);
    process.exitCode = isClosedPipe(error) ? 0 : 2;
  }
}
`;

let folder: string;
let program: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'dewledger-process-'));
  const compiler = join(
    dirname(createRequire(import.meta.url).resolve('typescript/package.json')),
    'bin',
    'tsc',
  );
  const settings =
    '--ignoreConfig --module nodenext --target es2022 --types node --skipLibCheck --rootDir src';
  const sources = ['src/present/output.ts', 'src/present/terminal.ts'];
  execFileSync(process.execPath, [compiler, ...settings.split(' '), '--outDir', folder, ...sources]);
  writeFileSync(join(folder, 'package.json'), '{ "type": "module" }');
  program = join(folder, 'program.js');
  writeFileSync(program, PROGRAM);
}, 60_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const shell = (words: string, env: Record<string, string> = {}) =>
  spawnSync('sh', ['-c', words.replaceAll('PROGRAM', `'${process.execPath}' '${program}'`)], {
    encoding: 'utf8',
    env: { PATH: '/usr/bin:/bin', ...env },
  });

describe('standard output of a process', () => {
  it('arrives whole at a slow reader', () => {
    expect(Number(shell('PROGRAM | { sleep 0.2; wc -c; }').stdout)).toBe(3_000_000);
  });

  it('closed by its reader is recognised, without a word from the runtime', () => {
    const { stderr, stdout } = shell('{ PROGRAM; echo "exit $?" >&2; } | head -c 5');
    expect({ stderr, stdout }).toEqual({ stderr: 'closedexit 0\n', stdout: 'xxxxx' });
  });

  it.skipIf(!existsSync('/dev/full'))('on a full disk ends with one message', () => {
    const { stderr, status } = shell('PROGRAM > /dev/full');
    expect({ stderr, status }).toEqual({ stderr: 'cannot be written: no space left on device', status: 2 });
  });
});

describe('style of a process', () => {
  const style = (words: string, env: Record<string, string> = {}) => {
    const { stdout } = shell(words, env);
    return JSON.parse(stdout.slice(stdout.indexOf('{'), stdout.indexOf('}') + 1)) as unknown;
  };

  it('in a pipe, under a bare environment', () => {
    expect(style('PROGRAM style | cat')).toEqual({ level: 0, width: null, unicode: true });
  });

  const hasScript = spawnSync('script', ['--version']).status === 0;

  it.skipIf(!hasScript).each([
    { env: { LANG: 'C.UTF-8' }, seen: { level: 1, width: 60, unicode: true } },
    { env: { NO_COLOR: '1', COLUMNS: '99' }, seen: { level: 0, width: 60, unicode: false } },
  ])('at a terminal of 60 columns with $env', ({ env, seen }) => {
    expect(style(`script -qec "stty cols 60; PROGRAM style" /dev/null`, { TERM: 'xterm', ...env })).toEqual(
      seen,
    );
  });
});
