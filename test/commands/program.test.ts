import { describe, expect, it } from 'vitest';
import { call, folderOf, GOOD } from './call.js';

const COMMANDS = ['audit', 'clean', 'daily', 'damp', 'spells', 'outages', 'air'];

describe('help', () => {
  it.each([
    ['--help'],
    ['-h'],
    ['help'],
    ...COMMANDS.flatMap((name) => [
      [name, '--help'],
      ['help', name],
    ]),
  ])('%s %s goes to standard output, with the exit codes', async (...words) => {
    const { code, stdout, stderr } = await call(words);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(/Exit codes:\n {2}0 .*\n {2}1 .*\n {2}2 .*/);
    expect(stdout).toContain('Examples:\n  dewledger ');
  });

  it.each(COMMANDS)('of %s begins with examples and describes every option', async (name) => {
    const { stdout } = await call([name, '--help']);
    expect(stdout.startsWith(`Examples:\n  dewledger ${name} `)).toBe(true);
    const options = stdout.match(/^ {2}-.*$/gm) ?? [];
    expect(options.length).toBeGreaterThan(10);
    expect(options.filter((line) => !/^ {2}(-\w, )?--[\w-]+( <[^>]+>)? {2,}\S/.test(line))).toEqual([]);
  });

  it('lists every command', async () => {
    const { stdout } = await call(['--help']);
    for (const name of COMMANDS) expect(stdout).toMatch(new RegExp(`^ {2}${name} .* \\S+`, 'm'));
  });
});

describe('version', () => {
  it('is one line', async () => {
    expect(await call(['--version'])).toEqual({
      code: 0,
      stdout: expect.stringMatching(/^dewledger \d+\.\d+\.\d+\n$/),
      stderr: '',
    });
  });

  it.each([[['--version', '--verbose']], [['--verbose', '--version']]])(
    '%j tells what else the results depend on',
    async (words) => {
      const { code, stdout } = await call(words);
      expect(code).toBe(0);
      expect(stdout).toMatch(/^dewledger .*\nnode .*\nicu .*\ntime zone data .*\n$/);
    },
  );
});

describe('words that mean nothing end with 2, a short message and no result', () => {
  const file = `${folderOf({ 'log.csv': GOOD })}/log.csv`;

  it.each([
    { words: ['auditt'], says: 'auditt', advice: 'did you mean audit?' },
    { words: ['auditt', file, '--zone', 'UTC'], says: 'auditt', advice: 'did you mean audit?' },
    { words: ['help', 'dayly'], says: 'dayly', advice: 'did you mean daily?' },
    { words: ['xyzzy'], says: 'xyzzy', advice: 'the commands are audit, clean, ' },
    { words: ['--versoin'], says: "'--versoin'", advice: 'did you mean --version?' },
    { words: ['audit', file, '--formt', 'csv'], says: "'--formt'", advice: 'did you mean --format?' },
    {
      words: ['clean', file, '--add', 'dew_point_temprature'],
      says: 'dew_point_temprature',
      advice: 'did you mean dew_point_temperature?',
    },
    { words: ['daily', file, '--zone', 'Europe/Londn'], says: 'Europe/Londn', advice: /Europe\/London/ },
  ])('$words', async ({ words, says, advice }) => {
    const { code, stdout, stderr } = await call(words);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    const lines = stderr.split('\n');
    expect(lines).toHaveLength(3);
    expect(lines[0]).toMatch(/^dewledger: /);
    expect(lines[0]).toContain(says);
    expect(lines[1]).toMatch(advice);
  });

  it.each([
    {
      words: ['audit', file, '--format', 'yaml'],
      says: 'Allowed choices are table, csv, json, markdown, html.',
    },
    {
      words: ['audit', file, '--fail-on', 'errors'],
      says: 'Allowed choices are note, warning, error, never.',
    },
    { words: ['daily', file, '--per', 'fortnight'], says: 'hour' },
    { words: ['audit', file, '--skip', 'gaps'], says: 'there is no check "gaps": unreadable,' },
    { words: ['audit', file, '--zone'], says: '--zone' },
    { words: ['air', '20'], says: 'humidity' },
    { words: ['air', '20', '60', '70'], says: 'too many' },
  ])('$words, in one line', async ({ words, says }) => {
    const { code, stdout, stderr } = await call(words);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/^dewledger: .*\n$/);
    expect(stderr).toContain(says);
  });

  it.each(['', ' ', '0x10', '1e3x', 'Infinity', 'NaN', '1,5'])('a number is not "%s"', async (text) => {
    for (const words of [
      ['air', '20', '60', `--altitude=${text}`],
      ['air', '20', '60', `--temperature-accuracy=${text}`],
      ['air', text, '60'],
      ['air', '20', text],
    ]) {
      expect(await call(words)).toMatchObject({ code: 2, stdout: '' });
    }
  });

  it('does not let a word steer the terminal', async () => {
    for (const word of ['aud\x1b[31mit', '--\x1b[31m']) {
      const { stderr } = await call([word]);
      expect(stderr).toContain('\\x1b[31m');
      expect(stderr).not.toContain('\x1b');
    }
  });
});

describe('nothing to do', () => {
  it.each([
    { why: 'no command', words: [], terminal: false },
    { why: 'no log, and nobody who would type one', words: ['audit'], terminal: true },
  ])('$why: short help on standard error, exit 2', async ({ words, terminal }) => {
    const { code, stdout, stderr } = await call(words, { terminal });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain('Usage: dewledger');
  });
});

describe('options', () => {
  const cwd = folderOf({ 'log.csv': GOOD, '-x.csv': GOOD });

  it('mean the same before, between and after the logs', async () => {
    const [a, b, c] = await Promise.all([
      call(['daily', '--format', 'csv', 'log.csv', '--zone', 'UTC'], { cwd }),
      call(['daily', 'log.csv', '--format=csv', '--zone=UTC'], { cwd }),
      call(['daily', '--zone', 'UTC', '--format', 'csv', 'log.csv'], { cwd }),
    ]);
    expect(a.stdout).toContain('\nlog,2025-10-01T00:00:00Z,');
    expect(b).toEqual(a);
    expect(c).toEqual(a);
  });

  it('end at --', async () => {
    const { code, stdout } = await call(['clean', '--', '-x.csv'], { cwd });
    expect(code).toBe(0);
    expect(stdout).toContain('2025-10-01T00:00:00');
  });

  it('take negative numbers, as words and as values', async () => {
    expect(await call(['air', '-5', '85'])).toEqual(await call(['air', '--', '-5', '85']));
    expect((await call(['air', '-5', '85'])).stdout).toMatch(/^-5 °C/);
    const apart = await call(['air', '20', '60', '--altitude', '-5', '--format', 'json']);
    const joined = await call(['air', '20', '60', '--altitude=-5', '--format', 'json']);
    expect(joined).toEqual(apart);
    expect(JSON.parse(apart.stdout).pressure_hPa).toBeGreaterThan(1013.25);
  });

  it('--verbose is heard by the command, and says what was assumed', async () => {
    const { stderr, stdout } = await call(['clean', 'log.csv', '--zone', 'UTC', '--verbose'], { cwd });
    expect(stderr).toContain('no site file\nzone UTC (option)\n');
    expect(stderr).toContain('delimiter ,');
    expect(stderr).toContain('lines total 7, header 1, blank 0, accepted 6, rejected 0');
    expect(stderr).toContain('cadence 600 s');
    expect(stdout).toBe((await call(['clean', 'log.csv', '--zone', 'UTC'], { cwd })).stdout);
  });

  it.each(['--cadence', '--bridge'])('%s takes no duration of nothing', async (option) => {
    const { code, stdout, stderr } = await call(['audit', 'log.csv', option, 'PT0S'], { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(`${option} must be longer than nothing`);
  });
});
