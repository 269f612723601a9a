import { describe, expect, it } from 'vitest';
import { type Audit, audit } from '../../src/audit/audit.js';
import { clean } from '../../src/cleaning/clean.js';
import { linesOf } from '../../src/log/lines.js';
import type { Log } from '../../src/log/log.js';
import { rowsOf } from '../../src/log/pieces.js';
import { type Line, readingOf, SETTINGS, steadily } from '../audit/auditing.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };
const audited = (lines: readonly Line[], skip: Parameters<typeof audit>[2] = new Set()): Audit =>
  audit(readingOf([lines]), SETTINGS, skip);

const line = (minute: number, temperature: number, humidity: number, flags?: Line['flags']): Line => ({
  minute,
  temperature,
  humidity,
  ...(flags === undefined ? {} : { flags }),
});

/** Values and flags at 10 minutes: of these readings, between 15 °C, 60 % before and 17 °C, 70 % after. */
function stays(...candidates: Line[]) {
  const lines = [line(0, 15, 60), ...candidates, line(20, 17, 70), line(30, 17, 70)];
  const { log, flags } = clean(audited(lines), ACCURACY);
  const row = log.time.indexOf(log.time[0]! + 600_000);
  return [log.temperature[row], log.humidity[row], flags.temperature[row], flags.humidity[row]];
}

describe('of several readings of one instant', () => {
  it.each([
    { why: 'the more complete', candidates: [line(10, 16, NaN), line(10, 30, 90)], kept: [30, 90, 3, 3] },
    { why: 'a bad value is none', candidates: [line(10, 16, 130), line(10, 30, 90)], kept: [30, 90, 3, 3] },
    { why: 'nor is a code', candidates: [line(10, 16, -999), line(10, 30, 90)], kept: [30, 90, 3, 3] },
    {
      why: 'the nearest to the line',
      candidates: [line(10, 15.5, 65), line(10, 16.1, 65)],
      kept: [16.1, 65, 3, 2],
    },
    {
      why: 'in units of accuracy: 1 K is two of them, 5 % less than two',
      candidates: [line(10, 17, 65), line(10, 16, 70)],
      kept: [16, 70, 3, 3],
    },
    {
      why: 'the colder of two as near',
      candidates: [line(10, 16.5, 65), line(10, 15.5, 65)],
      kept: [15.5, 65, 3, 2],
    },
    {
      why: 'the drier of two as near',
      candidates: [line(10, 16, 66), line(10, 16, 64)],
      kept: [16, 64, 2, 3],
    },
    { why: 'a code and nothing', candidates: [line(10, NaN, 65), line(10, -999, 65)], kept: [NaN, 65, 9, 2] },
    {
      why: 'of the same with other flags, the one that was called questionable',
      candidates: [line(10, 16, 65, [1, 1]), line(10, 16, 65, [3, 1])],
      kept: [16, 65, 3, 1],
    },
    {
      why: 'but not one that was called bad',
      candidates: [line(10, 16, 65, [4, 1]), line(10, 16, 65, [1, 1])],
      kept: [16, 65, 1, 1],
    },
  ])('stays $why', ({ candidates, kept }) => {
    expect(stays(...candidates)).toEqual(kept);
    expect(stays(...[...candidates].reverse())).toEqual(kept);
  });

  it('at the start of a log, the nearest to what follows; at its end, to what came before', () => {
    const lines = [
      line(0, 30, 60),
      line(0, 16, 60),
      ...steadily(10, { temperature: [NaN, 15, 20] }).slice(1),
    ];
    const last = [line(30, 21, 60), line(30, 15, 60)];
    const { log } = clean(audited([...lines, ...last]), ACCURACY);
    expect([...log.temperature]).toEqual([16, 15, 20, 21]);
  });

  it('an instant in dispute says nothing about the next one', () => {
    const lines = [line(0, 15, 60), line(10, 15, 60), line(10, 40, 60), line(20, 40, 60), line(20, 15, 60)];
    for (const given of [lines, [...lines].reverse()]) {
      expect([...clean(audited(given), ACCURACY).log.temperature]).toEqual([15, 15, 15]);
    }
  });

  it('passes over bad values beside it', () => {
    const lines = [line(0, 20, 60), line(10, 70, 60), line(20, 59, 60), line(20, 20.5, 60), line(30, 70, 60)];
    expect(clean(audited(lines), ACCURACY).log.temperature[2]).toBe(20.5);
  });

  it('an accuracy of 0 is no unit: whole kelvins are', () => {
    const none = { temperature: 0, humidity: 0 };
    const lines = [line(0, 15, 60), line(10, 15, 63), line(10, 17, 60), line(20, 15, 60)];
    expect(clean(audited(lines), none).log.temperature[1]).toBe(17);
  });

  it('needs neither the check of conflicts nor that of duplicates', () => {
    const lines = [line(0, 15, 60), line(10, 15, 60), line(10, 15, 60), line(20, 15, 60), line(20, 16, 60)];
    const { kept, flags } = clean(audited(lines, new Set(['duplicate', 'conflict'])), ACCURACY);
    expect([...rowsOf(kept)]).toEqual([0, 1, 3]);
    expect([...flags.temperature]).toEqual([2, 2, 2]);
  });
});

describe('bad values', () => {
  const lines = [...steadily(10, { temperature: [15, 70, -999, 15], humidity: [60, 102, 130, NaN] })];
  it.each([
    { bad: 'blank', temperature: [15, NaN, NaN, 15], humidity: [60, 102, NaN, NaN] },
    { bad: 'keep', temperature: [15, 70, NaN, 15], humidity: [60, 102, 130, NaN] },
  ] as const)('$bad', ({ bad, temperature, humidity }) => {
    const { log, flags } = clean(audited(lines), ACCURACY, bad);
    expect([...log.temperature]).toEqual(temperature);
    expect([...log.humidity]).toEqual(humidity);
    expect([...flags.temperature]).toEqual([2, 4, 9, 2]);
    expect([...flags.humidity]).toEqual([2, 3, 4, 9]);
  });
});

describe('very large logs of one fault', () => {
  const column = (length: number, value: (row: number) => number) =>
    Float64Array.from({ length }, (_, row) => value(row));
  const logOf = (time: Float64Array, temperature: Float64Array, humidity: Float64Array): Log => ({
    logger: 'sail-loft',
    sources: ['sail-loft.csv'],
    length: time.length,
    time,
    temperature,
    humidity,
    lines: linesOf(time.map((_, row) => row + 2)),
    source: new Uint16Array(time.length),
    inputFlags: null,
  });
  const cleanedOf = (log: Log) =>
    clean(
      audit({ log, rejections: [], unreadable: [], parts: [{ newestFirst: false }] }, SETTINGS),
      ACCURACY,
    );

  it('a clock that stood still keeps one reading of them all', () => {
    const n = 150_000;
    const still = logOf(
      column(n, () => 0),
      column(n, (row) => row / 10_000),
      column(n, () => 60),
    );
    const { log, dropped } = cleanedOf(still);
    expect([log.length, dropped.length, log.temperature[0]]).toEqual([1, n - 1, 0]);
  });

  it('two devices under one name, without humidity, keep one reading of each instant', () => {
    const n = 40_000;
    const both = logOf(
      column(n, (row) => (row >> 1) * 600_000),
      column(n, (row) => 15 + 5 * (row % 2)),
      column(n, () => NaN),
    );
    const { log } = cleanedOf(both);
    expect(log.length).toBe(n / 2);
    expect(log.temperature.every((value) => value === 15)).toBe(true);
  });
});
