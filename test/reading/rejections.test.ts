import { describe, expect, it } from 'vitest';
import { MINUTE } from '../../src/units.js';
import { type Heard, read } from './reading.js';

const START = Date.UTC(2025, 9, 1);
const at = (minutes: number) => START + minutes * MINUTE;
const stamp = (minutes: number) => new Date(at(minutes)).toISOString();
const good = (minutes: number) => `${stamp(minutes)},20.1,50.1`;
const BAD = 'torn';

/** When the readings beside the rejected lines came, in minutes after the start, and the count and lines of those. */
function places({ logs }: Heard, logger = 0): (number | null)[][] {
  const minute = (instant: number | null) => (instant === null ? null : (instant - START) / MINUTE);
  return logs[logger]!.rejections.map(({ from, until, count, firstLine, lastLine }) => [
    minute(from),
    minute(until),
    count,
    firstLine,
    lastLine,
  ]);
}

const file = (lines: readonly string[]) => `time,temp,rh\n${lines.join('\n')}\n`;
const between = (from: number | null, until: number | null) => ({
  from: from === null ? null : at(from),
  until: until === null ? null : at(until),
});

describe('when a line was rejected', () => {
  it.each([
    { why: 'between readings', lines: [good(0), BAD, good(10)], found: [[0, 10, 1, 3, 3]] },
    { why: 'in front of the first', lines: [BAD, good(0), good(10)], found: [[null, 0, 1, 2, 2]] },
    { why: 'behind the last', lines: [good(0), good(10), BAD], found: [[10, null, 1, 4, 4]] },
    { why: 'beside each other', lines: [good(0), BAD, BAD, good(10)], found: [[0, 10, 2, 3, 4]] },
    { why: 'apart', lines: [good(0), BAD, good(10), BAD, good(20)], found: [[0, 20, 2, 3, 5]] },
    {
      why: 'between readings out of order',
      lines: [good(30), BAD, good(10), good(40)],
      found: [[10, 30, 1, 3, 3]],
    },
    {
      why: 'in a file that runs backwards',
      lines: [good(50), good(40), BAD, good(30), good(20), BAD, good(10)],
      found: [[10, 40, 2, 4, 7]],
    },
  ])('$why', async ({ lines, found }) => {
    expect(places(await read(file(lines)))).toEqual(found);
  });
});

describe('in a window', () => {
  const lines = [BAD, good(0), BAD, good(10), BAD, BAD, good(20), good(30), BAD];
  it.each([
    { window: between(null, null), found: [[null, null, 5, 2, 10]] },
    { window: between(0, 10), found: [[null, 10, 2, 2, 4]] },
    { window: between(10, 20), found: [[10, 20, 2, 6, 7]] },
    { window: between(20, 30), found: [] },
    { window: between(30, null), found: [[30, null, 1, 10, 10]] },
    { window: between(null, 0), found: [] },
  ])('$window: what follows a reading in it', async ({ window, found }) => {
    const heard = await read(file(lines), { window });
    expect(places(heard)).toEqual(found);
    expect(heard.logs[0]!.lines).toMatchObject({ total: 10, rejected: 5 });
    expect(heard.sources[0]!.lines).toMatchObject({ total: 10, rejected: 5 });
    expect(heard.rejected.length).toBe(5);
  });

  it('the example and the detail are those of the first line in it', async () => {
    const { logs } = await read(file([good(0), 'a', good(10), 'b,c', good(20)]), { window: between(10, 20) });
    expect(logs[0]!.rejections).toMatchObject([
      { example: 'b,c', detail: '3 cells are needed, here are 2', count: 1 },
    ]);
  });

  it('the second pass of the repeated hour is where its readings are', async () => {
    const wall = (clock: string) => `2025-10-26 ${clock},20.1,50.1`;
    const clocks = ['00:30', '01:00', '01:30', '01:00', '01:30', '02:00', '02:30'];
    const lines = clocks.map(wall).toSpliced(5, 0, BAD);
    const second = { from: Date.UTC(2025, 9, 26, 1, 0), until: Date.UTC(2025, 9, 26, 2, 0) };
    const [{ rejections }] = (await read(file(lines), { window: second })).logs as [never];
    expect(rejections).toMatchObject([{ from: Date.UTC(2025, 9, 26, 1, 30), until: second.until }]);
  });

  it('a line that names a logger lies among the readings of that logger', async () => {
    const row = (logger: string, time: string) => `${time},${logger},20.1,50.1`;
    const UNSET = '1970-01-01T00:00:12.000Z';
    const text = [
      'time,logger,temp,rh',
      row('a', stamp(0)),
      row('a', stamp(1440)),
      row('b', UNSET),
      row('b', stamp(0)),
      row('b', stamp(1440)),
      BAD,
    ].join('\n');
    const heard = await read(`${text}\n`);
    expect(places(heard, 0)).toEqual([[1440, null, 1, 7, 7]]);
    expect(places(heard, 1)).toEqual([
      [1440, null, 1, 7, 7],
      [null, 0, 1, 4, 4],
    ]);
    expect(places(await read(`${text}\n`, { window: between(1440, null) }), 1)).toEqual([
      [1440, null, 1, 7, 7],
    ]);
  });

  it('a source without a reading tells of its lines in any window', async () => {
    const text = `time,temp,rh\n${'1970-01-01T00:00:12Z,20.1,50.1\n'.repeat(9)}`;
    expect(places(await read(text, { window: between(0, 1440) }))).toEqual([[null, null, 9, 2, 10]]);
  });
});
