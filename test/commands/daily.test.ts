import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { call, GOOD, sample, smallLog } from './call.js';

const COLUMNS =
  'logger,period_start,period_end,air_temperature_min_degC,air_temperature_min_time,air_temperature_max_degC,' +
  'air_temperature_max_time,air_temperature_mean_degC,relative_humidity_min_pct,relative_humidity_max_pct,' +
  'relative_humidity_mean_pct,dew_point_temperature_mean_degC,frost_hours,readings,coverage,complete';
const SITE = ['--site', sample('skerry-mere.toml')];
const RFC_3339 = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{3})?(Z|[+-]\d\d:\d\d)$/;

const CSV = await call(['daily', ...SITE, '--format', 'csv']);

describe('daily --format csv', () => {
  it('has these columns, and times with their offset', async () => {
    const { stdout, stderr, code } = CSV;
    expect({ stderr, code }).toEqual({ stderr: '', code: 0 });
    expect(stdout.split('\n')[0]).toBe(COLUMNS);
    const rows: Record<string, string>[] = parse(stdout, { columns: true });
    expect(new Set(rows.map(({ logger }) => logger))).toEqual(
      new Set(['boat-hall', 'sail-loft', 'battery-locker']),
    );
    for (const row of rows) {
      for (const name of ['period_start', 'period_end']) expect(row[name]).toMatch(RFC_3339);
      for (const name of ['air_temperature_min_time', 'air_temperature_max_time']) {
        expect(row[name] === '' || RFC_3339.test(row[name]!)).toBe(true);
      }
      expect(row.readings).toMatch(/^\d+$/);
      expect(Number(row.coverage)).toBeGreaterThanOrEqual(0);
      expect(Number(row.coverage)).toBeLessThanOrEqual(1);
      expect(['true', 'false']).toContain(row.complete);
    }
  });

  it('says the same as the JSON', async () => {
    const json = await call(['daily', ...SITE, '--format', 'json']);
    const document = JSON.parse(json.stdout);
    expect(document).toMatchObject({
      format: 'dewledger/daily',
      version: 1,
      zone: 'Europe/London',
      per: 'day',
    });
    const periods = document.logs.flatMap(({ periods }: { periods: Record<string, unknown>[] }) => periods);
    const rows: string[][] = parse(CSV.stdout, { from_line: 2 });
    const names = COLUMNS.split(',');
    expect(rows).toEqual(
      periods.map((period: Record<string, unknown>) => {
        expect(Object.keys(period).slice(0, names.length)).toEqual(names);
        return names.map((name) => (period[name] === null ? '' : `${period[name]}`));
      }),
    );
  });
});

describe('a day', () => {
  const day = (values: (i: number) => readonly [number | string, number | string]) =>
    smallLog(Array.from({ length: 145 }, (_, i) => values(i)));
  const summary = async (text: string, ...words: string[]) => {
    const { stdout } = await call(
      ['daily', '-', '--zone', 'UTC', '--day', '2025-10-01', '--format', 'json', ...words],
      { stdin: text },
    );
    return JSON.parse(stdout).logs[0].periods[0];
  };

  it('that was whole has means weighted by time, up to the reading at midnight', async () => {
    // a straight line from 0 to 14.4 °C: its mean is the middle, whatever the number of readings
    expect(await summary(day((i) => [i / 10, 50]))).toMatchObject({
      air_temperature_min_degC: 0,
      air_temperature_min_time: '2025-10-01T00:00:00Z',
      air_temperature_max_degC: 14.3,
      air_temperature_max_time: '2025-10-01T23:50:00Z',
      air_temperature_mean_degC: 7.2,
      relative_humidity_mean_pct: 50,
      frost_hours: 0,
      readings: 144,
      coverage: 1,
      complete: true,
    });
  });

  it('with frost has its hours from the crossings of 0 °C', async () => {
    // −1 °C up to noon, +1 °C from 12:10 on: below 0 °C for twelve hours and five minutes
    const { frost_hours, not_frost_hours } = await summary(day((i) => [i <= 72 ? -1 : 1, 50]));
    expect([frost_hours, not_frost_hours]).toEqual([12.083, 11.917]);
  });

  it('without a temperature has no frost hours, which is not none', async () => {
    expect(await summary(day(() => ['', 50]))).toMatchObject({
      air_temperature_min_degC: null,
      air_temperature_mean_degC: null,
      frost_hours: null,
      relative_humidity_mean_pct: 50,
      coverage: 0,
      complete: false,
    });
  });

  it('does not count bad values', async () => {
    expect(await summary(day((i) => [i === 60 ? 850 : 10, i === 61 ? -999 : 50]))).toMatchObject({
      air_temperature_max_degC: 10,
      relative_humidity_min_pct: 50,
    });
  });

  it.each(['hour', 'day', 'week', 'month', 'year'])('and every other %s loses no reading', async (per) => {
    const { stdout } = await call(['daily', '-', '--zone', 'UTC', '--per', per, '--format', 'csv'], {
      stdin: day(() => [10, 50]),
    });
    const rows: Record<string, string>[] = parse(stdout, { columns: true });
    expect(rows.reduce((sum, { readings }) => sum + Number(readings), 0)).toBe(145);
    for (const [i, row] of rows.entries()) {
      if (i > 0) expect(row.period_start).toBe(rows[i - 1]!.period_end);
    }
  });
});

describe('the table', () => {
  it('has no legend where it has no rows', async () => {
    expect(await call(['daily', '-'], { stdin: '' })).toEqual({
      code: 0,
      stdout: '',
      stderr: 'dewledger: stdin: no reading\n',
    });
  });

  it('names the zone', async () => {
    const { stdout } = await call(['daily', '-', '--zone', 'Europe/London'], { stdin: GOOD });
    expect(stdout).toMatch(/^stdin, Europe\/London\n/);
  });
});
