import { describe, expect, it } from 'vitest';
import { Flag } from '../../src/log/flag.js';
import { auditOf, brief, findingsOf, type Line } from './auditing.js';
import { changed, ordinary, rewritten } from './ordinary.js';

const found = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'saturation');
const HOURS = 6; // readings every ten minutes

describe('saturation', () => {
  const soaked = (hours: number, humidity = 100, lines = ordinary(2000)) =>
    rewritten(lines, 300, 301 + hours * HOURS, () => ({ humidity }));

  it('finds nothing in ordinary air', () => {
    expect(found(ordinary(2000))).toEqual([]);
  });

  it('finds a day and more at the upper end, and calls the humidity alone questionable', () => {
    const { flags } = auditOf(soaked(30));
    expect(found(soaked(30)).map(brief)).toEqual([[3000, 4800, 181, 302, 482]]);
    expect(flags.humidity[400]).toBe(Flag.questionable);
    expect(flags.temperature[400]).toBe(Flag.good);
  });

  it('takes less than a day for fog', () => {
    expect(found(soaked(20))).toEqual([]);
  });

  it('takes saturated air that stays as warm as it is for fog, however long', () => {
    const steady = ordinary(2000).map((line) => ({ ...line, temperature: 8 + (line.temperature - 12) / 3 }));
    expect(found(soaked(60, 100, steady))).toEqual([]);
  });

  it('sees through moments in which the sensor lets go', () => {
    expect(found(changed(soaked(30), { 350: { humidity: 97 }, 351: { humidity: 96 } }))).toHaveLength(1);
  });

  it('counts the shorter stretches around a long one as the same trouble', () => {
    const lines = rewritten(soaked(30), 600, 601 + 8 * HOURS, () => ({ humidity: 99.9 }));
    const all = found(lines);
    expect(all.map(({ count }) => count)).toEqual([181 + 49]);
    expect(auditOf(lines).flags.humidity[540]).toBe(Flag.good);
  });

  it('finds six hours at the lower end', () => {
    expect(found(soaked(7, 1)).map(({ count }) => count)).toEqual([43]);
    expect(found(soaked(7, 0.3))).toHaveLength(1);
    expect(found(soaked(5, 1))).toEqual([]);
    expect(found(soaked(7, 1.5))).toEqual([]);
  });
});
