import { describe, expect, it } from 'vitest';
import { sumOfAccounts } from '../../src/log/account.js';
import { nextGood } from '../../src/log/bridging.js';
import { lineAt, linesOf } from '../../src/log/lines.js';
import { type CleanLog, keepOnly, type Log, pick, slice, sortByTime } from '../../src/log/log.js';
import { piecesOf } from '../../src/log/pieces.js';
import { lineNumbers } from './lineNumbers.js';

const log: Log = {
  logger: 'sail-loft',
  sources: ['a.csv', 'b.csv'],
  length: 4,
  time: Float64Array.of(0, 1, 2, 3),
  temperature: Float64Array.of(10, NaN, 12, 13),
  humidity: Float64Array.of(50, 51, NaN, 53),
  lines: linesOf([2, 9, 3, 4]),
  source: Uint16Array.of(0, 1, 0, 1),
  inputFlags: { temperature: Uint8Array.of(1, 9, 3, 4), humidity: Uint8Array.of(1, 3, 9, 1) },
};

/** A log of these rows in this order. */
function mixed(...rows: number[]): Log {
  const of = <Column extends Float64Array | Uint16Array | Uint8Array>(column: Column) =>
    column.slice().map((_, i) => column[rows[i]!]!) as Column;
  const { temperature, humidity } = log.inputFlags!;
  return {
    ...log,
    time: of(log.time),
    temperature: of(log.temperature),
    humidity: of(log.humidity),
    lines: linesOf(rows.map((row) => lineAt(log.lines, row))),
    source: of(log.source),
    inputFlags: { temperature: of(temperature), humidity: of(humidity) },
  };
}

const values = (each: CleanLog) =>
  Array.from({ length: each.length }, (_, row) => [
    each.time[row],
    each.temperature[row],
    each.humidity[row],
  ]);

const said = (each: Log) =>
  values(each).map((cells, row) => [
    ...cells,
    lineAt(each.lines, row),
    each.source[row],
    each.inputFlags?.temperature[row],
    each.inputFlags?.humidity[row],
  ]);

describe('parts of a log', () => {
  it('picked rows say what they said, in the order asked for', () => {
    const all = values(log);
    expect(values(pick(log, piecesOf([3, 4, 1, 2])))).toEqual([all[3], all[1]]);
  });

  it('kept in place they say the same', () => {
    const rows = piecesOf([0, 1, 2, 4]);
    expect(values(keepOnly(mixed(0, 1, 2, 3), rows))).toEqual(values(pick(log, rows)));
  });

  it('sorted by time, all of a row goes where its time goes', () => {
    const given = mixed(2, 0, 3, 1);
    sortByTime(given);
    expect(said(given)).toEqual(said(log));
  });

  it('sorted by time, rows of one instant stay in their order', () => {
    const given = { ...mixed(2, 1, 3, 0), time: Float64Array.of(7, 5, 7, 5) };
    sortByTime(given);
    expect([...given.time]).toEqual([5, 5, 7, 7]);
    expect(lineNumbers(given.lines)).toEqual([9, 2, 3, 4]);
  });

  it('a slice is half-open', () => {
    const all = said(log);
    expect(said(slice(log, 1, 3))).toEqual([all[1], all[2]]);
    expect(slice(log, 2, 2).length).toBe(0);
  });

  it('a log without flags has none in its parts', () => {
    expect(slice({ ...log, inputFlags: null }, 0, 1).inputFlags).toBeNull();
  });

  it('the next good row passes over missing values, and ends at the length', () => {
    expect([0, 1, 2, 4].map((row) => nextGood(log.temperature, row))).toEqual([0, 2, 2, 4]);
    expect(nextGood(Float64Array.of(NaN, NaN), 0)).toBe(2);
  });
});

describe('the line accounts of several inputs', () => {
  it('add up key by key', () => {
    const one = { total: 21, header: 1, blank: 2, accepted: 3, rejected: 5, outsideWindow: 10 };
    const other = { total: 10, header: 2, blank: 0, accepted: 7, rejected: 1, outsideWindow: 0 };
    expect(sumOfAccounts([one, other])).toEqual({
      total: 31,
      header: 3,
      blank: 2,
      accepted: 10,
      rejected: 6,
      outsideWindow: 10,
    });
    expect(sumOfAccounts([]).total).toBe(0);
  });
});
