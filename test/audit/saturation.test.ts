import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { Flag } from '../../src/log/flag.js';
import { at, auditOf, brief, findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';
import { dampWinter } from './dampWinter.js';
import { changed, ordinary, rewritten, round } from './ordinary.js';

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

  it('believes another logger that is wet at the same time, and none that is not', () => {
    const besides = (humidity: number) => {
      const other = readingOf([ordinary(2000).map((line) => ({ ...line, humidity }))]).log;
      return findingsOf(audit(readingOf([soaked(30)]), SETTINGS, new Set(), [other]), 'saturation');
    };
    expect(besides(98)).toEqual([]);
    expect(besides(90)).toHaveLength(1);
  });
});

describe('saturation in a damp winter', () => {
  const SEEDS = Array.from({ length: 12 }, (_, i) => i + 1);
  const shore = SEEDS.map((seed) => dampWinter(seed));

  it('is at its rail for days, and comes down', () => {
    const longest = shore.map((lines) => longestWet(lines));
    expect(longest.filter((hours) => hours >= 24).length).toBeGreaterThanOrEqual(10);
  });

  it('is not accused as a rule, and never surely', () => {
    const all = shore.map(found);
    expect(all.filter((findings) => findings.length > 0).length).toBeLessThanOrEqual(3);
    expect(all.flat().filter(({ confidence }) => confidence !== 'possible')).toEqual([]);
  });

  it('is not accused at all where a second logger hangs beside', () => {
    for (const [i, lines] of shore.entries()) {
      const other = readingOf([dampWinter(SEEDS[i]!, -1)]).log;
      const beside = audit(readingOf([lines]), SETTINGS, new Set(), [other]);
      expect(findingsOf(beside, 'saturation')).toEqual([]);
    }
  });

  it('is accused where mornings of 6 K leave it at its rail', () => {
    const hit = shore.filter((lines) => {
      const from = Math.floor(lines.length / 2);
      const stuck = rewritten(lines, from, from + 4 * 48, (line) => ({
        temperature: round(3 + 4 * Math.sin((2 * Math.PI * line.minute) / 1440)),
        humidity: 100,
      }));
      return found(stuck).some(({ until }) => until! >= at(lines[from]!.minute + 1440));
    });
    expect(hit).toHaveLength(SEEDS.length);
  });
});

/** The longest stretch at 99.5 % and more, in hours; the lines come every half hour. */
function longestWet(lines: readonly Line[]): number {
  let most = 0;
  let now = 0;
  for (const { humidity } of lines) {
    now = humidity >= 99.5 ? now + 1 : 0;
    most = Math.max(most, now);
  }
  return most / 2;
}
