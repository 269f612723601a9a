import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linesOf } from '../../src/log/lines.js';
import type { Log } from '../../src/log/log.js';
import { logCoverage, spanOf } from '../../src/report/coverage.js';
import { HOUR, MINUTE } from '../../src/units.js';

const CADENCE = 10 * MINUTE;
const BRIDGE = 2 * CADENCE;

function logAt(minutes: readonly number[], missing: readonly number[] = []): Log {
  const { length } = minutes;
  return {
    logger: 'loft',
    sources: ['loft.csv'],
    length,
    time: Float64Array.from(minutes, (minute) => minute * MINUTE),
    temperature: Float64Array.from(minutes, (minute) => (missing.includes(minute) ? Number.NaN : 10)),
    humidity: new Float64Array(length).fill(50),
    lines: linesOf(Array.from(minutes, (_, i) => i + 2)),
    source: new Uint16Array(length),
    inputFlags: null,
  };
}

const every = (count: number, without: readonly number[] = []) =>
  Array.from({ length: count }, (_, i) => i * 10).filter((minute) => !without.includes(minute));

describe('coverage of a log', () => {
  it.each([
    {
      why: 'whole',
      minutes: every(7),
      missing: [],
      from: null,
      until: null,
      expected: 7,
      observed: 7,
      unknown: 0,
    },
    {
      why: 'one reading lost, which is bridged',
      minutes: every(7, [30]),
      missing: [],
      from: null,
      until: null,
      expected: 7,
      observed: 6,
      unknown: 0,
    },
    {
      why: 'two lost, which are not',
      minutes: every(7, [20, 30]),
      missing: [],
      from: null,
      until: null,
      expected: 7,
      observed: 5,
      unknown: 30,
    },
    {
      why: 'one that came without its temperature',
      minutes: every(7),
      missing: [30],
      from: null,
      until: null,
      expected: 7,
      observed: 7,
      unknown: 0,
    },
    {
      why: 'two of those: they came, but say nothing',
      minutes: every(7),
      missing: [20, 30],
      from: null,
      until: null,
      expected: 7,
      observed: 7,
      unknown: 30,
    },
    {
      why: 'a window that ends before the last reading',
      minutes: every(7),
      missing: [],
      from: 0,
      until: 60,
      expected: 6,
      observed: 6,
      unknown: 0,
    },
    {
      why: 'a window that begins an hour earlier',
      minutes: every(7),
      missing: [],
      from: -60,
      until: 60,
      expected: 12,
      observed: 6,
      unknown: 60,
    },
    {
      why: 'a window that ends an hour later',
      minutes: every(7),
      missing: [],
      from: 0,
      until: 120,
      expected: 12,
      observed: 7,
      unknown: 60,
    },
    {
      why: 'a single reading in a window',
      minutes: [0],
      missing: [],
      from: 0,
      until: 60,
      expected: 6,
      observed: 1,
      unknown: 60,
    },
    {
      why: 'no reading in a window',
      minutes: [],
      missing: [],
      from: 0,
      until: 60,
      expected: 6,
      observed: 0,
      unknown: 60,
    },
  ])('$why', ({ minutes, missing, from, until, expected, observed, unknown }) => {
    const log = logAt(minutes, missing);
    const inMs = (minute: number | null) => (minute === null ? null : minute * MINUTE);
    const inside = logAt(
      minutes.filter((minute) => minute >= (from ?? -Infinity) && minute < (until ?? Infinity)),
      missing,
    );
    expect(logCoverage(inside, log, CADENCE, BRIDGE, inMs(from), inMs(until))).toMatchObject({
      expected,
      observed,
      fraction: observed / expected,
      unknown: unknown * MINUTE,
    });
  });

  it('of nothing, without a window: no span, and a fraction of 0', () => {
    const empty = logAt([]);
    expect(logCoverage(empty, empty, null, BRIDGE, null, null)).toEqual({
      from: null,
      until: null,
      expected: null,
      observed: null,
      fraction: 0,
      unknown: null,
    });
  });

  it('without a cadence says nothing of what was due', () => {
    const one = logAt([0]);
    expect(logCoverage(one, one, null, BRIDGE, null, null)).toMatchObject({ expected: null, fraction: null });
  });

  it('never counts more readings than were due, nor more unknown time than there is', () => {
    const logs = fc.uniqueArray(fc.integer({ min: -100, max: 500 }), { maxLength: 40 });
    fc.assert(
      fc.property(logs, fc.integer({ min: 1, max: 400 }), (minutes, length) => {
        const log = logAt(minutes.toSorted((a, b) => a - b));
        const inside = logAt([...log.time].map((time) => time / MINUTE).filter((m) => m >= 0 && m < length));
        const found = logCoverage(inside, log, CADENCE, BRIDGE, 0, length * MINUTE);
        expect(found.observed).toBeLessThanOrEqual(found.expected!);
        expect(found.fraction).toBeGreaterThanOrEqual(0);
        expect(found.unknown).toBeGreaterThanOrEqual(0);
        expect(found.unknown).toBeLessThanOrEqual(length * MINUTE);
      }),
      { seed: 1 },
    );
  });
});

describe('the span that is told about', () => {
  it.each([
    {
      why: 'the log, its last reading included',
      minutes: [0, 60],
      from: null,
      until: null,
      span: { from: 0, until: HOUR + 1 },
    },
    {
      why: 'the window',
      minutes: [0, 60],
      from: -HOUR,
      until: 5 * HOUR,
      span: { from: -HOUR, until: 5 * HOUR },
    },
    {
      why: 'the window, also of an empty log',
      minutes: [],
      from: 0,
      until: HOUR,
      span: { from: 0, until: HOUR },
    },
    { why: 'nothing of an empty log', minutes: [], from: null, until: null, span: null },
    {
      why: 'nothing of an empty log that is open on one side',
      minutes: [],
      from: 0,
      until: null,
      span: null,
    },
  ])('$why', ({ minutes, from, until, span }) => {
    expect(spanOf(logAt(minutes), { from, until })).toEqual(span);
  });
});
