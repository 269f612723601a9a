import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it, vi } from 'vitest';
import { sample } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
/** What is installed: the program in its bundle, and no package beside it. */
const installed = mkdtempSync(join(tmpdir(), 'dewledger-packed-'));
afterAll(() => rmSync(installed, { recursive: true, force: true }));
const { dependencies } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as {
  dependencies: Record<string, string>;
};
for (const name of ['package.json', 'bin', 'dist/program'])
  cpSync(join(ROOT, name), join(installed, name), { recursive: true });

function run(words: readonly string[], stdin = '', flags: readonly string[] = []) {
  const program = join(installed, 'bin/dewledger.js');
  const { status, stdout, stderr } = spawnSync(process.execPath, [...flags, program, ...words], {
    input: stdin,
    encoding: 'utf8',
    env: { HOME: '/nonexistent' },
  });
  return { status, stdout, stderr };
}

describe('what is packed runs by itself', () => {
  it.each([
    { why: 'the version, from the file beside it', words: ['--version'], shows: 'dewledger ' },
    { why: 'a table with signs', words: ['air', '20', '60'], shows: '20 °C ± ' },
    { why: 'a table with wide letters', words: ['audit', '-', '--zone', 'UTC'], shows: '温度' },
    { why: 'a site file', words: ['daily', '--site', sample('skerry-mere.toml')], shows: 'boat-hall' },
    { why: 'a pattern', words: ['clean', sample('boat*.csv'), '--zone', 'UTC'], shows: 'time,logger' },
    { why: 'colour', words: ['air', '20', '60', '--color'], shows: '\u001b[' },
    {
      why: 'a page with charts',
      words: ['report', sample('boat-hall.csv'), '--format', 'html', '--fail-on', 'never'],
      shows: '<svg',
    },
  ])('$why', ({ words, shows }) => {
    const rows = Array.from(
      { length: 60 },
      (_, i) => `2025-10-01T00:${String(i).padStart(2, '0')}:00Z,温度,1${i % 2},50`,
    );
    const stdin = ['time,logger,temperature,humidity', ...rows, ''].join('\n');
    const { status, stdout, stderr } = run(words, stdin);
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout).toContain(shows);
  });

  it('a quote inside quotes, which another package reads', () => {
    const { status, stdout } = run(
      ['clean', '-', '--zone', 'UTC'],
      'time,logger,temperature,humidity\n2025-10-01T00:00:00Z,"a ""b""",10,50\n',
    );
    expect(status).toBe(0);
    expect(stdout).toContain(',"a ""b""",10,50');
  });
});

describe('code that the build kept', () => {
  const site = ['--site', sample('skerry-mere.toml')];
  it.each([
    ['air', '20', '60'],
    ['audit', ...site],
    ['clean', sample('boat-hall.csv'), '--zone', 'UTC', '--add', 'wet_bulb_temperature'],
    ['daily', ...site],
    ['damp', ...site],
    ['outages', ...site],
    ['report', ...site, '--day', '2025-10-05'],
    ['spells', sample('boat-hall.csv'), '--zone', 'UTC', '--where', 'relative_humidity>=90'],
  ])('%s says the same without it', (...words) => {
    const { stderr, ...kept } = run(words);
    // the engine takes no code that was made under other flags
    expect(run(words, '', ['--no-opt'])).toEqual({ ...kept, stderr });
  });

  const folder = join(installed, `dist/program/${process.version}-${process.platform}-${process.arch}`);
  // from Node 22.3 on, Node keeps it
  it.runIf(existsSync(folder))('is taken by the engine', () => {
    const files = readdirSync(folder).filter((name) => name.endsWith('.code'));
    const script = `
      const { readFileSync } = require('node:fs');
      const { Script } = require('node:vm');
      const text = readFileSync('run.cjs', 'latin1');
      for (const file of ${JSON.stringify(files)})
        console.log(file, new Script(text, { cachedData: readFileSync(file) }).cachedDataRejected);`;
    const { stdout } = spawnSync(process.execPath, ['-e', script], { cwd: folder, encoding: 'utf8' });
    expect(stdout).toBe(files.map((file) => `${file} false\n`).join(''));
  });
});

it('the notices of every package in the bundle go with it', () => {
  const notices = readFileSync(join(installed, 'dist/program/NOTICES'), 'utf8');
  for (const [name, version] of Object.entries(dependencies))
    expect(notices).toContain(`${name} ${version} (`);
});
