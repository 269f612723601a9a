import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Flag } from '../../src/log/flag.js';
import { auditOf, brief, findingsOf, type Line, steadily } from './auditing.js';
import { changed, ordinary } from './ordinary.js';

const spikes = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'spike');

describe('spike', () => {
  it('finds nothing in ordinary air', () => {
    expect(spikes(ordinary())).toEqual([]);
  });

  it('finds one temperature that jumps and comes back, and calls it questionable', () => {
    const lines = ordinary();
    const found = auditOf(changed(lines, { 200: { temperature: lines[199]!.temperature - 6 } }));
    expect(findingsOf(found, 'spike').map(brief)).toEqual([[2000, 2000, 1, 202, 202]]);
    expect(found.flags.temperature[200]).toBe(Flag.questionable);
    expect(found.flags.temperature[199]).toBe(Flag.good);
    expect(found.flags.temperature[201]).toBe(Flag.good);
    expect(found.flags.humidity[200]).toBe(Flag.good);
  });

  it('calls it bad where no air does that and the humidity has not moved', () => {
    const { flags } = auditOf(changed(ordinary(), { 200: { temperature: 45 } }));
    expect(flags.temperature[200]).toBe(Flag.bad);
  });

  it('calls it questionable where the humidity has moved too', () => {
    const { flags } = auditOf(changed(ordinary(), { 200: { temperature: 45, humidity: 100 } }));
    expect(flags.temperature[200]).toBe(Flag.questionable);
    expect(flags.humidity[200]).toBe(Flag.questionable);
  });

  it('finds up to three readings that come back together', () => {
    const away = { humidity: 20 };
    expect(spikes(changed(ordinary(), { 200: away, 201: away })).map(brief)).toEqual([
      [2000, 2010, 2, 202, 203],
    ]);
    expect(spikes(changed(ordinary(), { 200: away, 201: away, 202: away, 203: away }))).toEqual([]);
  });

  it('takes what lasts longer than an hour for weather, unless the humidity stays what it was', () => {
    const hourly = ordinary(432, 30);
    const lasting = (away: Partial<Line>) => spikes(changed(hourly, { 200: away, 201: away }));
    expect(spikes(changed(hourly, { 200: { temperature: 25, humidity: 50 } })).map(brief)).not.toEqual([]);
    expect(lasting({ temperature: 25, humidity: 50 })).toEqual([]);
    expect(lasting({ temperature: 25 }).map(({ count }) => count)).toEqual([2]);
  });

  it('finds what is small in a quiet log where the other quantity stays', () => {
    const { temperature, humidity } = ordinary()[200]!;
    const away = { humidity: humidity - 13 };
    expect(spikes(changed(ordinary(), { 200: away }))).toHaveLength(1);
    expect(spikes(changed(ordinary(), { 200: { ...away, temperature: temperature - 2 } }))).toEqual([]);
  });

  it('takes moisture that warms the room for a shower', () => {
    const { temperature, humidity } = ordinary()[200]!;
    const damp = { humidity: humidity + 22 };
    expect(spikes(changed(ordinary(), { 200: damp }))).toHaveLength(1);
    expect(spikes(changed(ordinary(), { 200: { ...damp, temperature: temperature + 1 } }))).toEqual([]);
  });

  it('leaves a step alone', () => {
    const lines = ordinary().map((line, i) =>
      i < 200 ? line : { ...line, temperature: line.temperature + 6 },
    );
    expect(spikes(lines)).toEqual([]);
  });

  it('leaves a burst of moisture alone that dies away', () => {
    const burst = { 200: 35, 201: 24, 202: 17, 203: 12, 204: 8, 205: 5, 206: 3 };
    const lines = ordinary();
    const changes = Object.fromEntries(
      Object.entries(burst).map(([i, more]) => [i, { humidity: lines[Number(i)]!.humidity + more - 10 }]),
    );
    expect(spikes(changed(lines, changes))).toEqual([]);
  });

  it('leaves air alone that was only warmed: the vapour pressure stays', () => {
    // 15 °C and 60 % hold as much vapour as 20 °C and 43.7 %
    const lines = steadily(10, { temperature: ordinary().map((_, i) => 15 + (i % 2) / 10) });
    expect(spikes(changed(lines, { 200: { temperature: 20, humidity: 43.7 } }))).toEqual([]);
    expect(spikes(changed(lines, { 200: { temperature: 20 } }))).toHaveLength(1);
  });

  it('takes the readings around a gap for no neighbours', () => {
    const lines = changed(ordinary(), { 200: { temperature: 25 } });
    expect(spikes(lines.filter((_, i) => i < 195 || i >= 200))).toEqual([]);
  });

  it('follows the line in time where readings are unevenly spaced', () => {
    // a steady climb of 1 K a minute; the readings lie unevenly on it
    const minutes = [0, 1, 4, 5, 8, 9, 10, 13, 14];
    const climb: Line[] = Array.from({ length: 20 }, (_, lap) => minutes.map((minute) => minute + 15 * lap))
      .flat()
      .map((minute) => ({ minute, temperature: -50 + minute / 3, humidity: 60 }));
    expect(findingsOf(auditOf(climb, { cadence: 60_000 }), 'spike')).toEqual([]);
  });

  it('bears with a log that is restless by habit', () => {
    const restless = ordinary().map((line, i) =>
      i % 20 === 0 ? { ...line, temperature: line.temperature + 6 } : line,
    );
    expect(spikes(restless)).toEqual([]);
  });

  it('tells very many in one finding', () => {
    const lines = ordinary(8640);
    const changes = Object.fromEntries(
      Array.from({ length: 40 }, (_, i) => [
        100 + 200 * i,
        { temperature: lines[100 + 200 * i]!.temperature + 8 },
      ]),
    );
    expect(spikes(changed(lines, changes)).map(({ count }) => count)).toEqual([40]);
  });

  it('does not judge again what came with a flag', () => {
    const flags = [Flag.good, Flag.good] as const;
    const lines = changed(ordinary(), { 200: { temperature: 25 } }).map((line) => ({ ...line, flags }));
    expect(new Set(auditOf(lines).flags.temperature)).toEqual(new Set([Flag.good]));
  });

  it('finds a spike of any size beyond the limit, wherever it is, and no other', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 428 }),
        fc.double({ min: 4, max: 40, noNaN: true }),
        (at, size) => {
          const lines = ordinary();
          const found = spikes(changed(lines, { [at]: { temperature: lines[at]!.temperature + size } }));
          expect(found.map(brief)).toEqual([[10 * at, 10 * at, 1, at + 2, at + 2]]);
        },
      ),
    );
  });
});
