import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { parseSite } from '../../src/site/load.js';
import { call, folderOf, GOOD, sample, smallLog, tenMinutes } from './call.js';

const SAMPLES = [
  'boat-hall.csv',
  'sail-loft.csv',
  'battery-locker.tsv',
  'boat-hall-heartbeats.csv.gz',
  'sail-loft-heartbeats.csv.gz',
  'battery-locker-heartbeats.tsv.gz',
].map(sample);
const LONDON = ['--zone', 'Europe/London'];

/** The site that init makes of these files, and what it said. */
async function init(files: Readonly<Record<string, string>>, words: readonly string[], env = {}) {
  const cwd = folderOf(files);
  const { stdout, stderr, code } = await call(['site', 'init', ...words], { cwd, env });
  return {
    cwd,
    text: stdout,
    stderr,
    code,
    site: stdout === '' ? null : parseSite(stdout, join(cwd, 'site.toml')),
  };
}

describe('site init with the sample month', async () => {
  const folder = folderOf({});
  const target = join(folder, 'site.toml');
  const made = await call(['site', 'init', ...SAMPLES, ...LONDON, '-o', target]);

  it('writes what the logs show, and says in short what that is', async () => {
    expect(made).toEqual({
      code: 0,
      stdout: '',
      stderr: expect.stringMatching(/: 3 loggers, 3 with heartbeats\./),
    });
    const { zone, loggers } = parseSite(readFileSync(target, 'utf8'), target);
    expect(zone?.name).toBe('Europe/London');
    expect(
      loggers.map(({ id, cadence, heartbeatCadence, reading, accuracySource }) => [
        id,
        cadence! / 60_000,
        heartbeatCadence! / 60_000,
        reading.dateOrder,
        accuracySource,
      ]),
    ).toEqual([
      ['battery-locker', 5, 1, null, 'assumed'],
      ['boat-hall', 30, 1, null, 'assumed'],
      ['sail-loft', 10, 1, 'day-first', 'assumed'],
    ]);
  });

  it.each([
    { words: ['audit', '--fail-on', 'never'] },
    { words: ['daily', '--day', '2025-10-27'] },
    { words: ['damp', '--day', '2025-10-27'] },
    { words: ['outages', '--fail-on', 'never'] },
    { words: ['report', '--fail-on', 'never', '--day', '2025-10-27'] },
    { words: ['site', 'check', target] },
  ])(
    'works at once: $words',
    async ({ words }) => {
      const site = words[0] === 'site' ? [] : ['--site', target];
      const { code, stdout, stderr } = await call([...words, ...site]);
      expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
      for (const id of ['boat-hall', 'sail-loft', 'battery-locker']) expect(stdout).toContain(id);
    },
    30_000,
  );

  it('gives the same bytes again, in whatever order the logs are named', async () => {
    const again = await call(['site', 'init', ...SAMPLES.toReversed(), ...LONDON, '-o', target, '--force'], {
      now: 0,
    });
    expect(again.code).toBe(0);
    const other = join(folder, 'other.toml');
    await call(['site', 'init', ...SAMPLES, ...LONDON, '-o', other]);
    expect(readFileSync(other, 'utf8')).toBe(readFileSync(target, 'utf8'));
  }, 30_000);

  it('does not overwrite what is there unless it is told to', async () => {
    const before = readFileSync(target, 'utf8');
    const { code, stdout, stderr } = await call(['site', 'init', SAMPLES[0]!, ...LONDON, '-o', target]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/site\.toml: is there already\n {2}.*--force\n$/);
    expect(readFileSync(target, 'utf8')).toBe(before);
  });
});

describe('site init', () => {
  it('says a word about every line', async () => {
    const { text } = await init({ 'loft.csv': GOOD }, ['loft.csv', ...LONDON]);
    let told = false;
    for (const line of text.split('\n')) {
      if (line === '') told = false;
      else if (line.startsWith('# ')) told = true;
      else if (!line.startsWith('[')) expect([line, told]).toEqual([line, true]);
    }
  });

  it('has nothing but suggestions that hold when the # is taken away', async () => {
    const { text, cwd } = await init({ 'loft.csv': GOOD, 'wall.csv': GOOD }, [
      'loft.csv',
      'wall.csv',
      ...LONDON,
    ]);
    const told = text.replace(/^#(?=\S)/gm, '');
    const { loggers } = parseSite(told, join(cwd, 'site.toml'));
    expect(loggers[0]!.surfaces.map(({ name }) => name)).toEqual(['winch', 'rafters', 'outer wall', 'roof']);
  });

  it('says where the zone comes from', async () => {
    const files = { 'loft.csv': GOOD };
    expect((await init(files, ['loft.csv'], { DEWLEDGER_ZONE: 'Asia/Tokyo' })).text).toContain(
      '(from DEWLEDGER_ZONE)',
    );
    expect((await init(files, ['loft.csv'])).text).toContain('(from this computer; change it');
    expect((await init(files, ['loft.csv', ...LONDON])).text).toContain(
      'the stamps themselves tell their offset',
    );
    const local = { 'loft.csv': GOOD.replaceAll('Z,', ',') };
    expect((await init(local, ['loft.csv', ...LONDON])).text).toContain('Stamps without offset and the days');
  });

  it('takes the parts of a log for one logger', async () => {
    const later = GOOD.replaceAll('2025-10-01', '2025-10-02');
    const files = { 'loft-2025-10-01.csv': GOOD, 'loft-2025-10-02.csv': later };
    const others = { 'hall1.csv': GOOD, 'hall2.csv': GOOD, 'shed 2025.csv': GOOD };
    const { site } = await init({ ...files, ...others }, [
      ...Object.keys({ ...files, ...others }),
      ...LONDON,
    ]);
    expect(site!.loggers.map(({ id, files: own }) => [id, own])).toEqual([
      ['hall1', ['hall1.csv']],
      ['hall2', ['hall2.csv']],
      ['loft', ['loft-2025-10-01.csv', 'loft-2025-10-02.csv']],
      ['shed 2025', ['shed 2025.csv']],
    ]);
  });

  it('names files so that no sign in them is taken for a pattern', async () => {
    const name = 'sub/ex[1]port {a} (2)!*.csv';
    const { cwd, text } = await init({ [name]: GOOD, 'sub/export a.csv': GOOD }, [name, ...LONDON]);
    const folder = folderOf({ 'site.toml': text.replace('sub/', `${cwd}/sub/`) });
    const check = await call(['site', 'check', `${folder}/site.toml`, '--format', 'json']);
    expect(JSON.parse(check.stdout).loggers[0].files).toEqual([join(cwd, name)]);
  });

  it('makes a measured surface of a column that sounds like one and holds values', async () => {
    const rows = [20, 19.5, 19.2, 18.8].map(
      (wall, i) => `${tenMinutes(i)},20.5,5${i}.5,${wall},${wall},,low`,
    );
    const heading = 'time,temperature,humidity,wall temp,cpu temp,floor temp,window state';
    const { site, code } = await init({ 'loft.csv': [heading, ...rows, ''].join('\n') }, [
      'loft.csv',
      ...LONDON,
    ]);
    expect(code).toBe(0);
    expect(site!.loggers[0]!.surfaces).toMatchObject([
      { name: 'wall temp', model: 'measured', thermometer: { column: 'wall temp' } },
    ]);
  });

  it('is more cautious about sensors that tell whole degrees and percents', async () => {
    const coarse = smallLog([20, 21, 22, 21, 20, 19].map((value, i) => [value, 50 + i]));
    expect((await init({ 'loft.csv': coarse }, ['loft.csv', ...LONDON])).site!.loggers[0]).toMatchObject({
      accuracy: { temperature: 2, humidity: 5 },
      accuracySource: 'site',
    });
  });

  it('writes down what it was told about the writing of the logs', async () => {
    const file = 'a;b;c\n03/04/2025 10:00;20,5;50\n03/04/2025 10:10;20,6;51\n03/04/2025 10:20;20,4;51\n';
    const told = ['--date-order', 'month-first', '--temperature-column', 'b', '--humidity-column', 'c'];
    const { site, cwd, text } = await init({ 'loft.csv': file }, ['loft.csv', ...told, ...LONDON]);
    expect(site!.loggers[0]!.reading).toMatchObject({ dateOrder: 'month-first', temperatureColumn: 'b' });
    const folder = folderOf({ 'site.toml': text, 'loft.csv': file });
    expect((await call(['audit', '--site', `${folder}/site.toml`])).stdout).toContain('2025-03-04 10:00');
    const asked = await call(['site', 'init', 'loft.csv', ...LONDON], { cwd });
    expect(asked).toMatchObject({ code: 2, stdout: '' });
    expect(asked.stderr).toContain('--temperature-column');
  });

  it('works with what can be read, names what cannot, and ends with 2', async () => {
    const { site, stderr, code } = await init({ 'loft.csv': GOOD, 'notes.txt': 'buy paint\n' }, [
      'loft.csv',
      'notes.txt',
      ...LONDON,
    ]);
    expect(code).toBe(2);
    expect(stderr).toContain('notes.txt');
    expect(site!.loggers.map(({ id }) => id)).toEqual(['loft']);
  });

  it('does not take readings that it cannot decide about for heartbeats', async () => {
    const rows = Array.from({ length: 4 }, (_, i) => `${tenMinutes(i)},20.${i},21.${i},50,51`);
    const file = ['time,temp in,temp out,hum in,hum attic', ...rows, ''].join('\n');
    const { text, code } = await init({ 'loft.csv': file }, ['loft.csv', ...LONDON]);
    expect(text).not.toContain('\nheartbeats =');
    expect(code).toBe(text === '' ? 2 : 0);
  });

  it('keeps loggers apart that share a file, and those that only beat', async () => {
    const both = GOOD.split('\n')
      .map((row, i) => (i === 0 ? `${row},logger` : row === '' ? '' : `${row},${i % 2 ? 'loft' : 'hall'}`))
      .join('\n');
    const beats = ['seen at', ...Array.from({ length: 9 }, (_, i) => tenMinutes(i)), ''].join('\n');
    const { site } = await init({ 'all.csv': both, 'shed-heartbeats.csv': beats }, [
      'all.csv',
      'shed-heartbeats.csv',
      ...LONDON,
    ]);
    expect(site!.loggers.map(({ id, files, heartbeats }) => [id, files, heartbeats])).toEqual([
      ['hall', ['all.csv'], []],
      ['loft', ['all.csv'], []],
      ['shed', [], ['shed-heartbeats.csv']],
    ]);
  });

  it.each([
    { words: ['site', 'init', '-'], says: 'a site file names files' },
    { words: ['site', 'init'], says: "missing required argument 'LOG'" },
    { words: ['site', 'chek'], says: 'did you mean check?' },
    { words: ['sitr'], says: 'did you mean site?' },
    { words: ['help', 'site', 'int'], says: 'did you mean init?' },
    { words: ['site', 'init', 'no-*.csv'], says: 'no file matches' },
  ])('refuses $words', async ({ words, says }) => {
    const { code, stdout, stderr } = await call(words);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(says);
  });

  it('is told of in the help of its group', async () => {
    const group = await call(['site']);
    expect(group).toMatchObject({ code: 2, stdout: '' });
    expect(group.stderr).toMatch(/^Examples:\n {2}dewledger site init /);
    expect(group.stderr).toMatch(/^ {2}init .*\n {2}check /m);
    const help = await call(['help', 'site', 'init']);
    expect(help).toEqual(await call(['site', 'init', '--help']));
    expect(help.stdout).toContain('Usage: dewledger site init <LOG...> [options]');
  });
});

describe('site check', () => {
  it('tells how the sample site is understood', async () => {
    const { code, stdout, stderr } = await call(['site', 'check', sample('skerry-mere.toml')]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(/^Skerry Mere Rowing Club, Europe\/London, 62 m, position not stated\n/);
    expect(stdout).toMatch(/^boat-hall +1 +30 min +1, every 1 min +± 0\.3 K, ± 2 %$/m);
    expect(stdout).toMatch(/^boat-hall +cedar hull +follows the air with a time constant of 1 h 30 min$/m);
  });

  it('has remarks about files that are not there, and exit code 1', async () => {
    const folder = folderOf({ 'site.toml': '[[logger]]\nid = "loft"\nfiles = ["loft*.csv"]\n' });
    const { code, stdout } = await call(['site', 'check', `${folder}/site.toml`, '--format', 'json']);
    expect(code).toBe(1);
    const document = JSON.parse(stdout);
    expect(document).toMatchObject({ format: 'dewledger/site', version: 1, zone: null });
    expect(document.remarks).toEqual([
      { severity: 'note', logger: null, message: expect.stringContaining('no zone is stated') },
      { severity: 'error', logger: 'loft', message: 'no file is there for "loft*.csv"' },
    ]);
    const never = await call(['site', 'check', `${folder}/site.toml`, '--fail-on', 'never', '--quiet']);
    expect(never).toEqual({ code: 0, stdout: '', stderr: '' });
  });

  it('tells where a mistake is', async () => {
    const folder = folderOf({ 'site.toml': '[[logger]]\nid = "loft"\nfils = []\n' });
    const { code, stdout, stderr } = await call(['site', 'check', `${folder}/site.toml`]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/site\.toml:3:1: logger\[1\]\.fils is not a known key\n {2}did you mean files\?/);
  });

  it('checks the one that is found, or says that there is none', async () => {
    const cwd = folderOf({ 'dewledger.toml': 'zone = "UTC"\n' });
    const found = await call(['site', 'check'], { cwd });
    expect(found.stdout).toContain('no logger is described');
    expect(found.stderr).toBe(`site file ${cwd}/dewledger.toml (working folder)\n`);
    expect(await call(['site', 'check'], { cwd: folderOf({}) })).toMatchObject({
      code: 2,
      stderr: expect.stringContaining('there is no site file to check'),
    });
  });
});
