import { describe, expect, it } from 'vitest';
import { limitAt } from '../../src/audit/limits.js';
import { Flag } from '../../src/log/flag.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { auditOf, brief, findingsOf, type Line } from './auditing.js';
import { changed, ordinary, rewritten, round } from './ordinary.js';

const found = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'rate_of_change');

/** From line 200 on so many kelvins warmer and percent damper. */
const stepped = (kelvins: number, percent: number, lines = ordinary()) =>
  rewritten(lines, 200, lines.length, ({ temperature, humidity }) => ({
    temperature: round(temperature + kelvins),
    humidity: round(humidity + percent),
  }));

describe('rate of change', () => {
  it('finds nothing in ordinary air', () => {
    expect(found(ordinary())).toEqual([]);
  });

  it('finds a temperature that steps and stays, and calls the first value after the step questionable', () => {
    const lines = stepped(9, 0);
    expect(found(lines).map(brief)).toEqual([[2000, 2000, 1, 202, 202]]);
    const { flags } = auditOf(lines);
    expect(flags.temperature.slice(198, 203)).toEqual(Uint8Array.of(1, 1, Flag.questionable, 1, 1));
    expect(flags.humidity[200]).toBe(Flag.good);
  });

  it('never calls a step bad, however large', () => {
    const { flags } = auditOf(stepped(35, 0));
    expect(flags.temperature[200]).toBe(Flag.questionable);
  });

  it.each([
    [
      'warmed and nothing else',
      ordinary().map((line) => ({ ...line, temperature: 15, humidity: 60 })),
      9,
      -26.2,
    ],
    ['cold dry air through a window', ordinary(), -9, -10],
    [
      'moisture in still air',
      ordinary().map(({ minute }) => ({ minute, temperature: 20, humidity: 45 })),
      0,
      40,
    ],
    ['warm moist air', ordinary().map(({ minute }) => ({ minute, temperature: 20, humidity: 45 })), 2, 40],
  ])('leaves alone what is real: %s', (_, lines, kelvins, percent) => {
    expect(found(stepped(kelvins, percent, lines))).toEqual([]);
  });

  it('finds a humidity that falls in air that stays as it is', () => {
    expect(found(stepped(0, -40)).map(({ quantity }) => quantity)).toEqual(['relative_humidity']);
  });

  it('does not look across a gap', () => {
    expect(found(stepped(9, 0).filter((_, i) => i !== 199))).toEqual([]);
  });

  it('leaves to spike what jumps and comes back', () => {
    const { findings } = auditOf(changed(ordinary(), { 200: { temperature: 25 } }));
    expect(findings.map(({ check }) => check)).toEqual(['spike']);
  });

  it('bears with a room in which such steps are a habit', () => {
    const heated = ordinary().map((line, i) => ({
      ...line,
      temperature: line.temperature + (Math.floor(i / 10) % 2) * 8,
    }));
    expect(found(heated)).toEqual([]);
  });
});

describe('limits by interval', () => {
  const table = [
    [1, 3],
    [10, 6],
    [60, 10],
  ] as const;

  it('are those of the table, and linear in the logarithm of time in between', () => {
    expect([1, 10, 60].map((minutes) => limitAt(table, minutes * MINUTE))).toEqual([3, 6, 10]);
    expect(limitAt(table, Math.sqrt(10) * MINUTE)).toBeCloseTo(4.5, 10);
  });

  it('end where the table ends', () => {
    expect(limitAt(table, 1)).toBe(3);
    expect(limitAt(table, 5 * HOUR)).toBe(10);
  });
});
