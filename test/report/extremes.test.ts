import { describe, expect, it } from 'vitest';
import { call, folderOf, tenMinutes } from '../commands/call.js';

/** A day of quiet readings with some of them replaced. */
async function pageOf(odd: Readonly<Record<number, number>>): Promise<string> {
  const rows = Array.from(
    { length: 144 },
    (_, i) => `${tenMinutes(i)},${odd[i] ?? (12 + 4 * Math.sin((i - 50) / 23)).toFixed(1)},${60 + (i % 7)}`,
  );
  const cwd = folderOf({ 'loft.csv': `time,temperature,humidity\n${rows.join('\n')}\n` });
  const { stdout } = await call(['report', 'loft.csv', '--zone', 'UTC', '--day', '2025-10-01'], { cwd });
  return stdout;
}

describe('the warmest and the coldest reading', () => {
  it('that nothing speaks against stand with the readings beside them', async () => {
    const page = await pageOf({});
    expect(page).toMatch(
      /warmest {3}16\.0 °C\n +\d\d:\d\d; no check speaks against it \(15\.9 before, 16\.0 after\)\n/,
    );
  });

  it('that no air can have does not count, and is told', async () => {
    expect(await pageOf({ 60: 81.3 })).toMatch(
      /warmest {3}16\.0 °C\n.*; 81\.3 °C of 10:00 is not counted: values that no air can have/,
    );
    expect(await pageOf({ 60: -91 })).toMatch(/coldest {3}8\.0 °C\n.*; -91\.0 °C of 10:00 is not counted/);
  });

  it('of a day that was hardly seen are bounds', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => `${tenMinutes(i)},${10 + (i % 9) / 10},60`);
    const cwd = folderOf({ 'loft.csv': `time,temperature,humidity\n${rows.join('\n')}\n` });
    const { stdout } = await call(['report', 'loft.csv', '--zone', 'UTC', '--day', '2025-10-01'], { cwd });
    expect(stdout).toMatch(/warmest {3}at least 10\.8 °C/);
    expect(stdout).toMatch(/coldest {3}at most 10\.0 °C/);
    expect(stdout).toMatch(/mean {6}unknown\n +withheld/);
    expect(stdout).toMatch(/unknown {2}air: not wet; 19\.\d h unknown/);
  });
});
