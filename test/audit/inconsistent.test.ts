import { describe, expect, it } from 'vitest';
import { Flag } from '../../src/log/flag.js';
import { auditOf, brief, findingsOf, type Line } from './auditing.js';
import { changed, ordinary, rewritten } from './ordinary.js';

const found = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'inconsistent');
const exchange = ({ temperature, humidity }: Line) => ({ temperature: humidity, humidity: temperature });

it('finds nothing in ordinary air', () => {
  expect(found(ordinary())).toEqual([]);
});

describe('temperature and humidity exchanged', () => {
  it.each([
    ['in the middle', 200, 300],
    ['from the start', 0, 100],
    ['up to the end', 300, 432],
    ['in one reading', 200, 201],
  ])('%s: both are bad, and no other check tells it again', (_, from, to) => {
    const { findings, flags } = auditOf(rewritten(ordinary(), from, to, exchange));
    expect(findings.map(({ check }) => check)).toEqual(['inconsistent']);
    expect(findings.map(brief)).toEqual([[10 * from, 10 * to - 10, to - from, from + 2, to + 1]]);
    const bad = (column: Uint8Array) => [...column].flatMap((flag, row) => (flag === Flag.bad ? [row] : []));
    const rows = Array.from({ length: to - from }, (_, i) => from + i);
    expect(bad(flags.temperature)).toEqual(rows);
    expect(bad(flags.humidity)).toEqual(rows);
  });

  it('cannot be told where both are the same number, or nearly', () => {
    const alike = ordinary().map((line, i) => ({
      ...line,
      temperature: 30 + (i % 3),
      humidity: 34 - (i % 4),
    }));
    expect(found(rewritten(alike, 200, 300, exchange))).toEqual([]);
  });
});

describe('a value copied from the other column', () => {
  it('is the humidity where the temperature goes on as before', () => {
    const { flags } = auditOf(
      rewritten(ordinary(), 200, 210, ({ temperature }) => ({ humidity: temperature })),
    );
    expect([flags.temperature[205], flags.humidity[205]]).toEqual([Flag.good, Flag.bad]);
    expect([flags.humidity[199], flags.humidity[210]]).toEqual([Flag.good, Flag.good]);
  });

  it('is the temperature where the humidity goes on as before', () => {
    const { flags } = auditOf(rewritten(ordinary(), 200, 201, ({ humidity }) => ({ temperature: humidity })));
    expect([flags.temperature[200], flags.humidity[200]]).toEqual([Flag.bad, Flag.good]);
  });

  it('is chance where neither has jumped', () => {
    const dry = ordinary().map((line, i) => ({ ...line, temperature: 30 + (i % 3), humidity: 31 - (i % 2) }));
    expect(found(dry)).toEqual([]);
  });
});

describe('values of different moments', () => {
  const moment = { 200: { temperature: 15, humidity: 96 } };
  const quiet = ordinary().map((line, i) => ({
    ...line,
    temperature: 14 + (i % 3) / 10,
    humidity: 60 + (i % 4) / 10,
  }));

  it('are questionable, both of them', () => {
    const lines = changed(quiet, { 200: { temperature: 15.5, humidity: 75 } });
    expect(found(lines).map(brief)).toEqual([[2000, 2000, 1, 202, 202]]);
    const { flags } = auditOf(lines);
    expect([flags.temperature[200], flags.humidity[200]]).toEqual([Flag.questionable, Flag.questionable]);
  });

  it('are not told of a good reading between two that are false', () => {
    const lines = changed(quiet, { 199: { humidity: 73 }, 200: { humidity: 60 }, 201: { humidity: 78 } });
    expect(found(lines).map(brief)).toEqual([[2010, 2010, 1, 203, 203]]);
  });

  it('are none where the vapour stays', () => {
    expect(found(changed(quiet, { 200: { temperature: 16, humidity: 54 } }))).toEqual([]);
  });

  it('are none where the vapour dies away', () => {
    const dying = { ...moment, 201: { humidity: 90 }, 202: { humidity: 84 }, 203: { humidity: 76 } };
    const rising = { 199: { humidity: 90 }, 198: { humidity: 80 } };
    expect(found(changed(quiet, { ...rising, ...dying }))).toEqual([]);
  });

  it('are a habit in a room with showers', () => {
    const showers = Object.fromEntries(Array.from({ length: 20 }, (_, i) => [10 + 20 * i, { humidity: 80 }]));
    expect(found(changed(quiet, showers))).toEqual([]);
  });

  it('are told in one finding', () => {
    const lines = changed(
      ordinary(4320).map((line, i) => ({ ...line, temperature: 14, humidity: 60 + (i % 4) / 10 })),
      {
        500: { humidity: 76 },
        2000: { humidity: 76 },
        4000: { humidity: 76 },
      },
    );
    expect(found(lines).map(({ count }) => count)).toEqual([3]);
  });
});
