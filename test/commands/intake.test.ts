import { chmodSync, mkdirSync, readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, GOOD, sample, smallLog } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const READERS = ['audit', 'clean', 'daily', 'damp'];

describe('where a log comes from', () => {
  const cwd = folderOf({ 'a1.csv': GOOD, 'a2.csv': GOOD, 'a[3].csv': GOOD, 'b.csv.gz': gzipSync(GOOD) });
  const loggers = async (...words: string[]) => {
    const { stdout } = await call(['audit', '--format', 'json', ...words], { cwd, stdin: GOOD });
    return JSON.parse(stdout).logs.map(({ logger }: { logger: string }) => logger);
  };

  it.each([
    { why: 'standard input by name', words: ['-'], found: ['stdin'] },
    { why: 'standard input when nothing is named', words: [], found: ['stdin'] },
    { why: 'a pattern that the shell left alone', words: ['a?.csv'], found: ['a1', 'a2'] },
    { why: 'a file whose name looks like a pattern', words: ['a[3].csv'], found: ['a[3]'] },
    { why: 'a packed file', words: ['b.csv.gz'], found: ['b'] },
    { why: 'a file and standard input', words: ['a1.csv', '-'], found: ['a1', 'stdin'] },
  ])('$why', async ({ words, found }) => {
    expect(await loggers(...words)).toEqual(found);
  });

  it('is standard input only once', async () => {
    const { code, stdout, stderr } = await call(['audit', '-', '-'], { stdin: GOOD });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/^dewledger: standard input can be read only once/);
  });

  it('is not a pattern that fits nothing', async () => {
    const { code, stdout, stderr } = await call(['audit', 'z*.csv'], { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/^dewledger: no file matches: z\*\.csv\n/);
  });
});

describe('files that are no logs', () => {
  const noise = Buffer.from(Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256));
  const cwd = folderOf({
    'good.csv': GOOD,
    'binary.csv': noise,
    'prose.csv': 'Dear club,\nthe logger is on the shelf.\n',
    'page.csv': '<!doctype html>\n<title>404</title>\n',
    'torn.csv.gz': gzipSync(GOOD.repeat(200)).subarray(0, 60),
    'locked.csv': GOOD,
    'one-byte.csv': 'x',
  });
  mkdirSync(`${cwd}/folder`);
  chmodSync(`${cwd}/locked.csv`, 0);

  const rows = [
    'binary.csv',
    'prose.csv',
    'page.csv',
    'torn.csv.gz',
    'one-byte.csv',
    'folder',
    'missing.csv',
  ];
  // who may read everything can read that one, too
  if (process.getuid?.() !== 0) rows.push('locked.csv');

  it.each(rows.flatMap((name) => READERS.map((command) => ({ command, name }))))(
    '$command $name: one message, no result, exit 2',
    async ({ command, name }) => {
      const { code, stdout, stderr } = await call([command, name], { cwd });
      expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
      expect(stderr.startsWith(`dewledger: ${cwd}/${name}:`)).toBe(true);
      expect(stderr.trimEnd().split('\n').length).toBeLessThanOrEqual(2);
      expect(stderr).not.toMatch(/bug|^ +at /m);
    },
  );

  it.each(rows.flatMap((name) => READERS.map((command) => ({ command, name }))))(
    '$command $name good.csv: the good one is worked all the same',
    async ({ command, name }) => {
      const alone = await call([command, 'good.csv', '--zone', 'UTC'], { cwd });
      const both = await call([command, name, 'good.csv', '--zone', 'UTC'], { cwd });
      expect(alone.code).toBe(0);
      expect(both.code).toBe(2);
      expect(both.stdout).toBe(alone.stdout);
      expect(both.stderr).toContain(name);
    },
  );

  it.each(READERS)('%s leaves the old result alone when nothing could be read', async (command) => {
    const folder = folderOf({ 'out.csv': 'of yesterday' });
    const { code } = await call([command, 'missing.csv', '-o', 'out.csv'], { cwd: folder });
    expect(code).toBe(2);
    expect(readFileSync(`${folder}/out.csv`, 'utf8')).toBe('of yesterday');
  });
});

describe('logs without readings', () => {
  const cwd = folderOf({
    'empty.csv': '',
    'mark.csv': '\ufeff',
    'blank.csv': '\n\n\n',
    'heading.csv': 'time,temperature,humidity\n',
    'good.csv': GOOD,
  });
  const rows = ['empty.csv', 'mark.csv', 'blank.csv', 'heading.csv'];

  it.each(rows)('audit %s: an error finding, coverage 0, exit 1', async (name) => {
    const { code, stdout, stderr } = await call(['audit', name, '--format', 'json'], { cwd });
    expect({ code, stderr }).toEqual({ code: 1, stderr: '' });
    const [log] = JSON.parse(stdout).logs;
    expect(log.coverage.fraction).toBe(0);
    expect(log.findings).toMatchObject([{ check: 'gap', severity: 'error', message: 'no reading at all' }]);
  });

  it.each(rows.flatMap((name) => ['clean', 'daily', 'damp'].map((command) => ({ command, name }))))(
    '$command $name: the heading alone, one line that says so',
    async ({ command, name }) => {
      const { code, stdout, stderr } = await call([command, name, '--format', 'csv'], { cwd });
      expect(code).toBe(0);
      expect(stdout.trimEnd().split('\n')).toHaveLength(1);
      expect(stderr).toMatch(/^dewledger: \w+: no reading\n$/);
      const failed = await call([command, name, '--fail-on', 'error'], { cwd });
      expect(failed.code).toBe(1);
    },
  );

  it('a window that holds none is told apart from an empty file', async () => {
    const words = ['good.csv', '--zone', 'UTC', '--day', '2025-10-02'];
    const audited = await call(['audit', ...words, '--format', 'json'], { cwd });
    expect(audited.code).toBe(1);
    const [log] = JSON.parse(audited.stdout).logs;
    expect(log.lines).toMatchObject({ total: 7, header: 1, accepted: 0, outside_window: 6 });
    expect(log).toMatchObject({ from: '2025-10-02T00:00:00Z', until: '2025-10-03T00:00:00Z' });
    const daily = await call(['daily', ...words, '--format', 'csv'], { cwd });
    expect(daily.stderr).toBe('dewledger: good: no reading in the time asked for (6 outside it)\n');
    expect(daily.stdout).toMatch(/\ngood,2025-10-02T00:00:00Z,2025-10-03T00:00:00Z,,,,,,,,,,,0,0,false\n$/);
  });
});

describe('the site file that counts', () => {
  const site = (accuracy: number) =>
    `zone = "UTC"\n[[logger]]\nid = "good"\nfiles = ["good.csv"]\n[logger.sensor]\n` +
    `air_temperature_accuracy_K = ${accuracy}\nrelative_humidity_accuracy_pct = 2\n`;
  const cwd = folderOf({
    'good.csv': GOOD,
    'option.toml': site(0.1),
    'environment.toml': site(0.2),
    'dewledger.toml': site(0.3),
    'home/.config/dewledger/site.toml': site(0.4),
    'xdg/dewledger/site.toml': site(0.5),
    'elsewhere/good.csv': GOOD,
  });
  const everything = {
    HOME: `${cwd}/home`,
    XDG_CONFIG_HOME: `${cwd}/xdg`,
    DEWLEDGER_SITE: `${cwd}/environment.toml`,
  };
  const { DEWLEDGER_SITE: _, ...withoutName } = everything;

  it.each([
    {
      why: 'the option before all',
      words: ['--site', 'option.toml'],
      env: everything,
      folder: cwd,
      accuracy: 0.1,
      from: '--site',
    },
    {
      why: 'then the environment',
      words: [],
      env: everything,
      folder: cwd,
      accuracy: 0.2,
      from: 'DEWLEDGER_SITE',
    },
    {
      why: 'then the working folder',
      words: [],
      env: withoutName,
      folder: cwd,
      accuracy: 0.3,
      from: 'working folder',
    },
    {
      why: 'then the configuration folder',
      words: [],
      env: withoutName,
      folder: `${cwd}/elsewhere`,
      accuracy: 0.5,
      from: 'configuration folder',
    },
    {
      why: 'the one in the home folder',
      words: [],
      env: { HOME: `${cwd}/home` },
      folder: `${cwd}/elsewhere`,
      accuracy: 0.4,
      from: 'configuration folder',
    },
    {
      why: 'a relative XDG_CONFIG_HOME is no folder',
      words: [],
      env: { HOME: `${cwd}/home`, XDG_CONFIG_HOME: 'xdg' },
      folder: `${cwd}/elsewhere`,
      accuracy: 0.4,
      from: 'configuration folder',
    },
  ])('$why', async ({ words, env, folder, accuracy, from }) => {
    const damp = await call(['damp', 'good.csv', '--format', 'json', '--verbose', ...words], {
      cwd: folder,
      env,
    });
    expect(damp.code).toBe(0);
    expect(damp.stderr).toContain(`(${from})\n`);
    const [surface] = JSON.parse(damp.stdout).surfaces;
    expect(surface.accuracy.air_temperature_K).toBe(accuracy);
  });

  it('gives the zone, unless an option or the environment does', async () => {
    const zoneOf = async (words: string[], env = {}) =>
      JSON.parse((await call(['audit', 'good.csv', '--format', 'json', ...words], { cwd, env })).stdout)
        .logs[0].zone;
    expect(await zoneOf([])).toBe('UTC');
    expect(await zoneOf([], { DEWLEDGER_ZONE: 'Europe/London' })).toBe('Europe/London');
    expect(await zoneOf(['--zone', 'Asia/Tokyo'], { DEWLEDGER_ZONE: 'Europe/London' })).toBe('Asia/Tokyo');
  });

  it('that is named and not there: exit 2', async () => {
    for (const surroundings of [
      { words: ['--site', 'none.toml'], env: {} },
      { words: [], env: { DEWLEDGER_SITE: 'none.toml' } },
    ]) {
      const { words, env } = surroundings;
      const { code, stdout, stderr } = await call(['audit', 'good.csv', ...words], { cwd, env });
      expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
      expect(stderr).toContain('none.toml');
    }
  });

  it('with a mistake in it: exit 2, and the line', async () => {
    const folder = folderOf({ 'good.csv': GOOD, 'dewledger.toml': 'zone = "UTC"\nplaice = "x"\n' });
    const { code, stdout, stderr } = await call(['audit', 'good.csv'], { cwd: folder });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/dewledger\.toml:2:1: .*plaice.*\n.*did you mean place\?/);
  });
});

describe('loggers', () => {
  const cwd = folderOf({
    'site.toml':
      'zone = "UTC"\n' +
      ['west', 'east', 'gone'].map((id) => `[[logger]]\nid = "${id}"\nfiles = ["${id}*.csv"]\n`).join(''),
    'west.csv': GOOD,
    'east.csv': GOOD,
  });
  const audited = async (...words: string[]) => {
    const { code, stdout, stderr } = await call(
      ['audit', '--site', 'site.toml', '--format', 'json', ...words],
      { cwd },
    );
    return { code, stderr, logs: stdout === '' ? [] : JSON.parse(stdout).logs };
  };

  it('of the site file stand in its order, and the silent one is an error', async () => {
    const { code, stderr, logs } = await audited();
    expect({ code, stderr }).toEqual({ code: 1, stderr: '' });
    expect(logs.map(({ logger }: { logger: string }) => logger)).toEqual(['west', 'east', 'gone']);
    expect(logs[2].findings).toMatchObject([{ check: 'gap', severity: 'error' }]);
    expect(logs[2].sources).toEqual([]);
    expect(logs[2].coverage.fraction).toBe(0);
  });

  it('can be chosen, again and again', async () => {
    expect(await audited('--logger', 'west')).toMatchObject({ code: 0, logs: [{ logger: 'west' }] });
    expect((await audited('--logger', 'east', '--logger', 'west')).logs).toHaveLength(2);
    expect((await audited('--logger', 'gone')).code).toBe(1);
  });

  it('that nobody knows are named, the others worked', async () => {
    const { code, stderr, logs } = await audited('--logger', 'west', '--logger', 'nobody');
    expect(code).toBe(2);
    expect(stderr).toMatch(/^dewledger: there is no logger of this name: nobody\n {2}the inputs hold: west/);
    expect(logs).toMatchObject([{ logger: 'west' }]);
    expect((await audited('--logger', 'nobody')).logs).toEqual([]);
  });

  it('named by a column are told apart', async () => {
    const rows = [0, 1, 2].flatMap((i) => [
      `2025-10-01T00:${i}0:00Z,a,1${i},50`,
      `2025-10-01T00:${i}0:00Z,b,2${i},60`,
    ]);
    const stdin = ['time,logger,temperature,humidity', ...rows, ''].join('\n');
    const { stdout } = await call(['clean', '-', '--zone', 'UTC', '--logger', 'b'], { stdin });
    expect(
      stdout
        .split('\n')
        .slice(1, -1)
        .map((line) => line.slice(0, 25)),
    ).toEqual(['2025-10-01T00:00:00Z,b,20', '2025-10-01T00:10:00Z,b,21', '2025-10-01T00:20:00Z,b,22']);
  });
});

describe('days on which the clocks are changed', () => {
  const london = ['--zone', 'Europe/London'];
  /** Half-hourly stamps of UTC, or as the clocks of London showed them. */
  const log = (from: number, days: number, stamp: (instant: number) => string) =>
    smallestLog(Array.from({ length: days * 48 }, (_, i) => stamp(from + i * 1_800_000)));
  const smallestLog = (stamps: string[]) =>
    [
      'time,temperature,humidity',
      ...stamps.map((stamp, i) => `${stamp},${10 + (i % 7) / 10},${60 + (i % 5)}`),
      '',
    ].join('\n');
  const utc = (instant: number) => new Date(instant).toISOString().slice(0, 19).replace('T', ' ').concat('Z');
  const wall = (changes: number, before: number, after: number) => (instant: number) =>
    new Date(instant + (instant < changes ? before : after) * 3_600_000)
      .toISOString()
      .slice(0, 19)
      .replace('T', ' ');
  const back = Date.UTC(2025, 9, 26, 1);
  const forth = Date.UTC(2025, 2, 30, 1);

  it.each([
    { why: 'October, stamps of UTC', day: '2025-10-26', hours: 25, text: log(Date.UTC(2025, 9, 25), 4, utc) },
    {
      why: 'October, stamps of the clock, an hour of them twice',
      day: '2025-10-26',
      hours: 25,
      text: log(Date.UTC(2025, 9, 25), 4, wall(back, 1, 0)),
    },
    { why: 'March, stamps of UTC', day: '2025-03-30', hours: 23, text: log(Date.UTC(2025, 2, 29), 4, utc) },
    {
      why: 'March, stamps of the clock',
      day: '2025-03-30',
      hours: 23,
      text: log(Date.UTC(2025, 2, 29), 4, wall(forth, 0, 1)),
    },
  ])('$why: $hours h, none missed, none twice', async ({ day, hours, text }) => {
    const next = day.replace(/\d\d$/, (date) => `${Number(date) + 1}`);
    for (const window of [
      ['--day', day],
      ['--since', day, '--until', next],
    ]) {
      const audited = await call(['audit', '-', ...london, ...window, '--format', 'json'], { stdin: text });
      const [log] = JSON.parse(audited.stdout).logs;
      expect(log.readings).toMatchObject({ accepted: 2 * hours, duplicates_dropped: 0, kept: 2 * hours });
      expect(log.coverage).toEqual({
        expected: 2 * hours,
        observed: 2 * hours,
        fraction: 1,
        unknown_hours: 0,
      });
      expect(log.findings).toEqual([]);
      const daily = await call(['daily', '-', ...london, ...window, '--format', 'json'], { stdin: text });
      const { periods } = JSON.parse(daily.stdout).logs[0];
      expect(periods).toHaveLength(1);
      expect(periods[0]).toMatchObject({ readings: 2 * hours, coverage: 1, complete: true });
      expect(Date.parse(periods[0].period_end) - Date.parse(periods[0].period_start)).toBe(hours * 3_600_000);
    }
  });

  it('a month of days adds up to 745 h in October, 743 h in March', async () => {
    for (const { month, hours } of [
      { month: '2025-10', hours: 745 },
      { month: '2025-03', hours: 743 },
    ]) {
      const text = log(Date.parse(`${month}-01T00:00Z`) - 86_400_000, 33, utc);
      const until = new Date(Date.parse(`${month}-28T00:00Z`) + 4 * 86_400_000).toISOString().slice(0, 8);
      const window = ['--since', `${month}-01`, '--until', `${until}01`];
      const { stdout } = await call(['daily', '-', ...london, ...window, '--format', 'json'], {
        stdin: text,
      });
      const { periods } = JSON.parse(stdout).logs[0];
      expect(periods).toHaveLength(31);
      expect(periods.reduce((sum: number, { readings }: { readings: number }) => sum + readings, 0)).toBe(
        2 * hours,
      );
    }
  });
});

describe('windows', () => {
  const cwd = folderOf({
    'log.csv': smallLog(Array.from({ length: 300 }, (_, i) => [10 + (i % 9) / 10, 50])),
  });
  const timesIn = async (...words: string[]) => {
    const { stdout } = await call(['clean', 'log.csv', '--zone', 'UTC', ...words], {
      cwd,
      now: Date.UTC(2025, 9, 2, 6),
    });
    const times = stdout
      .split('\n')
      .slice(1, -1)
      .map((line) => line.slice(0, 16));
    return [times.length, times[0], times.at(-1)];
  };

  it.each([
    {
      why: 'the start is in it, the end is not',
      words: ['--since', '2025-10-01T01:00', '--until', '2025-10-01T02:00'],
      found: [6, '2025-10-01T01:00', '2025-10-01T01:50'],
    },
    {
      why: 'open at the end',
      words: ['--since', '2025-10-03'],
      found: [12, '2025-10-03T00:00', '2025-10-03T01:50'],
    },
    {
      why: 'open at the start',
      words: ['--until', '2025-10-01T00:20:00Z'],
      found: [2, '2025-10-01T00:00', '2025-10-01T00:10'],
    },
    { why: 'a day', words: ['--day', '2025-10-02'], found: [144, '2025-10-02T00:00', '2025-10-02T23:50'] },
    { why: 'yesterday', words: ['--day', 'yesterday'], found: [144, '2025-10-01T00:00', '2025-10-01T23:50'] },
    {
      why: 'today, also what is yet to come',
      words: ['--day', 'today'],
      found: [144, '2025-10-02T00:00', '2025-10-02T23:50'],
    },
    { why: 'back from now', words: ['--last', 'PT6H'], found: [36, '2025-10-02T00:00', '2025-10-02T05:50'] },
  ])('$why', async ({ words, found }) => {
    expect(await timesIn(...words)).toEqual(found);
  });

  it('that contradict each other or are empty: exit 2', async () => {
    for (const words of [
      ['--day', '2025-10-01', '--since', '2025-10-01'],
      ['--last', 'P1D', '--until', '2025-10-01'],
      ['--since', '2025-10-02', '--until', '2025-10-02'],
      ['--day', '2025-02-30'],
    ]) {
      expect(await call(['clean', 'log.csv', '--zone', 'UTC', ...words], { cwd })).toMatchObject({
        code: 2,
        stdout: '',
      });
    }
  });

  it('of the samples: the days of the month are the month', async () => {
    const words = ['--site', sample('skerry-mere.toml'), '--logger', 'boat-hall'];
    const whole = (await call(['clean', ...words])).stdout.split('\n').slice(1, -1);
    const byDay: string[] = [];
    for (let date = 1; date <= 31; date++) {
      const { stdout } = await call(['clean', ...words, '--day', `2025-10-${`${date}`.padStart(2, '0')}`]);
      byDay.push(...stdout.split('\n').slice(1, -1));
    }
    const stampOf = (line: string) => line.slice(0, 25);
    const inMonth = whole.filter((line) => line.startsWith('2025-10'));
    expect(byDay.map(stampOf)).toEqual(inMonth.map(stampOf));
  });
});
