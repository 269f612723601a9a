import { parse } from 'csv-parse/sync';
import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, sample, smallLog } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const COLUMNS =
  'logger,condition,spell_start,spell_end,hours,hours_certain,hours_possible,bounded_by_unknown';
const SITE = ['--site', sample('skerry-mere.toml')];
const WEEK = ['--since', '2025-10-20', '--until', '2025-10-27'];

// 50 % but for the hours from 6 to 8, when it rises to 90 % and falls again
const morning = smallLog(
  Array.from({ length: 145 }, (_, i) => [10, i >= 36 && i <= 48 ? 90 - (40 * Math.abs(i - 42)) / 6 : 50]),
);
const inUtc = ['-', '--zone', 'UTC', '--day', '2025-10-01'];
const exact = ['--temperature-accuracy', '0', '--humidity-accuracy', '0'];

async function csvOf(words: readonly string[], stdin = ''): Promise<Record<string, string>[]> {
  const { code, stdout, stderr } = await call(['spells', ...words, '--format', 'csv'], { stdin });
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  expect(stdout.split('\n')[0]).toBe(COLUMNS);
  return parse(stdout, { columns: true });
}

describe('spells', () => {
  it('--format csv has these columns, a row for each spell', async () => {
    const rows = await csvOf([...inUtc, ...exact, '--where', 'relative_humidity<=70'], morning);
    expect(rows).toEqual([
      {
        logger: 'stdin',
        condition: 'relative_humidity<=70',
        spell_start: '2025-10-01T00:00:00Z',
        spell_end: '2025-10-01T06:30:00Z',
        hours: '6.5',
        hours_certain: '6.5',
        hours_possible: '6.5',
        bounded_by_unknown: 'true',
      },
      {
        logger: 'stdin',
        condition: 'relative_humidity<=70',
        spell_start: '2025-10-01T07:30:00Z',
        spell_end: '2025-10-02T00:00:00Z',
        hours: '16.5',
        hours_certain: '16.5',
        hours_possible: '16.5',
        // midnight is where the window ends and the log too
        bounded_by_unknown: 'true',
      },
    ]);
  });

  it('--format json carries the same names, days that add up, and the cautions', async () => {
    const words = [...SITE, ...WEEK, '--for', 'painting'];
    const csv = await csvOf(words);
    const document = JSON.parse((await call(['spells', ...words, '--format', 'json'])).stdout);
    expect(document).toMatchObject({
      format: 'dewledger/spells',
      version: 1,
      zone: 'Europe/London',
      lasting_hours: 4,
    });
    expect(document.cautions.length).toBeGreaterThan(1);
    expect(document.logs.map(({ logger }: { logger: string }) => logger)).toEqual([
      'boat-hall',
      'sail-loft',
      'battery-locker',
    ]);
    const rows = document.logs.flatMap(({ spells }: { spells: object[] }) => spells);
    expect(rows.length).toBeGreaterThan(5);
    expect(csv).toEqual(
      rows.map((row: object) =>
        Object.fromEntries(Object.entries(row).map(([name, cell]) => [name, `${cell}`])),
      ),
    );
    for (const { days, ...all } of document.logs) {
      expect(days).toHaveLength(7);
      expect(days.at(-1)).toMatchObject({ day: '2025-10-26', until: '2025-10-27T00:00:00+00:00' });
      for (const name of ['hours', 'hours_certain', 'hours_possible', 'hours_without', 'hours_unknown']) {
        const sum = days.reduce((total: number, day: Record<string, number>) => total + day[name]!, 0);
        expect(Math.abs(sum - all[name])).toBeLessThan(0.01); // each is rounded to 0.001
      }
      // a week in which the clocks are put back
      expect(Math.abs(all.hours + all.hours_without + all.hours_unknown - 169)).toBeLessThan(0.01);
      expect(all.hours_certain).toBeLessThanOrEqual(all.hours);
      expect(all.hours).toBeLessThanOrEqual(all.hours_possible);
    }
  });

  it('the table fits into 80 columns, with totals and cautions', async () => {
    const words = [
      'spells',
      ...SITE,
      ...WEEK,
      '--for',
      'airing',
      '--indoor',
      'sail-loft',
      '--outdoor',
      'boat-hall',
    ];
    const { code, stdout, stderr } = await call([...words, '--color'], { env: { COLUMNS: '80' } });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const table = stdout.split('\n').filter((line) => /^(day|2025-|all|─)/.test(line));
    expect(table.length).toBeGreaterThan(5);
    for (const line of table) expect(line.length).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/^all +\d+\.\d +\d+\.\d +\d+\.\d$/m);
    expect(stdout).toContain('boat-hall/absolute_humidity<=absolute_humidity-1');
    expect(stdout).toContain('no alarm for heat or frost');
    expect((await call([...words, '--quiet'])).stdout).not.toContain('alarm');
  });

  it('marks what is bounded by unknown time, and says what the mark means', async () => {
    const gapped = morning
      .split('\n')
      .filter((line) => !/T1[1-4]:/.test(line))
      .join('\n');
    const words = ['spells', ...inUtc, ...exact, '--where', 'relative_humidity<=70', '--lasting', '3h'];
    const { stdout } = await call(words, { stdin: gapped });
    expect(stdout).toMatch(/^2025-10-01 +07:30 +10:50 +≥3\.3 /m);
    expect(stdout).toMatch(/^all +18\.8 /m);
    expect(stdout).toContain('unknown for 4.2 h of 24.0 h');
    expect(stdout).toContain('≥ reads "at least"');
  });

  it.each(['4h', '240min', '3h60min', '3 h 60 min', 'PT4H', 'P0DT240M'])(
    '--lasting %s is four hours',
    async (lasting) => {
      const words = [
        'spells',
        ...inUtc,
        '--where',
        'relative_humidity<=70',
        '--lasting',
        lasting,
        '--format',
        'json',
      ];
      expect(JSON.parse((await call(words, { stdin: morning })).stdout).lasting_hours).toBe(4);
    },
  );

  it.each(['', '4', 'h', '-4h', '4 hours', '4h 3', '3.5h30min', 'P1M'])(
    '--lasting is not "%s"',
    async (lasting) => {
      const words = ['spells', ...inUtc, '--where', 'relative_humidity<=70', `--lasting=${lasting}`];
      const { code, stdout, stderr } = await call(words, { stdin: morning });
      expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
      expect(stderr).toContain('write 4h, 90min');
    },
  );

  it('all conditions have to hold', async () => {
    const words = [...inUtc, ...exact, '--where', 'relative_humidity<=70', '--where', 'relative_humidity>60'];
    const rows = await csvOf(words, morning);
    expect(rows.map(({ hours, condition }) => [hours, condition])).toEqual([
      ['0.25', 'relative_humidity<=70 and relative_humidity>60'],
      ['0.25', 'relative_humidity<=70 and relative_humidity>60'],
    ]);
  });

  it('frost-free hours are those above 0 °C', async () => {
    const frosty = smallLog(Array.from({ length: 25 }, (_, i) => [i / 6 - 2, 80]));
    const rows = await csvOf([...inUtc, ...exact, '--for', 'frost-free'], frosty);
    expect(rows).toMatchObject([
      { spell_start: '2025-10-01T02:00:00Z', hours: '2', condition: 'frost-free' },
    ]);
  });

  it('looks at the loggers that have what is named, and with --logger at others beside', async () => {
    const loggers = async (...words: string[]) =>
      new Set((await csvOf([...SITE, ...WEEK, ...words])).map(({ logger }) => logger));
    expect(await loggers('--where', 'Cedar Hull.margin>=1')).toEqual(new Set(['boat-hall']));
    expect(await loggers('--for', 'painting', '--surface', 'Rafters')).toEqual(new Set(['sail-loft']));
    const beside = ['--where', 'boat-hall/absolute_humidity<absolute_humidity'];
    expect(await loggers(...beside)).toEqual(new Set(['sail-loft', 'battery-locker']));
    expect(await loggers(...beside, '--logger', 'sail-loft')).toEqual(new Set(['sail-loft']));
    expect(await loggers('--for', 'airing', '--indoor', 'sail-loft', '--outdoor', 'boat-hall')).toEqual(
      new Set(['sail-loft']),
    );
  });

  it('takes masses by their time constants, for painting and in conditions', async () => {
    const conditions = async (...words: string[]) => {
      const { stdout } = await call(['spells', ...SITE, ...WEEK, '--logger', 'boat-hall', ...words]);
      return stdout.split('\n')[0]!;
    };
    const anvil = ['--surface', 'anvil=PT8H'];
    const painting = ['--for', 'painting'];
    const both = await conditions(...painting, ...anvil, '--surface', 'cedar hull');
    expect(both).toContain('anvil.margin>=3');
    expect(both).toContain('cedar hull.margin>=3');
    expect(both).not.toContain('slipway winch');
    expect(await conditions('--where', 'anvil.margin>=3', ...anvil)).toContain('boat-hall: anvil.margin>=3');
  });

  it('gives a mass that is stated the same spells as one of the site file, in whose place it stands', async () => {
    const rows = (...words: string[]) =>
      csvOf([...SITE, ...WEEK, '--where', 'slipway winch.margin<1', '--logger', 'boat-hall', ...words]);
    const ofSite = await rows();
    expect(ofSite.length).toBeGreaterThan(0);
    expect(await rows('--surface', 'Slipway Winch=PT3H')).toEqual(ofSite);
    expect(await rows('--surface', 'slipway winch=PT20M')).not.toEqual(ofSite);
  });

  it('reads far enough before the window for a mass to have settled at its start', async () => {
    const words = ['--where', 'slipway winch.margin>=3', '--logger', 'boat-hall', '--format', 'json'];
    const of = async (...window: string[]) =>
      JSON.parse((await call(['spells', ...SITE, ...words, ...window])).stdout).logs[0];
    const day = await of('--day', '2025-10-24');
    expect(day.hours_unknown).toBe(0);
    const [, , , , sameDay] = (await of(...WEEK)).days;
    expect(sameDay.day).toBe('2025-10-24');
    expect(Math.abs(day.hours - sameDay.hours)).toBeLessThan(0.01);
  });

  it.each([
    { words: [], says: 'no condition to look for' },
    { words: ['--where', 'relative_humidty<3'], says: 'did you mean relative_humidity?' },
    { words: ['--where', 'relative_humidity'], says: 'not a condition: relative_humidity' },
    { words: ['--for', 'airing', '--indoor', 'sail-loft'], says: '--indoor ID and --outdoor ID' },
    {
      words: ['--for', 'airing', '--indoor', 'sail-loft', '--outdoor', 'sail-loft'],
      says: 'the same logger',
    },
    {
      words: ['--for', 'airing', '--indoor', 'sail-loft', '--outdoor', 'boathall'],
      says: 'did you mean boat-hall?',
    },
    {
      words: ['--for', 'airing', '--indoor', 'sail-loft', '--outdoor', 'Boat-Hall'],
      says: 'did you mean boat-hall?',
    },
    { words: ['--for', 'painting', '--outdoor', 'boat-hall'], says: 'belong to --for airing' },
    { words: ['--for', 'frost-free', '--surface', 'rafters'], says: 'belongs to --for painting' },
    { words: ['--for', 'painting', '--surface', 'rafter'], says: 'did you mean rafters?' },
    { words: ['--for', 'painting', '--surface', 'anvil=3'], says: '3' },
    { words: ['--for', 'painting', '--surface', '=PT3H'], says: 'a name and a time constant' },
    {
      words: ['--for', 'painting', '--surface', 'anvil=PT3H', '--surface', 'anvil=PT4H'],
      says: 'two surfaces have the same name',
    },
    { words: ['--where', 'cedar hull.margin>3', '--where', 'rafters.margin>3'], says: 'no logger has all' },
    { words: ['--where', 'cedar hull.margin>slipway winch.margin'], says: 'at different speeds' },
    { words: ['--where', 'boathall/humidex>3', '--logger', 'sail-loft'], says: 'did you mean boat-hall?' },
    { words: ['--where', 'boat-hall/humidex>3', '--logger', 'sailloft'], says: 'did you mean sail-loft?' },
  ])('refuses $words: $says', async ({ words, says }) => {
    const { code, stdout, stderr } = await call(['spells', ...SITE, ...WEEK, ...words]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(says);
    expect(stderr).toMatch(/^dewledger: .*\n {2}.*\n$/);
  });

  it('refuses a purpose that it does not know, in one line', async () => {
    const { code, stderr } = await call(['spells', ...SITE, '--for', 'varnishing']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^dewledger: .*painting, airing, frost-free\.\n$/);
  });

  it('an empty window is no crash', async () => {
    const cwd = folderOf({ 'log.csv': morning });
    const words = [
      'spells',
      'log.csv',
      '--zone',
      'UTC',
      '--day',
      '2025-11-01',
      '--where',
      'air_temperature>0',
    ];
    const { code, stdout, stderr } = await call([...words, '--format', 'json'], { cwd });
    expect(code).toBe(0);
    expect(stderr).toContain('no reading in the time asked for');
    expect(JSON.parse(stdout).logs[0]).toMatchObject({ hours: null, hours_unknown: 24, spells: [] });
  });
});
