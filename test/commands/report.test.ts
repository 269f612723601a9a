import { cpSync, mkdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { beforeAll, describe, expect, it, vi } from 'vitest';
import { call, folderOf, GOOD, sample, smallLog } from './call.js';

// a busy machine takes its time over a month of readings and heartbeats
vi.setConfig({ testTimeout: 60_000, hookTimeout: 120_000 });

const SITE = ['--site', sample('skerry-mere.toml')];
const MONTH = [...SITE, '--since', '2025-10-01', '--until', '2025-11-01'];
const json = async (command: string, words: readonly string[]) =>
  JSON.parse((await call([command, ...words, '--format', 'json'])).stdout);

// biome-ignore lint/suspicious/noExplicitAny: a document as a stranger's script sees it
let month: any;
let text = '';
beforeAll(async () => {
  month = await json('report', MONTH);
  text = (await call(['report', ...MONTH])).stdout;
});

describe('report --format json', () => {
  it('begins with what it is, when, and the verdict', () => {
    expect(Object.keys(month)).toEqual(
      'format version place zone zone_from from until verdict needs whole days damp outages audit made'.split(
        ' ',
      ),
    );
    for (const need of month.needs) {
      expect(Object.keys(need)).toEqual('severity about loggers from until open text advice'.split(' '));
    }
    expect(month).toMatchObject({
      format: 'dewledger/report',
      version: 1,
      place: 'Skerry Mere Rowing Club',
      from: '2025-10-01T00:00:00+01:00',
      until: '2025-11-01T00:00:00Z'.replace('Z', '+00:00'),
    });
    expect(month.verdict.tone).toBe('alarm');
  });

  it('says what daily, audit and outages say of the same time, word for word', async () => {
    expect(month.days.logs).toEqual((await json('daily', MONTH)).logs);
    expect(month.whole.logs).toEqual((await json('daily', [...MONTH, '--per', 'month'])).logs);
    expect(month.outages).toEqual(await json('outages', MONTH));
    expect(month.audit).toEqual(await json('audit', MONTH));
  });

  it('says what damp says of the month', async () => {
    expect(month.damp.surfaces).toEqual((await json('damp', [...MONTH, '--per', 'month'])).surfaces);
    expect(month.damp.cautions.length).toBeGreaterThan(0);
  });

  it('of one log without a window counts what audit counts: its last reading is one of those due', async () => {
    const { stdout } = await call(['report', sample('slipway.csv'), '--format', 'json']);
    const page = JSON.parse(stdout);
    expect(page.audit.logs[0].coverage).toMatchObject({ expected: 672, observed: 672, unknown_hours: 0 });
    const { stdout: text } = await call(['report', sample('slipway.csv')]);
    expect(text).toMatch(/672 of 672 came, .* no time unknown/);
  });

  it('says how it was made, and nothing of where or when', () => {
    expect(month.made.options).toEqual(['--since 2025-10-01', '--until 2025-11-01']);
    expect(month.made.program).toMatch(/^dewledger \d/);
    expect(month.made.inputs).toHaveLength(7);
    for (const { path, sha256 } of month.made.inputs) {
      expect(path).not.toContain('/');
      expect(sha256).toMatch(/^[0-9a-f]{64}$/);
    }
  });

  it('lists needs worst first', () => {
    const ranks = month.needs.map(({ severity }: { severity: string }) =>
      ['error', 'warning', 'note'].indexOf(severity),
    );
    expect(ranks.length).toBeGreaterThan(10);
    expect(ranks).toEqual(ranks.toSorted());
  });
});

/** The part of the text under a heading. */
const section = (title: string) => {
  const lines = text.split('\n');
  const start = lines.findIndex((line) => line.startsWith(title));
  const after = lines.slice(start + 2);
  const end = after.findIndex((_, i) => /^─+$/.test(after[i + 1] ?? '') && after[i - 1] === '');
  return after.slice(0, end < 0 ? undefined : end).join('\n');
};

describe('the questions of three people', () => {
  it('did the cabinet get wet last night, for how long, and how sure is that?', async () => {
    const { stdout } = await call(['report', ...SITE, '--day', '2025-10-27', '--logger', 'battery-locker']);
    expect(stdout).toMatch(
      /caution {2}charger case \(battery-locker\): wet for 4\.8 h \(certainly 3\.4 h, possibly 6\.2 h\), 05:38 to 10:21/,
    );
  });

  it('why is there nothing from the loft on that day?', () => {
    const loft = section('sail-loft: Sail loft');
    expect(loft).toMatch(/Sat 2025-10-18 .*19\.2 h unknown: no power/);
    expect(loft).toMatch(/2025-10-17 13:14 to 2025-10-18 19:04 +power +1 d 6 h/);
    expect(section('What needs a hand')).toMatch(
      /without power, or crashed, 5 times: sail-loft and battery-locker Fri 17 Oct 13:14 to Sat 18 Oct 19:04 \(1 d 6 h\)/,
    );
  });

  it('which day was hottest, and can that be believed?', () => {
    const hall = section('boat-hall: Boat hall, north wall');
    expect(hall).toMatch(
      /warmest {3}16\.6 °C\n +Sat 11 Oct 14:30; no check speaks against it \(16\.3 before, 16\.2 after\)/,
    );
    const locker = section('battery-locker: Battery locker');
    expect(locker).toMatch(
      /warmest {3}21\.4 °C\n +Thu 2 Oct 20:10; .*81\.3 °C of Wed 29 Oct 11:05 is not counted/,
    );
    expect(locker).toMatch(/coldest {3}-0\.2 °C\n +Mon 27 Oct 04:15; doubtful: /);
  });
});

describe('report', () => {
  it('says in one sentence whether all is well, then what needs a hand', () => {
    const [title, subtitle, , verdict, , heading] = text.split('\n');
    expect(title).toBe('Skerry Mere Rowing Club');
    expect(subtitle).toBe('Wed 1 Oct 2025 to Fri 31 Oct 2025, clocks of Europe/London (site file)');
    expect(verdict).toBe(
      'Not all is well: all 3 loggers away 5 times, for 1 d 6 h at most; and 7 other things below.',
    );
    expect(heading).toBe('What needs a hand');
  });

  it('tells the wet surfaces together, the wettest first', () => {
    const needs = section('What needs a hand').split('\n');
    expect(needs.filter((line) => line.includes('wet for'))).toEqual([
      expect.stringMatching(
        /^caution {2}slipway winch \(boat-hall\): wet for 51\.5 h .*; also cedar hull \(boat-hall\) for 35\.5 h, rafters .* and charger case \(battery-locker\) for 4\.8 h: see below$/,
      ),
    ]);
  });

  it('has small troubles of a log among the small things', () => {
    const needs = section('What needs a hand');
    const cautions = needs.split('\n').filter((line) => /^(alarm|caution) /.test(line));
    expect(cautions).toHaveLength(8);
    for (const small of ['wrong number of cells', 'stands for "no value"', '12.4 or 13.2 °C']) {
      expect(needs).toMatch(new RegExp(`\nnote .*${small}`));
    }
  });

  it('says that humidities beyond the range of the sensor are not to be believed', () => {
    expect(section('boat-hall: Boat hall, north wall')).toMatch(
      /humidity {2}45 to 102 %\n +mean \d+ %; values above 100 % are not to be believed: the range of the sensor ends there/,
    );
    expect(section('sail-loft: Sail loft')).not.toContain('not to be believed');
  });

  it('folds a calendar of more than two months', async () => {
    const log = (days: number) =>
      `time,temperature,humidity\n${Array.from({ length: days * 24 }, (_, i) => `${new Date(Date.UTC(2025, 0, 1) + i * 3_600_000).toISOString()},${10 + (i % 24) / 10},${50 + (i % 7)}\n`).join('')}`;
    const cwd = folderOf({ 'loft.csv': log(70), 'attic.csv': log(60) });
    const page = async (file: string) =>
      (await call(['report', file, '--zone', 'UTC', '--format', 'html'], { cwd })).stdout;
    expect(await page('loft.csv')).toMatch(/<summary>.*Day by day \(70 days\)/);
    expect(await page('attic.csv')).not.toContain('Day by day (');
  });

  it('tells a gap that an outage explains once, as the outage', () => {
    expect(section('sail-loft: Sail loft')).toContain('179 missed');
    expect(section('What needs a hand')).not.toContain('missed, Fri 17 Oct');
  });

  it('of the same inputs and options has the same bytes, wherever and whenever it is made', async () => {
    const folder = folderOf({});
    mkdirSync(join(folder, 'there'));
    cpSync(dirname(sample('skerry-mere.toml')), join(folder, 'there'), { recursive: true });
    const words = ['--since', '2025-10-26', '--until', '2025-10-28'];
    for (const format of ['table', 'markdown', 'html']) {
      const here = await call(['report', ...SITE, ...words, '--format', format]);
      const there = await call(['report', '--site', 'there/skerry-mere.toml', ...words, '--format', format], {
        cwd: folder,
        now: Date.UTC(2031, 1, 1),
        env: { TZ: 'Asia/Kolkata', LANG: 'de_DE.UTF-8' },
      });
      expect(there.stdout).toBe(here.stdout);
      expect(here.stdout.length).toBeGreaterThan(4000);
    }
  });

  it('works without a site file, and says what it assumed', async () => {
    const cwd = folderOf({ 'loft.csv': GOOD });
    const { code, stdout, stderr } = await call(['report', 'loft.csv', '--zone', 'UTC'], { cwd });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(
      /^Temperature and humidity\nWed 1 Oct 2025 00:00 to Wed 1 Oct 2025 00:50, clocks of UTC \(option\)/,
    );
    expect(stdout).toContain('All is well: the logger reported, and no surface was certainly wet.');
    expect(stdout).toContain('What needs a hand\n─────────────────\nNothing.');
    expect(stdout).toContain('assumed: state it in the site file');
    expect(stdout).toContain('Damp and mains electricity kill');
  });

  it('has a verdict also where the worst is neither an outage of the logger nor a wet surface', async () => {
    const beats = Array.from({ length: 720 }, (_, minute) => minute).filter((m) => m < 300 || m >= 400);
    const readings = Array.from({ length: 72 }, (_, i) => [10 + (i % 7) / 10, 60 + (i % 11) / 10] as const);
    const cwd = folderOf({
      'loft.csv': smallLog(readings),
      'beats.csv': `time\n${beats.map((m) => new Date(Date.UTC(2025, 9, 1, 0, m, 20)).toISOString()).join('\n')}\n`,
    });
    const words = ['report', 'loft.csv', '--heartbeats', 'beats.csv', '--zone', 'UTC'];
    const { code, stdout } = await call(words, { cwd });
    expect(code).toBe(0);
    expect(stdout).toMatch(/\n\nWorth a look: loft: sending readings, but no heartbeats for 1 h 40 min\.\n/);
  });

  it('reads standard input, of which no digest is kept', async () => {
    const { code, stdout } = await call(['report', '-', '--zone', 'UTC', '--format', 'json'], {
      stdin: GOOD,
    });
    expect(code).toBe(0);
    expect(JSON.parse(stdout).made.inputs).toEqual([{ path: 'stdin', sha256: null }]);
  });

  it('of a time without a reading says that nothing is known, and ends with 1', async () => {
    const cwd = folderOf({ 'loft.csv': GOOD });
    const { code, stdout } = await call(
      ['report', 'loft.csv', '--zone', 'UTC', '--day', '2025-11-05', '--quiet'],
      {
        cwd,
      },
    );
    expect(code).toBe(1);
    expect(stdout).toContain('Nothing is known: there is no reading of this time.');
  });

  it('tells a logger of which there is nothing once, and who fell silent together', async () => {
    const cwd = folderOf({
      'site.toml': `zone = "UTC"\n${['loft', 'hall', 'shed']
        .map((id) => `[[logger]]\nid = "${id}"\nfiles = ["${id}.csv"]\n`)
        .join('')}`,
      'loft.csv': GOOD,
      'hall.csv': GOOD,
    });
    const words = ['report', '--site', 'site.toml', '--day'];
    const { stdout } = await call([...words, '2025-10-01'], { cwd });
    expect(stdout.match(/shed: no reading/g)).toHaveLength(1);
    expect(stdout).not.toContain('odd values or lines');
    const later = await call([...words, '2025-10-05'], { cwd });
    expect(later.code).toBe(1);
    expect(later.stdout).not.toContain('of 1 loggers');
  });

  it('goes on without an input that cannot be read, says so on the page, and ends with 2', async () => {
    const cwd = folderOf({ 'loft.csv': GOOD });
    const { code, stdout, stderr } = await call(['report', 'loft.csv', 'wall.csv', '--zone', 'UTC'], { cwd });
    expect(code).toBe(2);
    expect(stderr).toMatch(/^dewledger: .*wall\.csv: no such file/);
    expect(stdout).toContain('Not all is well: 1 input could not be read.');
    expect(stdout).toMatch(/alarm {2}an input could not be read: .*wall\.csv: no such file/);
  });

  it('with nothing at or above --fail-on and --quiet is not a byte; else the page, and 1', async () => {
    const damp = smallLog(
      Array.from({ length: 30 }, (_, i) => [10 - i / 10, i < 10 ? 95 + i / 2 : 100] as const),
    );
    const cwd = folderOf({ 'loft.csv': GOOD, 'damp.csv': damp });
    const words = ['--zone', 'UTC', '--quiet'];
    expect(await call(['report', 'loft.csv', ...words], { cwd })).toEqual({
      code: 0,
      stdout: '',
      stderr: '',
    });
    const noted = await call(['report', 'damp.csv', ...words, '--fail-on', 'note'], { cwd });
    expect(noted).toMatchObject({ code: 1, stderr: '' });
    expect(noted.stdout).toContain('What needs a hand');
  });

  it('with --quiet -o leaves the old file where there is nothing to tell', async () => {
    const cwd = folderOf({ 'loft.csv': GOOD, 'page.html': 'old' });
    await call(['report', 'loft.csv', '--zone', 'UTC', '--quiet', '--format', 'html', '-o', 'page.html'], {
      cwd,
    });
    expect(readFileSync(join(cwd, 'page.html'), 'utf8')).toBe('old');
    await call(['report', 'loft.csv', '--zone', 'UTC', '--format', 'html', '-o', 'page.html'], { cwd });
    expect(readFileSync(join(cwd, 'page.html'), 'utf8')).toMatch(/^<!DOCTYPE html>/);
  });

  it.each(['table', 'markdown', 'html', 'json'])(
    '--format %s shows hostile names as text',
    async (format) => {
      const name = '"><script>alert(1)</script>\x1b[31m\u202e|`x`';
      const cwd = folderOf({
        'a.csv': `time,logger,temperature,humidity\n${Array.from(
          { length: 6 },
          (_, i) => `2025-10-01T00:${i}0:00Z,"${name.replaceAll('"', '""')}",${10 + i / 10},60`,
        ).join('\n')}\n`,
      });
      const { code, stdout } = await call(['report', 'a.csv', '--zone', 'UTC', '--format', format], { cwd });
      expect(code).toBeLessThan(2);
      expect(stdout).toContain('alert(1)');
      // biome-ignore lint/suspicious/noControlCharactersInRegex: that there is none is what is tested
      expect(stdout).not.toMatch(format === 'json' ? /[\x00-\x09\x0b-\x1f]/ : /[\x00-\x09\x0b-\x1f\u202e]/);
      if (format === 'html' || format === 'markdown') expect(stdout).not.toContain('<script');
      if (format === 'json') expect(JSON.parse(stdout).audit.logs[0].logger).toContain('<script>');
    },
  );
});
