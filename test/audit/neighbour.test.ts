import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { Flag } from '../../src/log/flag.js';
import { randomFrom } from '../score/random.js';
import { findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';
import { rewritten, round } from './ordinary.js';

const DAYS = 40;
const HOURS = 24;
const DAY = HOURS; // hourly readings

/** Hourly weather: a daily wave on a slow course of its own, the same for every logger of a place. */
function weather(offset: number, days = DAYS): Line[] {
  return Array.from({ length: days * DAY }, (_, hour) => {
    const slow = 4 * Math.sin(hour / 37) + 3 * Math.sin(hour / 61 + 1);
    const daily = 3 * Math.sin((2 * Math.PI * hour) / 24);
    const scatter = (((hour * 7919 + 31 * offset) % 13) - 6) / 30;
    return {
      minute: 60 * hour,
      temperature: round(10 + offset + slow + daily + scatter),
      humidity: round(70 - 2 * slow - 3 * daily + 2 * scatter),
    };
  });
}

const logOf = (lines: readonly Line[]) => readingOf([lines]).log;
const against = (lines: readonly Line[], others: readonly (readonly Line[])[]) =>
  audit(readingOf([lines]), SETTINGS, new Set(), others.map(logOf));
const found = (lines: readonly Line[], others: readonly (readonly Line[])[]) =>
  findingsOf(against(lines, others), 'neighbour');

const warmer = (lines: readonly Line[], from: number, to: number, kelvins = 6) =>
  rewritten(lines, from, to, ({ temperature }) => ({ temperature: round(temperature + kelvins) }));

describe('neighbour', () => {
  it('finds nothing among loggers that follow each other, whatever their offsets', () => {
    expect(found(weather(0), [weather(5), weather(-3)])).toEqual([]);
  });

  it('finds the one that leaves two others, and calls its values questionable', () => {
    const lines = warmer(weather(0), 500, 560);
    const { findings, flags } = against(lines, [weather(5), weather(-3)]);
    const [finding, ...rest] = findings.filter(({ check }) => check === 'neighbour');
    expect(rest).toEqual([]);
    expect(finding).toMatchObject({ quantity: 'air_temperature', confidence: 'likely', count: 60 });
    const marked = [...flags.temperature.slice(500, 560)];
    expect(marked.every((flag) => flag === Flag.questionable)).toBe(true);
    expect(flags.humidity[510]).toBe(Flag.good);
  });

  it('does not take for usual what has gone on for a quarter of the log', () => {
    const unsteady = (offset: number) => {
      const { normal } = randomFrom(100 + offset);
      return weather(offset, 21).map((line) => ({
        ...line,
        humidity: round(line.humidity + 1.6 * normal()),
      }));
    };
    const lines = rewritten(unsteady(0), 200, 330, ({ humidity }) => ({ humidity: round(humidity - 11.5) }));
    expect(found(lines, [unsteady(5), unsteady(-3)])).toMatchObject([{ quantity: 'relative_humidity' }]);
    expect(found(unsteady(0), [unsteady(5), unsteady(-3)])).toEqual([]);
  });

  it('asks the others in spite of days on which they hang or speak another unit', () => {
    const restless = (offset: number) => {
      const { normal } = randomFrom(200 + offset);
      return weather(offset, 21).map((line) => ({
        ...line,
        temperature: round(line.temperature + 0.5 * normal()),
      }));
    };
    const others = [
      rewritten(restless(5), 20, 150, () => ({ temperature: 11.5 })),
      rewritten(restless(-3), 20, 150, ({ temperature }) => ({ temperature: round(1.8 * temperature + 32) })),
    ];
    expect(found(warmer(restless(0), 300, 360, 4.5), others)).toMatchObject([
      { quantity: 'air_temperature' },
    ]);
    expect(found(restless(0), others)).toEqual([]);
  });

  it('does not let one that follows from afar outvote those that follow closely', () => {
    // under a roof the weather is the same, but all of it is more
    const loft = weather(2).map((line) => ({
      ...line,
      temperature: round(10 + 1.6 * (line.temperature - 10)),
    }));
    const lines = warmer(weather(0), 500, 560, 4);
    expect(found(lines, [weather(5), weather(-3), loft, loft])).toHaveLength(1);
  });

  it('does not blame the others for a humidity that has fallen to nothing', () => {
    const dry = rewritten(weather(5), 480, 600, () => ({ humidity: 0.4 }));
    expect(found(weather(0), [dry, dry])).toEqual([]);
  });

  it('does not blame the two that stay together', () => {
    const astray = warmer(weather(5), 500, 560);
    expect(found(weather(0), [astray, weather(-3)])).toEqual([]);
  });

  it('takes less than a day for a window or a heater', () => {
    expect(found(warmer(weather(0), 500, 515), [weather(5), weather(-3)])).toEqual([]);
  });

  it('asks a single other logger only after eight weeks, and cannot tell which of the two it is', () => {
    expect(found(warmer(weather(0), 500, 560), [weather(5)])).toEqual([]);
    const long = warmer(weather(0, 70), 500, 560);
    expect(found(long, [weather(5, 70)]).map(({ confidence }) => confidence)).toEqual(['possible']);
  });

  it('does not ask loggers that go their own way', () => {
    const heated = weather(0).map((line, i) => ({ ...line, temperature: 21 + (i % 5) / 10 }));
    const other = weather(0).map((line, i) => ({ ...line, temperature: 18 + ((i * 31) % 17) / 10 }));
    expect(found(warmer(weather(0), 500, 560), [heated, other])).toEqual([]);
  });

  it('does not ask loggers of another time', () => {
    const later = weather(5).map((line) => ({ ...line, minute: line.minute + 60 * 24 * 365 }));
    expect(found(warmer(weather(0), 500, 560), [later, later])).toEqual([]);
  });

  it('bears with codes for "no value" in the other logs', () => {
    const torn = rewritten(weather(5), 480, 600, () => ({ temperature: -127 }));
    expect(found(weather(0), [torn, weather(-3)])).toEqual([]);
  });

  it('says nothing without others, or about a log without readings', () => {
    expect(found(weather(0), [])).toEqual([]);
    expect(found([], [weather(0), weather(1)])).toEqual([]);
  });
});
