import { describe, expect, it } from 'vitest';
import { Flag } from '../../src/log/flag.js';
import { auditOf, brief, findingsOf, type Line } from './auditing.js';
import { ordinary, rewritten, round } from './ordinary.js';

const found = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'unit_change');
const fahrenheit = ({ temperature }: Line) => ({ temperature: round(1.8 * temperature + 32) });

describe('unit change', () => {
  it('finds nothing in ordinary air', () => {
    expect(found(ordinary())).toEqual([]);
  });

  it('finds °F among °C up to the end, and calls those values bad', () => {
    const { findings, flags } = auditOf(rewritten(ordinary(), 300, 432, fahrenheit));
    expect(findings.map(({ check }) => check)).toEqual(['unit_change']);
    expect(findings.map(brief)).toEqual([[3000, 4310, 132, 302, 433]]);
    expect([flags.temperature[299], flags.temperature[300], flags.temperature[431]]).toEqual([
      Flag.good,
      Flag.bad,
      Flag.bad,
    ]);
    expect(flags.humidity[300]).toBe(Flag.good);
  });

  it('finds °F from the start, and in the middle', () => {
    expect(found(rewritten(ordinary(), 0, 150, fahrenheit)).map(({ count }) => count)).toEqual([150]);
    expect(found(rewritten(ordinary(), 150, 250, fahrenheit)).map(({ count }) => count)).toEqual([100]);
  });

  it('finds °C in a log that was read as °F', () => {
    const celsius = ({ temperature }: Line) => ({ temperature: (temperature - 32) / 1.8 });
    const [finding] = found(rewritten(ordinary(), 300, 432, celsius));
    expect(finding).toMatchObject({ count: 132, message: '132 values in °C among °F' });
  });

  it('tells warm rooms too, of which the values in °F are hotter than any air', () => {
    const warm = ordinary().map((line) => ({ ...line, temperature: round(line.temperature + 10) }));
    const { findings } = auditOf(rewritten(warm, 300, 432, fahrenheit));
    expect(findings.map(({ check }) => check)).toEqual(['unit_change']);
  });

  it('finds humidity as a fraction', () => {
    const fraction = ({ humidity }: Line) => ({ humidity: humidity / 100 });
    const { findings, flags } = auditOf(rewritten(ordinary(), 300, 432, fraction));
    expect(findings.filter(({ check }) => check === 'unit_change').map(({ count }) => count)).toEqual([132]);
    expect([flags.humidity[299], flags.humidity[300]]).toEqual([Flag.good, Flag.bad]);
  });

  it('takes a sensor that falls dry to 0 for no change of unit', () => {
    expect(found(rewritten(ordinary(), 300, 432, () => ({ humidity: 0 })))).toEqual([]);
  });

  it('takes a logger that is carried from the cold into a room for no change of unit', () => {
    // -6 °C is 21.2 °F, but the air of the room is dry
    const lines = ordinary().map((line, i) =>
      i < 200
        ? { ...line, temperature: round(line.temperature / 10 - 6) }
        : { ...line, temperature: round(line.temperature / 10 + 21), humidity: round(line.humidity - 40) },
    );
    expect(found(lines)).toEqual([]);
  });

  it('ends with the change back, though that alone would be no proof, as over a gap', () => {
    const gap = (lines: readonly Line[]) => lines.filter((_, i) => i < 150 || i >= 160);
    const { findings } = auditOf(gap(rewritten(ordinary(), 100, 155, fahrenheit)));
    const told = findings.filter(({ check }) => check === 'unit_change');
    expect(told.map(({ count }) => count)).toEqual([50]);
  });

  it('goes on over a spike of two that looks like the change back', () => {
    const lines = rewritten(rewritten(ordinary(), 100, 300, fahrenheit), 200, 202, () => ({
      temperature: 12,
    }));
    expect(found(lines).map(({ lines: range }) => range)).toEqual([[102, 301]]);
  });

  it('takes a change over a long gap for weather', () => {
    const lines = rewritten(ordinary(), 300, 432, fahrenheit).filter((_, i) => i < 290 || i >= 300);
    expect(found(lines)).toEqual([]);
  });
});
