import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { zoneNamed } from '../../src/calendar/zone.js';
import { InputError } from '../../src/errors.js';
import { readText } from './beating.js';

const TWO = [
  ['loft', '2025-10-13T00:00:10', null],
  ['loft', '2025-10-13T00:01:10', null],
];

describe('a file of heartbeats', () => {
  it.each([
    ['stamps alone', '2025-10-13 00:00:10\n2025-10-13 00:01:10\n'],
    ['a heading', 'time\n2025-10-13T00:00:10Z\n2025-10-13T00:01:10Z\n'],
    ['no end of the last line', 'Seen at\r\n13.10.2025 00:00:10\r\n13.10.2025 00:01:10'],
    ['epoch seconds and another column', 'id,ts\n7,1760313610\n8,1760313670\n'],
    ['date and clock apart', 'date;clock\n2025-10-13;00:00:10\n2025-10-13;00:01:10\n'],
    ['an offset', '"2025-10-13T01:00:10+01:00"\n"2025-10-13T01:01:10+01:00"\n'],
    ['a ruled table', '+----+\n| time |\n+----+\n2025-10-13 00:00:10\n2025-10-13 00:01:10\n'],
    ['a logger in each line', 'device\ttime\nloft\t1760313610\nloft\t1760313670\n'],
    ['a logger and no heading', '2025-10-13T00:00:10Z,loft\n2025-10-13T00:01:10Z,loft\n'],
  ])('is read with %s', async (_, text) => {
    const { beats } = await readText(text);
    expect(beats).toEqual(TWO);
  });

  it('is unpacked, and read in UTF-16', async () => {
    expect((await readText(gzipSync('2025-10-13 00:00:10\n2025-10-13 00:01:10\n'))).beats).toEqual(TWO);
    const wide = Buffer.from('\uFEFFtime\n2025-10-13 00:00:10\n2025-10-13 00:01:10\n', 'utf16le');
    expect((await readText(wide)).beats).toEqual(TWO);
  });

  it('accounts for every line', async () => {
    const text =
      'time,logger\n2025-10-13 00:00:10,loft\n\n2025-10-13 00:01:10,\nrubbish,loft\n1970-01-01 00:00:05,loft\n' +
      'time,logger\n2025-10-13 00:02:10,loft\n2025-10-1';
    const { source } = await readText(text);
    expect(source.lines).toMatchObject({ total: 9, header: 2, blank: 1, accepted: 2, rejected: 4 });
    expect([...source.rejected.keys()].sort()).toEqual(['cells', 'clock', 'logger', 'time']);
  });

  it('does not take a stamp that was cut short for an earlier one', async () => {
    const { beats, source } = await readText('2025-10-13 00:10:10\n2025-10-13 00:11:10\n2025-10-13 00:1');
    expect(beats.length).toBe(2);
    expect([...source.rejected.keys()]).toEqual(['cut']);
  });

  it('places the repeated hour by the beat before', async () => {
    const zone = zoneNamed('Europe/London');
    const text = '2025-10-26 01:58:30\n2025-10-26 01:59:30\n2025-10-26 01:00:30\n2025-10-26 01:01:30\n';
    const { beats, source } = await readText(text, { zone });
    expect(beats.map(([, time]) => time.slice(11))).toEqual(['00:58:30', '00:59:30', '01:00:30', '01:01:30']);
    expect(source.zone).toBe(zone);
  });

  it('without a stamp is an error that shows a line', async () => {
    await expect(readText('temperature\n21.5\n')).rejects.toThrow(InputError);
  });

  it('without a beat is no error', async () => {
    expect((await readText('')).source.lines.total).toBe(0);
    expect((await readText('time,logger\n')).source.lines).toMatchObject({ total: 1, header: 1 });
  });
});

describe('signs of a restart', () => {
  const signs = async (text: string) => (await readText(text)).beats.map(([, , restarted]) => restarted);

  it('an uptime that falls, or is shorter than the silence', async () => {
    const text = (uptimes: readonly number[]) =>
      `time,uptime_s\n${uptimes.map((uptime, i) => `2025-10-13 00:0${i}:10,${uptime}`).join('\n')}\n`;
    expect(await signs(text([100, 160, 5, 65]))).toEqual([null, false, true, false]);
    expect(await signs('time,uptime_s\n2025-10-13 00:00:10,100\n2025-10-13 09:00:10,200\n')).toEqual([
      null,
      true,
    ]);
  });

  it('but not a counter of milliseconds that begins anew after 49.7 days', async () => {
    const wrapped = `time,uptime_ms\n2025-10-13 00:00:10,${2 ** 32 - 20_000}\n2025-10-13 00:01:10,40000\n`;
    expect(await signs(wrapped)).toEqual([null, false]);
  });

  it('a word, a count of starts, lines of a clock that is not set', async () => {
    const rows = (cells: readonly string[]) =>
      cells.map((cell, i) => `2025-10-13 00:0${i}:10,${cell}`).join('\n');
    expect(await signs(`time,event\n${rows(['alive', 'alive', 'power on', 'alive'])}\n`)).toEqual([
      null,
      null,
      true,
      null,
    ]);
    expect(await signs(`time,boot_count\n${rows(['7', '7', '8', '8'])}\n`)).toEqual([
      null,
      false,
      true,
      false,
    ]);
    expect(
      await signs(
        'time\n2025-10-13 00:00:10\n1970-01-01 00:00:03\n2025-10-13 00:09:10\n2025-10-13 00:10:10\n',
      ),
    ).toEqual([null, true, null]);
  });

  it('also where the newest beat comes first', async () => {
    const text = 'time,uptime_s\n2025-10-13 00:02:10,65\n2025-10-13 00:01:10,5\n2025-10-13 00:00:10,900\n';
    expect(await signs(text)).toEqual([null, false, true]);
  });
});

describe('numbers of rows', () => {
  const skips = async (rows: readonly string[]) => (await readText(`id,time\n${rows.join('\n')}\n`)).skips;
  const row = (id: number, minute: number) =>
    `${id},${new Date(1760313610000 + minute * 60_000).toISOString()}`;

  it('show how many rows were taken out', async () => {
    expect(await skips([row(1, 0), row(2, 1), row(63, 62), row(64, 63)])).toEqual([0, 0, 60, 0]);
    expect(await skips([row(64, 63), row(63, 62), row(2, 1)])).toEqual([0, 0, 60]);
  });

  it('say nothing where the export leaves numbers out all the time', async () => {
    const every = Array.from({ length: 20 }, (_, i) => row(3 * i, i));
    expect((await skips(every)).slice(5)).toEqual(new Array(15).fill(0));
  });
});
