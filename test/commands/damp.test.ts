import { parse } from 'csv-parse/sync';
import { describe, expect, it, vi } from 'vitest';
import { call, sample, smallLog } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const COLUMNS =
  'logger,surface,period_start,period_end,condensation_hours_certain,condensation_hours_expected,' +
  'condensation_hours_possible,unknown_hours,margin_min_K,margin_min_time,spells,longest_spell_hours,' +
  'time_of_wetness_hours,wood_moisture_mean_pct,wood_moisture_max_pct,mould_index';
const SITE = ['--site', sample('skerry-mere.toml')];

// the air steps from 2 to 12 °C at noon: what follows it slowly is wet for a while
const steps = smallLog(Array.from({ length: 145 }, (_, i) => (i < 72 ? [2, 80] : [12, 90])));
const inUtc = ['-', '--zone', 'UTC', '--day', '2025-10-01'];

const CSV = await call(['damp', ...SITE, '--format', 'csv']);

describe('damp', () => {
  it('--format csv has these columns, a row for each surface and day', async () => {
    const { code, stdout, stderr } = CSV;
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout.split('\n')[0]).toBe(COLUMNS);
    const rows: Record<string, string>[] = parse(stdout, { columns: true });
    expect(new Set(rows.map(({ logger, surface }) => `${logger}: ${surface}`))).toEqual(
      new Set([
        'boat-hall: cedar hull',
        'boat-hall: slipway winch',
        'sail-loft: rafters',
        'battery-locker: charger case',
      ]),
    );
    for (const row of rows) {
      const [certain, expected, possible] = ['certain', 'expected', 'possible'].map((kind) =>
        Number(row[`condensation_hours_${kind}`]),
      ) as [number, number, number];
      expect(certain).toBeLessThanOrEqual(expected);
      expect(expected).toBeLessThanOrEqual(possible);
    }
  });

  it('--format json carries the same names, and the cautions', async () => {
    const csv: string[][] = parse(CSV.stdout, {
      from_line: 2,
    });
    const document = JSON.parse((await call(['damp', ...SITE, '--format', 'json'])).stdout);
    expect(document).toMatchObject({
      format: 'dewledger/damp',
      version: 1,
      zone: 'Europe/London',
      per: 'day',
    });
    expect(document.cautions.length).toBeGreaterThan(2);
    const periods: Record<string, unknown>[] = document.surfaces.flatMap(
      ({ periods }: { periods: Record<string, unknown>[] }) => periods,
    );
    expect(csv).toEqual(
      periods.map((period) =>
        COLUMNS.split(',').map((name) => (period[name] === null ? '' : `${period[name]}`)),
      ),
    );
  });

  it('accounts for the whole day: wet, dry and unknown', async () => {
    const { stdout } = await call(['damp', ...inUtc, '--surface', 'winch=PT3H', '--format', 'json'], {
      stdin: steps,
    });
    const [period] = JSON.parse(stdout).surfaces[0].periods;
    expect(period.condensation_hours_expected).toBeGreaterThan(1);
    expect(period.spells).toBe(1);
    expect(period.condensation_hours_expected + period.dry_hours + period.unknown_hours).toBeCloseTo(24, 2);
  });

  it('a sensor without error leaves nothing between certain and possible', async () => {
    const exact = ['--temperature-accuracy', '0', '--humidity-accuracy', '0'];
    const { stdout } = await call(
      ['damp', ...inUtc, '--surface', 'winch=PT3H', ...exact, '--format', 'json'],
      { stdin: steps },
    );
    const [{ accuracy, periods }] = JSON.parse(stdout).surfaces;
    expect(accuracy).toEqual({ air_temperature_K: 0, relative_humidity_pct: 0, from: 'option' });
    const { condensation_hours_certain: certain, condensation_hours_possible: possible } = periods[0];
    expect(certain).toBeGreaterThan(1);
    expect(possible).toBe(certain);
  });

  it.each([
    { surface: 'winch', why: 'no time constant' },
    { surface: '=PT3H', why: 'no name' },
    { surface: 'winch=3', why: 'no duration' },
    { surface: 'winch=P1M', why: 'no fixed duration' },
  ])('refuses --surface $surface: $why', async ({ surface }) => {
    const { code, stdout, stderr } = await call(['damp', '-', '--surface', surface], { stdin: steps });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/^dewledger: .*\n {2}.*\n$/);
  });

  it('refuses two surfaces of one name', async () => {
    const words = ['damp', '-', '--surface', 'winch=PT3H', '--surface', 'winch=PT1H'];
    const { code, stdout, stderr } = await call(words, { stdin: steps });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain('two surfaces have the same name: winch');
  });
});
