import { describe, expect, it } from 'vitest';
import { call, sample } from './call.js';

const audit = (...words: string[]) =>
  call(['audit', sample('boat-hall.csv'), '--zone', 'Europe/London', '--fail-on', 'never', ...words]);

describe('audit --sharing', () => {
  it('adds to the JSON what is to be known, and what can be read with its measure', async () => {
    const [log] = JSON.parse((await audit('--sharing', '--format', 'json')).stdout).logs;
    expect(log.sharing).toMatchObject({
      zone: 'Europe/London',
      units: ['degC', 'pct'],
      cadence_s: 1800,
      accuracy: { air_temperature_K: 0.5, relative_humidity_pct: 3, source: 'assumed' },
      gaps: { count: 2, longest_hours: 4 },
    });
    const { readable } = log.sharing;
    expect(readable.map((each: object) => Object.keys(each))).toEqual(
      readable.map(() => ['what', 'shown', 'measured', 'against']),
    );
    // what is not shown needs nothing against it
    for (const { shown, against } of readable) expect(against !== null).toBe(shown === true);
    const [plain] = JSON.parse((await audit('--format', 'json')).stdout).logs;
    expect(plain).not.toHaveProperty('sharing');
  });

  it('stands under the findings, with what was not looked at', async () => {
    const { stdout } = await audit('--sharing');
    expect(stdout.startsWith((await audit()).stdout)).toBe(true);
    expect(stdout).toContain('clean --rename boat-hall=A');
    expect(stdout).toContain('Not looked at');
  });

  it('has no rows for csv: exit 2', async () => {
    const { code, stdout, stderr } = await audit('--sharing', '--format', 'csv');
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain('take --format table, markdown or json');
  });
});
