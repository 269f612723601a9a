import { describe, expect, it } from 'vitest';
import { Flag } from '../../src/log/flag.js';
import { auditOf, brief, findingsOf, type Line } from './auditing.js';
import { ordinary, rewritten, round } from './ordinary.js';

const flat = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'flat_line');
const HOURS = 6; // readings every ten minutes

/** Written in whole degrees, in whole percent, or both. */
const whole = (lines: readonly Line[], both: boolean) =>
  lines.map((line) => ({
    ...line,
    temperature: both ? Math.round(line.temperature) : line.temperature,
    humidity: Math.round(line.humidity),
  }));

describe('flat line of both quantities', () => {
  const frozen = (hours: number, lines = ordinary(1000)) =>
    rewritten(lines, 300, 301 + hours * HOURS, () => ({
      temperature: lines[300]!.temperature,
      humidity: lines[300]!.humidity,
    }));

  it('finds nothing in ordinary air, whatever the digits', () => {
    expect(flat(ordinary(1000))).toEqual([]);
    expect(flat(whole(ordinary(1000), false))).toEqual([]);
    expect(flat(whole(ordinary(1000), true))).toEqual([]);
  });

  it.each([
    ['tenths', (lines: readonly Line[]) => [...lines], 2, 4, 11, 13],
    ['whole percent', (lines: readonly Line[]) => whole(lines, false), 6, 8, 23, 25],
    ['whole degrees too', (lines: readonly Line[]) => whole(lines, true), 14, 16, 47, 49],
  ])('%s: questionable, then bad, each after its time', (_, written, quiet, long, almost, bad) => {
    const worst = (hours: number) => {
      const { flags } = auditOf(frozen(hours, written(ordinary(1000))));
      expect(flags.temperature[310]).toBe(flags.humidity[310]);
      return flags.temperature[310];
    };
    expect(worst(quiet)).toBe(Flag.good);
    expect(worst(long)).toBe(Flag.questionable);
    expect(worst(almost)).toBe(Flag.questionable);
    expect(worst(bad)).toBe(Flag.bad);
  });

  it('goes by the digits of the time, where another sensor writes whole numbers', () => {
    // a quiet room: a step of a whole degree or per cent every ten hours, scatter in tenths
    const quiet = ordinary(3000).map((line, i) => ({
      ...line,
      temperature: round(12.1 + Math.floor((i % 120) / 60) + ((i * 7919) % 5) / 10),
      humidity: round(70.1 + Math.floor((i % 120) / 60) + ((i * 104729) % 5) / 10),
    }));
    const changing = [...quiet.slice(0, 1500), ...whole(quiet.slice(1500), true)];
    expect(flat(changing)).toEqual([]);
    const hung = (from: number, hours: number) =>
      rewritten(changing, from, from + hours * HOURS, () => ({ temperature: 15, humidity: 60 }));
    expect(flat(hung(600, 5))).toHaveLength(1);
    expect(flat(hung(2100, 9))).toEqual([]);
    expect(flat(hung(2100, 40))).toHaveLength(1);
  });

  it('tells where it is, and marks the whole of it', () => {
    const { findings, flags } = auditOf(frozen(5));
    const found = findings.filter(({ check }) => check === 'flat_line');
    expect(found.map(brief)).toEqual([[3000, 3300, 31, 302, 332]]);
    const marked = [...flags.temperature].flatMap((flag, row) => (flag === Flag.good ? [] : [row]));
    expect([marked[0], marked.at(-1), marked.length]).toEqual([300, 330, 31]);
  });

  it('finds a logger that never says anything else', () => {
    const still = ordinary(200).map((line) => ({ ...line, temperature: 21.5, humidity: 40 }));
    expect(flat(still)).toHaveLength(1);
  });

  it('bears with a room that often stands still for hours', () => {
    const quiet = ordinary(3000).map((line, i) =>
      i % 100 < 24 ? { ...line, temperature: 20.1, humidity: 45.2 } : line,
    );
    const frozenOnce = rewritten(quiet, 1000, 1000 + 4 * HOURS, () => ({
      temperature: 20.1,
      humidity: 45.2,
    }));
    expect(flat(frozenOnce)).toEqual([]);
  });

  it('takes a night of fog, with the humidity at its end, for fog', () => {
    const fog = (hours: number) =>
      rewritten(ordinary(1000), 300, 301 + hours * HOURS, () => ({ temperature: 6.1, humidity: 100 }));
    expect(flat(fog(8))).toEqual([]);
    expect(flat(fog(25))).toHaveLength(1);
  });

  it('tells very many in one finding', () => {
    const lines = ordinary(21 * 1000).map((line, i) =>
      i % 1000 < 25 ? { ...line, temperature: 12.3, humidity: 66.6 } : line,
    );
    const { findings, flags } = auditOf(lines);
    const found = findings.filter(({ check }) => check === 'flat_line');
    expect(found).toMatchObject([{ count: 21 * 25, lines: [2, 20_026] }]);
    expect([flags.humidity[0], flags.humidity[20_024], flags.humidity[500]]).toEqual([
      Flag.questionable,
      Flag.questionable,
      Flag.good,
    ]);
  });

  it('does not take what stands on either side of a gap for one stretch', () => {
    const lines = frozen(4).filter((_, i) => i < 310 || i >= 316);
    expect(flat(lines)).toEqual([]);
  });
});

describe('flat line of one quantity', () => {
  const DAY = 144;

  it('finds a temperature that stands for a day while the humidity moves on', () => {
    const lines = rewritten(ordinary(1000), 300, 310 + DAY, () => ({ temperature: 12.3 }));
    const { findings, flags } = auditOf(lines);
    expect(findings.map(({ check, quantity, confidence }) => [check, quantity, confidence])).toEqual([
      ['flat_line', 'air_temperature', 'possible'],
    ]);
    expect(flags.temperature[310]).toBe(Flag.questionable);
    expect(flags.humidity[310]).toBe(Flag.good);
  });

  it('finds a temperature that has stood since the start', () => {
    const lines = ordinary(1000).map((line) => ({ ...line, temperature: 25 }));
    expect(flat(lines).map(({ quantity, count }) => [quantity, count])).toEqual([['air_temperature', 1000]]);
    expect(flat(lines.slice(0, 400))).toEqual([]); // less than three days may be a thermostat
  });

  it('finds a humidity that stands while the temperature moves on, but for the ends of its scale', () => {
    const stuck = (humidity: number) => rewritten(ordinary(1000), 300, 310 + DAY, () => ({ humidity }));
    expect(flat(stuck(66.6)).map(({ quantity }) => quantity)).toEqual(['relative_humidity']);
    expect(flat(stuck(100))).toEqual([]);
  });

  it('bears with a heated room whose temperature stands for a day at a time', () => {
    const heated = ordinary(3000).map((line, i) => ({
      ...line,
      temperature: 20 + (Math.floor(i / 160) % 2),
    }));
    expect(flat(heated)).toEqual([]);
  });

  it('bears with quiet air in which neither moves as it does elsewhere', () => {
    const lines = rewritten(ordinary(2000), 300, 310 + DAY, ({ minute }) => ({
      temperature: 12.3,
      humidity: Math.floor(minute / 20) % 2 === 0 ? 70 : 70.1,
    }));
    expect(flat(lines)).toEqual([]);
  });
});
