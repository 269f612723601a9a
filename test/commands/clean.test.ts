import { readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, GOOD, sample, smallLog } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const COLUMNS =
  'time,logger,air_temperature_degC,relative_humidity_pct,air_temperature_flag,relative_humidity_flag';
const ADDED = ['--add', 'dew_point_temperature,absolute_humidity,heat_index'];
const UTC = ['--zone', 'UTC'];

describe('the cleaned file', () => {
  it('has these columns; bad values are blank, every value has a flag', async () => {
    const stdin = smallLog([
      [10, 50],
      [-999, 51],
      [10.4, 150],
      [10.2, ''],
      [10.3, 52],
      [10.3, 'x'],
      [10.2, 51],
    ]);
    const { code, stdout, stderr } = await call(['clean', '-', ...UTC], { stdin });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toBe(
      `${COLUMNS}
2025-10-01T00:00:00Z,stdin,10,50,2,2
2025-10-01T00:10:00Z,stdin,,51,9,2
2025-10-01T00:20:00Z,stdin,10.4,,2,4
2025-10-01T00:30:00Z,stdin,10.2,,2,9
2025-10-01T00:40:00Z,stdin,10.3,52,2,2
2025-10-01T00:50:00Z,stdin,10.3,,2,4
2025-10-01T01:00:00Z,stdin,10.2,51,2,2
`,
    );
    const kept = await call(['clean', '-', ...UTC, '--bad', 'keep'], { stdin });
    expect(kept.stdout).toContain('2025-10-01T00:20:00Z,stdin,10.4,150,2,4\n');
  });

  it('has derived columns where they are asked for, by name or by column, each once', async () => {
    const { stdout } = await call(
      ['clean', '-', ...UTC, '--add', 'dew_point_temperature,humidex', '--add', 'dew_point_temperature_degC'],
      { stdin: GOOD },
    );
    const lines = stdout.split('\n');
    expect(lines[0]).toBe(`${COLUMNS},dew_point_temperature_degC,humidex`);
    expect(lines[1]).toBe('2025-10-01T00:00:00Z,stdin,10,50,2,2,0.06,');
  });

  it('says the same in JSON', async () => {
    const words = ['clean', sample('sail-loft.csv'), '--zone', 'Europe/London', ...ADDED];
    const csv: string[][] = parse((await call(words)).stdout);
    const document = JSON.parse((await call([...words, '--format', 'json'])).stdout);
    expect(document).toMatchObject({ format: 'dewledger/clean', version: 1, zone: 'Europe/London' });
    const texts = (row: unknown[]) => row.map((cell) => (cell === null ? '' : `${cell}`));
    expect([document.columns, ...document.rows.map(texts)]).toEqual(csv);
  });

  it('ends its lines with CR LF on request', async () => {
    const plain = await call(['clean', '-', ...UTC], { stdin: GOOD });
    const windows = await call(['clean', '-', ...UTC, '--crlf'], { stdin: GOOD });
    expect(windows.stdout).toBe(plain.stdout.replaceAll('\n', '\r\n'));
  });
});

describe('cleaned once more, nothing changes', () => {
  const again = async (words: readonly string[], first: { stdin?: string; log?: string }) => {
    const once = await call(['clean', first.log ?? '-', ...words], { stdin: first.stdin ?? '' });
    expect(once.code).toBe(0);
    expect(once.stdout.split('\n').length).toBeGreaterThan(2);
    const twice = await call(['clean', '-', ...words], { stdin: once.stdout });
    expect(twice.code).toBe(0);
    expect(twice.stdout).toBe(once.stdout);
  };

  const london = ['--zone', 'Europe/London'];
  it.each(
    ['boat-hall.csv', 'sail-loft.csv', 'battery-locker.tsv'].flatMap((log) =>
      [ADDED, ['--bad', 'keep', '--crlf']].map((words) => ({ log, words })),
    ),
  )('$log $words', async ({ log, words }) => {
    await again([...london, ...words], { log: sample(log) });
  });

  it('three loggers, with the site file', async () => {
    const site = ['--site', sample('skerry-mere.toml')];
    const once = await call(['clean', ...site, ...ADDED]);
    expect((await call(['clean', '-', ...site, ...ADDED], { stdin: once.stdout })).stdout).toBe(once.stdout);
  });

  const HOSTILE = [
    '=1+1',
    '+cmd|calc',
    '-5',
    '@sum',
    "'quoted",
    '<script>alert(1)</script>',
    '\x1b[31mred',
    'a,b',
    'say "hi"',
    'two\nlines',
    'back\\slash',
    '\\N',
    'NULL',
    'nan',
    '#1',
    '---',
    '1.5',
    '温度 °C',
    '\u202eevil',
    'time',
    'sep=;',
  ];
  const quoted = (name: string) => `"${name.replaceAll('"', '""')}"`;
  const named = (names: readonly string[]) =>
    [
      'time,logger,temperature,humidity',
      ...[0, 1, 2].flatMap((i) => names.map((name) => `2025-10-01T00:${i}0:00Z,${quoted(name)},1${i}.5,50`)),
      '',
    ].join('\n');

  it.each(HOSTILE)('a logger called %j', async (name) => {
    await again([...UTC, ...ADDED], { stdin: named([name]) });
  });

  it('all of them in one file', async () => {
    await again(UTC, { stdin: named(HOSTILE) });
  });

  it('names stay what they were, but for the guard against formulas', async () => {
    const { stdout } = await call(['clean', '-', ...UTC], { stdin: named(HOSTILE) });
    const rows: string[][] = parse(stdout, { from_line: 2 });
    const guarded = HOSTILE.map((name) => (/^[=+@-]/.test(name) && name !== '-5' ? `'${name}` : name));
    expect(new Set(rows.map(([, logger]) => logger))).toEqual(new Set(guarded));
  });
});

describe('--changes and --rejects', () => {
  const bytes = Buffer.concat([
    Buffer.from(
      smallLog([
        [10, 50],
        [-999, 51],
        [10.4, 52],
      ]),
    ),
    Buffer.from('caf\xe9 closed\n', 'latin1'), // Latin-1
    Buffer.from([0xc3, 0x28, 0xff, 0x3b, 0x0a]), // no UTF-8
    Buffer.from('2025-10-01T00:30:00Z,10.5,53\r\n'),
    Buffer.from('2025-10-01T00:30:00Z,10.5,53\n'),
    Buffer.from('"open, and never closed\n'),
    Buffer.from('2025-10-01T00:40:00Z,10.5,54\n'),
    Buffer.from('2025-10-01T00:5'),
  ]);
  const cwd = folderOf({ 'log.csv': bytes });
  const beside = ['clean', 'log.csv', ...UTC, '--changes', 'changes.csv', '--rejects', 'rejects.txt'];

  it('give the rejected lines back byte for byte', async () => {
    const { code, stderr } = await call([...beside, '-o', 'out.csv'], { cwd });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const expected = Buffer.concat([
      Buffer.from('caf\xe9 closed\n', 'latin1'),
      Buffer.from([0xc3, 0x28, 0xff, 0x3b, 0x0a]),
      Buffer.from('"open, and never closed\n'),
      Buffer.from('2025-10-01T00:5\n'),
    ]);
    expect(readFileSync(`${cwd}/rejects.txt`).equals(expected)).toBe(true);
  });

  it('say what became of every touched line', async () => {
    await call([...beside, '-o', 'out.csv'], { cwd });
    const rows: string[][] = parse(readFileSync(`${cwd}/changes.csv`));
    expect(rows[0]).toEqual(['source', 'line', 'field', 'before', 'after', 'reason']);
    expect(rows.slice(1).map(([, ...row]) => row)).toEqual([
      ['3', 'air_temperature', '-999', '', 'sentinel'],
      ['8', 'reading', '2025-10-01T00:30:00Z 10.5 53', '', 'duplicate, line 7 kept'],
    ]);
  });

  it('are empty where there is nothing to tell', async () => {
    const folder = folderOf({ 'log.csv': GOOD });
    await call([...beside], { cwd: folder });
    expect(readFileSync(`${folder}/rejects.txt`, 'utf8')).toBe('');
    expect(readFileSync(`${folder}/changes.csv`, 'utf8')).toBe('source,line,field,before,after,reason\n');
  });
});

describe('-o', () => {
  it.each([
    { command: 'audit', formats: ['table', 'csv', 'json'] },
    { command: 'clean', formats: ['table', 'csv', 'json'] },
    { command: 'daily', formats: ['table', 'csv', 'json'] },
    { command: 'damp', formats: ['table', 'csv', 'json'] },
  ])('of $command writes what would go to standard output', async ({ command, formats }) => {
    const cwd = folderOf({
      'log.csv': smallLog([
        [10, 50],
        [-999, 51],
        [10.4, 52],
        [10.2, 53],
      ]),
    });
    for (const format of formats) {
      const words = [command, 'log.csv', ...UTC, '--format', format];
      const shown = await call(words, { cwd });
      const filed = await call([...words, '-o', 'out'], { cwd });
      expect(filed).toEqual({ ...shown, stdout: '' });
      expect(readFileSync(`${cwd}/out`, 'utf8')).toBe(shown.stdout);
      expect(await call([...words, '-o', '-'], { cwd })).toEqual(shown);
      expect(readdirSync(cwd).sort()).toEqual(['log.csv', 'out']);
    }
  });

  it('of air, too', async () => {
    const cwd = folderOf({});
    await call(['air', '20', '60', '-o', 'out'], { cwd });
    expect(readFileSync(`${cwd}/out`, 'utf8')).toBe((await call(['air', '20', '60'])).stdout);
  });

  const files = () => {
    const site = 'zone = "UTC"\n[[logger]]\nid = "log"\nfiles = ["log.csv"]\n';
    const cwd = folderOf({ 'log.csv': GOOD, 'site.toml': site, 'broken.csv': 'no log at all\n' });
    symlinkSync('log.csv', `${cwd}/link.csv`);
    return cwd;
  };
  it.each([
    { why: 'the log', words: ['clean', 'log.csv', '-o', 'log.csv'] },
    { why: 'the log by another path', words: ['clean', 'log.csv', '-o', './/log.csv'] },
    { why: 'the log by a link', words: ['clean', 'log.csv', '-o', 'link.csv'] },
    { why: 'a log that could not be read', words: ['clean', 'log.csv', 'broken.csv', '-o', 'broken.csv'] },
    { why: 'a log of the site file', words: ['daily', '--site', 'site.toml', '-o', 'log.csv'] },
    { why: 'the site file', words: ['audit', '--site', 'site.toml', '-o', 'site.toml'] },
    { why: 'the log, by --changes', words: ['clean', 'log.csv', '-o', 'out', '--changes', 'log.csv'] },
    { why: 'the log, by --rejects', words: ['clean', 'log.csv', '-o', 'out', '--rejects', 'link.csv'] },
    { why: 'a folder', words: ['clean', 'log.csv', '-o', 'out', '--changes', '.'] },
    { why: 'a folder that is not there', words: ['clean', 'log.csv', '-o', 'out', '--rejects', 'x/y'] },
    { why: 'twice the same', words: ['clean', 'log.csv', '-o', 'out', '--changes', './out'] },
    { why: 'twice the same beside', words: ['clean', 'log.csv', '--changes', 'out', '--rejects', 'out'] },
    { why: 'twice standard output', words: ['clean', 'log.csv', '--changes', '-'] },
  ])('is refused before anything is written: $why', async ({ words }) => {
    const cwd = files();
    const before = readdirSync(cwd).map((name) => [name, readFileSync(`${cwd}/${name}`, 'utf8')]);
    const { code, stdout, stderr } = await call([...words, '--fail-on', 'never'], { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/dewledger: .*(cannot be written|same place).*\n {2}.*\n$/);
    expect(readdirSync(cwd).map((name) => [name, readFileSync(`${cwd}/${name}`, 'utf8')])).toEqual(before);
  });
});
