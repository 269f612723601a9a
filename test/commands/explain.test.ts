import { describe, expect, it } from 'vitest';
import { CHECKS } from '../../src/audit/checks.js';
import { KNOWN_KEYS } from '../../src/site/schema.js';
import { call, folderOf } from './call.js';

const site = `zone = "UTC"
[limits.spike]
air_temperature_K = 4
[[logger]]
id = "west"
files = []
cadence = "PT15M"
[logger.limits.spike]
air_temperature_K = 2
[[logger]]
id = "east"
files = []
[logger.limits]
air_temperature_degC = [-30, 45]
`;
const cwd = folderOf({ 'dewledger.toml': site });
const limitsOf = async (check: string, ...words: string[]) => {
  const { stdout } = await call(['audit', '--explain', check, '--format', 'json', ...words], { cwd });
  return JSON.parse(stdout).checks[0].limits;
};

describe('audit --explain', () => {
  it('says method, source and advice, reads no log and waits for none', async () => {
    const { code, stdout, stderr } = await call(['audit', '--explain', 'spike'], { terminal: true });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const { method, source, advice } = CHECKS.find(({ name }) => name === 'spike')!;
    for (const text of [method, source, advice]) expect(stdout).toContain(text);
    expect(stdout).toContain('limits.spike.air_temperature_K');
  });

  it('has the limits in force, those of the site with the loggers they hold for', async () => {
    const rows = await limitsOf('spike');
    expect(rows).toContainEqual({
      limit: 'temperature',
      in_force: '2 K at every interval',
      from: 'site file',
      key: 'limits.spike.air_temperature_K',
      loggers: ['west'],
    });
    expect(rows).toContainEqual(
      expect.objectContaining({ in_force: '4 K at every interval', from: 'site file', loggers: ['east'] }),
    );
    expect(rows).toContainEqual(
      expect.objectContaining({ limit: 'humidity', from: 'default', loggers: null }),
    );
    expect(await limitsOf('gap', '--logger', 'west')).toMatchObject([
      { in_force: '15 min', from: 'site file' },
    ]);
    expect(await limitsOf('gap', '--cadence', 'PT5M')).toMatchObject([{ in_force: '5 min' }]);
    expect(await limitsOf('gross_range', '--logger', 'east')).toMatchObject([
      { in_force: '-30 to 45 °C', from: 'site file' },
      { in_force: '0 to 104 %', from: 'default' },
    ]);
  });

  it('knows all checks, and every key that it names is one of the site file', async () => {
    const { stdout } = await call(['audit', '--explain', 'all', '--format', 'json'], { cwd });
    const { checks } = JSON.parse(stdout);
    expect(checks.map(({ check }: { check: string }) => check)).toEqual(CHECKS.map(({ name }) => name));
    const keys = checks.flatMap(({ limits }: { limits: { key: string }[] }) => limits.map(({ key }) => key));
    expect(keys.length).toBeGreaterThan(10);
    for (const key of keys) {
      const path = `logger.${key}`;
      const at = path.lastIndexOf('.');
      expect(KNOWN_KEYS.get(path.slice(0, at))).toContain(path.slice(at + 1));
    }
  });

  it('takes several names, once each, and CSV has a row for each', async () => {
    const words = ['audit', '--explain', 'gap,spike', '--explain', 'gap', '--format', 'csv'];
    const { stdout } = await call(words, { cwd });
    expect(stdout.split('\n').map((line) => line.split(',')[0])).toEqual(['check', 'gap', 'spike', '']);
  });

  it('of a name that is none: exit 2, and what may have been meant', async () => {
    const { code, stdout, stderr } = await call(['audit', '--explain', 'spikes'], { cwd });
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toBe('dewledger: there is no check of this name: spikes\n  did you mean spike?\n');
  });
});
