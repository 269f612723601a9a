import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it, vi } from 'vitest';
import { folderOf, GOOD, sample } from './call.js';

// The built program as a process of its own: pipes, full disks and signals are not to be had otherwise.

const PROGRAM = fileURLToPath(new URL('../../bin/dewledger.js', import.meta.url));
const BARE = { PATH: '/usr/bin:/bin', HOME: '/nonexistent' };

/** Runs a line of shell with nothing in its environment but what is given; `dewledger` is the program. */
function shell(
  line: string,
  { cwd = '/', env = {}, stdin = '' }: { cwd?: string; env?: Record<string, string>; stdin?: string } = {},
) {
  const program = `dewledger() { '${process.execPath}' '${PROGRAM}' "$@"; }\n`;
  const { status, stdout, stderr } = spawnSync('/bin/sh', ['-c', program + line], {
    cwd,
    env: { ...BARE, ...env },
    input: stdin,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  return { status, stdout, stderr };
}

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const FOLDER = folderOf({
  // with faults, and larger than a pipe holds
  'locker.tsv': readFileSync(sample('battery-locker.tsv'), 'utf8').split('\n').slice(0, 3000).join('\n'),
  'good.csv': GOOD,
  'site.toml': 'zone = "UTC"\n[[logger]]\nid = "good"\nfiles = ["good.csv"]\n',
});
const LOCKER = `${FOLDER}/locker.tsv`;
const LONDON = '--zone Europe/London';

describe('a closed pipe is success', () => {
  it.each([
    { why: 'much to write', line: `clean ${LOCKER} ${LONDON}`, first: /^time,logger,.*\n$/ },
    { why: 'one document', line: `clean ${LOCKER} ${LONDON} --format json`, first: /^\{\n$/ },
    { why: 'help', line: 'clean --help', first: /^Examples:\n$/ },
  ])('$why', ({ line, first }) => {
    const { stdout, stderr } = shell(`{ dewledger ${line}; echo "exit $?" >&2; } | head -1`);
    expect(stdout).toMatch(first);
    expect(stderr).toBe('exit 0\n');
  });

  it('of standard error takes nothing from the result', () => {
    const good = shell(`dewledger clean ${LOCKER} ${LONDON} --verbose`);
    const closed = shell(`dewledger clean ${LOCKER} ${LONDON} --verbose 2>&-`);
    expect(good.stderr).toContain('cadence');
    expect(closed).toEqual({ ...good, stderr: '' });
    const gone = shell(`{ dewledger clean ${LOCKER} missing.csv ${LONDON} --verbose 2>&1 >&3 | true; } 3>&1`);
    expect(gone.stdout).toBe(good.stdout);
    expect(shell('dewledger audit missing.csv 2>&-').status).toBe(2);
  });
});

describe.skipIf(!existsSync('/dev/full'))('a full disk', () => {
  it.each([`clean ${LOCKER}`, 'audit -', 'air 20 60', '--help', '--version'])(
    '%s: one message, exit 2',
    (line) => {
      expect(shell(`dewledger ${line} > /dev/full`, { stdin: GOOD })).toEqual({
        status: 2,
        stdout: '',
        stderr:
          'dewledger: standard output: cannot be written: no space left on device\n' +
          '  make room, or name a folder on another disk\n',
      });
    },
  );

  it('under standard error changes neither result nor exit code', () => {
    expect(shell('dewledger audit missing.csv 2>/dev/full')).toEqual({ status: 2, stdout: '', stderr: '' });
    const { status, stdout } = shell(`dewledger air 20 60 2>/dev/full`);
    expect({ status, stdout }).toEqual({ status: 0, stdout: shell('dewledger air 20 60').stdout });
  });
});

describe('output', () => {
  it('through a slow pipe arrives whole, and is what -o writes', () => {
    const cwd = folderOf({});
    const words = `clean ${LOCKER} ${LONDON} --add dew_point_temperature --format json`;
    const piped = shell(`dewledger ${words} | { sleep 0.3; cat; }`);
    expect(shell(`dewledger ${words} -o out.json`, { cwd })).toEqual({ status: 0, stdout: '', stderr: '' });
    expect(piped.stdout.length).toBeGreaterThan(200_000);
    expect(piped.stdout).toBe(readFileSync(`${cwd}/out.json`, 'utf8'));
  });

  it('to a device is written there', () => {
    expect(shell(`dewledger clean - -o /dev/null --zone UTC`, { stdin: GOOD })).toEqual({
      status: 0,
      stdout: '',
      stderr: '',
    });
    const { stdout } = shell('dewledger clean - -o /dev/stdout --zone UTC | cat', { stdin: GOOD });
    expect(stdout).toBe(shell('dewledger clean - --zone UTC', { stdin: GOOD }).stdout);
  });

  it('of rejects may go down a pipe', () => {
    const { stdout } = shell('dewledger clean - --zone UTC -o /dev/null --rejects /dev/stdout | cat', {
      stdin: `${GOOD}power lost\n`,
    });
    expect(stdout).toBe('power lost\n');
  });
});

describe('under cron', () => {
  it('with nothing wrong --quiet prints not a byte', () => {
    expect(shell(`dewledger audit --site ${FOLDER}/site.toml --quiet`)).toEqual({
      status: 0,
      stdout: '',
      stderr: '',
    });
  });

  it('with something wrong the report is the mail', () => {
    const { status, stdout, stderr } = shell(
      `dewledger audit --site ${FOLDER}/site.toml --day 2025-10-02 --quiet`,
    );
    expect({ status, stderr }).toEqual({ status: 1, stderr: '' });
    expect(stdout).toContain('no reading in the time that was asked for');
  });

  it('everything works in a bare environment, from a folder of no meaning', () => {
    for (const command of ['audit', 'damp']) {
      expect(shell(`dewledger ${command} --site ${FOLDER}/site.toml`)).toMatchObject({
        status: 0,
        stderr: '',
      });
    }
    const { status, stdout } = shell(
      'env -i "$0" "$1" air 20 60'.replace('"$0" "$1"', `'${process.execPath}' '${PROGRAM}'`),
    );
    expect(status).toBe(0);
    expect(stdout).toContain('12.01  °C');
  });
});

describe('language and zone of the system', () => {
  it.each(['audit', 'daily'])('change nothing of %s where a zone is named', (command) => {
    const line = `dewledger ${command} ${LOCKER} ${LONDON}`;
    const plain = shell(line, { env: { TZ: 'UTC' } });
    expect(plain.stdout.length).toBeGreaterThan(500);
    const env = { TZ: 'America/St_Johns', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8', COLUMNS: '40' };
    expect(shell(line, { env })).toEqual(plain);
  });

  it('the zone is that of the system where nothing else is said', () => {
    const zone = (env: Record<string, string>) =>
      JSON.parse(shell('dewledger audit - --format json', { stdin: GOOD, env }).stdout).logs[0].zone;
    expect(zone({ TZ: 'America/Lima' })).toBe('America/Lima');
    expect(zone({ TZ: 'America/Lima', DEWLEDGER_ZONE: 'Europe/London' })).toBe('Europe/London');
  });
});

describe.skipIf(spawnSync('mkfifo', ['--version']).status !== 0)('ended by a signal', () => {
  it.each([
    { signal: 'SIGINT', status: 130 },
    { signal: 'SIGTERM', status: 143 },
  ] as const)(
    '$signal while a file is written leaves the old one and nothing else',
    async ({ signal, status }) => {
      const cwd = folderOf({ 'log.csv': GOOD, 'out.csv': 'of yesterday\n' });
      spawnSync('mkfifo', ['pipe'], { cwd });
      // nobody reads the pipe: the program stands still with its other file half made
      const line = `'${process.execPath}' '${PROGRAM}' clean log.csv --zone UTC -o out.csv --rejects pipe; echo $?`;
      const child = spawn('/bin/sh', ['-c', line], { cwd, env: BARE, detached: true });
      let said = '';
      child.stdout.on('data', (text) => {
        said += text;
      });
      const ended = new Promise((done) => child.on('close', done));
      const half = () => readdirSync(cwd).filter((name) => name.endsWith('.part'));
      while (half().length === 0) await new Promise((done) => setTimeout(done, 10));
      const inner = spawnSync('pgrep', ['-P', `${child.pid}`], { encoding: 'utf8' }).stdout.trim();
      process.kill(Number(inner), signal);
      await ended;
      expect(said).toBe(`${status}\n`);
      expect(half()).toEqual([]);
      expect(readFileSync(`${cwd}/out.csv`, 'utf8')).toBe('of yesterday\n');
    },
  );
});

it('says so where Node runs no machine code of ours', () => {
  const { status, stdout, stderr } = spawnSync(process.execPath, ['--jitless', PROGRAM, 'daily', LOCKER], {
    encoding: 'utf8',
  });
  expect(status).toBe(2);
  expect(stdout).toBe('');
  expect(stderr).toMatch(
    /^dewledger: this Node does not run WebAssembly, .*\n {2}start it without --jitless/m,
  );
  expect(stderr).not.toMatch(/^ +at /m);
});
