import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clean } from '../../src/cleaning/clean.js';
import { coarsen } from '../../src/cleaning/coarsen.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { auditOf, type Line, START, steadily } from '../audit/auditing.js';
import { ordinary } from '../audit/ordinary.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };
const coarsened = (lines: readonly Line[], step = HOUR) => coarsen(clean(auditOf(lines), ACCURACY), step);
const minutes = (time: Float64Array) => Array.from(time, (instant) => (instant - START) / MINUTE);

describe('a log in coarser time', () => {
  it('has the means of its steps at their middles', () => {
    const { log, flags } = coarsened(ordinary(432));
    expect(minutes(log.time).slice(0, 3)).toEqual([30, 90, 150]);
    expect(log.length).toBe(72);
    const sixth = ordinary(432)
      .slice(36, 42)
      .map(({ temperature }) => temperature);
    expect(log.temperature[6]).toBeCloseTo(sixth.reduce((sum, each) => sum + each, 0) / 6, 1);
    expect(new Set(flags.temperature)).toEqual(new Set([1]));
  });

  it('weights readings by their time, so that a burst of them counts no more', () => {
    const burst = Array.from({ length: 20 }, (_, i) => ({
      minute: 30 + i / 60,
      temperature: 20,
      humidity: 60,
    }));
    const lines = [...steadily(10, { temperature: new Array<number>(60).fill(10) }), ...burst.slice(1)];
    expect(coarsened(lines).log.temperature[0]).toBeLessThan(12);
  });

  it.each([
    { why: 'five of six readings', missing: [2], value: 15, flag: 2 },
    { why: 'half of them', missing: [0, 2, 4], value: NaN, flag: 9 },
  ])('from $why: $value', ({ missing, value, flag }) => {
    const lines = steadily(10, { temperature: new Array<number>(12).fill(15) });
    const { log, flags } = coarsened(
      lines.map((line, i) => (missing.includes(i) ? { ...line, temperature: NaN } : line)),
    );
    expect([log.temperature[0], flags.temperature[0]]).toEqual([value, flag]);
    expect(log.temperature[1]).toBe(15);
  });

  it('leaves bad values out, and says bad where there is nothing else', () => {
    const lines = steadily(10, {
      temperature: [15, 15, 15, 90, 15, 15, ...new Array<number>(6).fill(90), 15, 15, 15, 15, 15, 15],
    });
    const { log, flags } = coarsened(lines);
    expect([...log.temperature]).toEqual([15, NaN, 15]);
    expect([...flags.temperature]).toEqual([2, 4, 2]);
  });

  it('keeps a question that one of its readings raises', () => {
    const { flags } = coarsened(steadily(10, { humidity: [98, 99, 101, 98, 97, 96] }));
    expect([...flags.humidity]).toEqual([3]);
  });

  it('of a slower log has its readings, at the middle of the step', () => {
    const { log } = coarsened(steadily(180, { temperature: [15, 16.123, 17] }), HOUR);
    expect(minutes(log.time)).toEqual([30, 210, 390]);
    expect([...log.temperature]).toEqual([15, 16.12, 17]);
  });
});

it('coarsened again it stays as it is, cleaned between or not, and lies within what it was made from', () => {
  const reading = fc.record({
    minute: fc.integer({ min: 0, max: 600 }),
    temperature: fc.oneof(
      { weight: 9, arbitrary: fc.integer({ min: -100, max: 300 }).map((t) => t / 10) },
      { weight: 1, arbitrary: fc.constantFrom(NaN, 85, 90, -127) },
    ),
    humidity: fc.oneof(
      { weight: 9, arbitrary: fc.integer({ min: 0, max: 1040 }).map((h) => h / 10) },
      { weight: 1, arbitrary: fc.constantFrom(NaN, -1, 150) },
    ),
  });
  const steps = fc.constantFrom(5 * MINUTE, 15 * MINUTE, HOUR, 3 * HOUR);
  fc.assert(
    fc.property(fc.array(reading, { maxLength: 60 }), steps, (lines, step) => {
      const cleaned = clean(auditOf(lines), ACCURACY);
      const once = coarsen(cleaned, step);
      const lowest = Math.min(...cleaned.log.temperature.filter((value) => !Number.isNaN(value)));
      for (const value of once.log.temperature)
        if (!Number.isNaN(value)) expect(value).toBeGreaterThanOrEqual(lowest - 0.005);
      const again = Array.from(
        once.log.time,
        (instant, row): Line => ({
          minute: (instant - START) / MINUTE,
          temperature: once.log.temperature[row]!,
          humidity: once.log.humidity[row]!,
          flags: [once.flags.temperature[row]!, once.flags.humidity[row]!],
        }),
      );
      for (const twice of [coarsen(once, step), coarsen(clean(auditOf(again), ACCURACY), step)]) {
        expect(twice.log.time).toEqual(once.log.time);
        expect(twice.log.temperature).toEqual(once.log.temperature);
        expect(twice.log.humidity).toEqual(once.log.humidity);
        expect(twice.flags).toEqual(once.flags);
      }
    }),
    { numRuns: 150 },
  );
}, 30_000);
