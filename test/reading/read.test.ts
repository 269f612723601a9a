import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { explain } from '../../src/errors.js';
import { lineAt } from '../../src/log/lines.js';
import { readLogs } from '../../src/reading/logs.js';
import type { Input } from '../../src/reading/read.js';
import { EVER, LONDON, NOTHING_SAID, read, readOne, refusal, rowsOf, type Said } from './reading.js';

const HEADING = 'time,temperature,humidity';
const START = Date.UTC(2025, 9, 1);
const stamp = (row: number) => new Date(START + row * 600_000).toISOString().slice(0, 19);
const line = (row: number) => `${stamp(row)}Z,20.${row % 10},5${row % 10}.5`;
const lines = (from: number, until: number) =>
  Array.from({ length: until - from }, (_, i) => `${line(from + i)}\n`).join('');

describe('no line is lost', () => {
  const good = fc.nat({ max: 300 }).map((row) => line(row));
  const damage = fc.constantFrom(
    '',
    '  ',
    ',,',
    '#',
    '# note',
    HEADING,
    'time,humidity,temperature',
    '-----',
    'sensor error',
    'a,b,c',
    '"',
    '"2025-10-01T00:00:00Z,20.1',
    '2025-10-01T00:00:00Z,20.1,5"0',
    '2025-10-01T00:00:00Z,20.1',
    '2025-10-01T00:00:00Z,20.1,50.1,9',
    '2025-10-01T00:00:00Z,20.1,50.1,',
    '2025-10-32T00:00:00Z,20.1,50.1',
    '1970-01-01T00:00:05Z,20.1,50.1',
    '2025-10-01T00:00:00Z,err,50.1',
    '2025-10-01T00:00:00Z,,',
    '2025-10-01T00:00:00Z,NULL,nan',
    '2025-03-30 01:30:00,20.1,50.1',
    '2025-10-26 01:30:00,20.1,50.1',
    '\0\0\0\0',
    '\u00ff\u00fe',
    '\r',
    '2025-10-01T00:00:00Z,20.1,50.12025-10-01T00:10:00Z,20.2,50.3',
    '"2025-10-01T00:00:00Z","20.1","50.1"',
    '(3 rows)',
    '3 rows in set (0.00 sec)',
    'sep=,',
  );
  const anything = fc.string({ unit: fc.constantFrom(...'0123456789-:.,TZ "\\ex'), maxLength: 30 });
  const files = fc
    .tuple(
      fc.array(fc.oneof({ weight: 3, arbitrary: good }, damage, anything), { maxLength: 40 }),
      fc.boolean(),
    )
    // the heading and a reading in front, so that there is a layout
    .map(([rest, ended]) => [HEADING, line(0), ...rest].join('\n') + (ended ? '\n' : ''));
  const windows = fc
    .tuple(fc.option(fc.nat({ max: 300 })), fc.option(fc.nat({ max: 300 })))
    .map(([from, length]) => ({
      from: from === null ? null : START + from * 600_000,
      until: length === null ? null : START + ((from ?? 0) + length) * 600_000,
    }));
  const countLines = (text: string) => text.split('\n').length - (text.endsWith('\n') ? 1 : 0);
  const sum = (parts: {
    header: number;
    blank: number;
    accepted: number;
    rejected: number;
    outsideWindow: number;
  }) => parts.header + parts.blank + parts.accepted + parts.rejected + parts.outsideWindow;

  it('of a damaged file', async () => {
    await fc.assert(
      fc.asyncProperty(files, windows, fc.integer({ min: 1, max: 200 }), async (text, window, piece) => {
        const { logs, sources, rejected, failures } = await read(text, { window, piece });
        fc.pre(failures.length === 0); // where most lines are torn in the same way, the input is refused
        const { lines: account, log, rejections } = logs[0]!;
        expect(account.total).toBe(countLines(text));
        expect(sum(account)).toBe(account.total);
        expect(sources[0]!.lines).toEqual(account);
        expect(log.length).toBe(account.accepted);
        const told = rejections.reduce((all, { count }) => all + count, 0);
        const isOpen = window.from === null && window.until === null;
        expect(told).toBe(isOpen ? account.rejected : Math.min(told, account.rejected));
        expect(rejected.flatMap((raw) => raw.split('\n')).length).toBe(account.rejected);
        for (const time of log.time) {
          expect(time >= (window.from ?? -Infinity) && time < (window.until ?? Infinity)).toBe(true);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('of a file with a column of names', async () => {
    const rows = fc.array(fc.tuple(fc.nat({ max: 300 }), fc.constantFrom('a', 'b', 'c', '')), {
      maxLength: 40,
    });
    await fc.assert(
      fc.asyncProperty(rows, windows, async (named, window) => {
        const text = `logger,${HEADING}\na,${line(0)}\n${named.map(([row, name]) => `${name},${line(row)}\n`).join('')}`;
        const { logs, sources } = await read(text, { window, layout: { loggerColumn: 'logger' } });
        const account = sources[0]!.lines;
        expect([account.total, sum(account)]).toEqual([countLines(text), countLines(text)]);
        expect(account.rejected).toBe(named.filter(([, name]) => name === '').length);
        expect(logs.reduce((all, { lines: own }) => all + own.accepted, 0)).toBe(account.accepted);
        for (const { lines: own, log } of logs) {
          expect(sum(own)).toBe(own.total);
          expect(own.accepted).toBe(log.length);
        }
      }),
      { numRuns: 80 },
    );
  });

  it('of a file with columns side by side', async () => {
    const cell = fc.constantFrom('20.1', '50.5', '', 'NULL', 'err');
    const rows = fc.array(fc.tuple(fc.nat({ max: 300 }), cell, cell, cell, cell, fc.boolean()), {
      maxLength: 30,
    });
    await fc.assert(
      fc.asyncProperty(rows, windows, async (wide, window) => {
        // enough of them to show how wide a line is
        const sound = `${stamp(0)}Z,20.5,50.5,20.5,50.5\n`.repeat(31);
        const body = wide.map(
          ([row, a, b, c, d, torn]) => `${stamp(row)}Z,${a},${b},${c}${torn ? '' : `,${d}`}\n`,
        );
        const text = `time,T1,RH1,T2,RH2\n${sound}${body.join('')}`;
        const { logs, sources } = await read(text, { window });
        const account = sources[0]!.lines;
        expect([account.total, sum(account)]).toEqual([countLines(text), countLines(text)]);
        expect(account.rejected).toBe(wide.filter(([, , , , , torn]) => torn).length);
        for (const { lines: own, log } of logs) {
          expect([own.total, sum(own)]).toEqual([countLines(text), countLines(text)]);
          expect(own.accepted).toBe(log.length);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('of one whose column of names is empty: it is one log, named by the file', async () => {
    const text = `time,logger,temp,rh\n${Array.from({ length: 30 }, (_, i) => `${stamp(i)}Z,,20.1,50.1\n`).join('')}`;
    const { log, lines: account, rejections } = await readOne(text);
    expect([log.logger, log.length, account.total, account.rejected]).toEqual(['shed', 30, 31, 0]);
    expect(rejections).toEqual([]);
  });

  it('of one that is told to have a column of names, and has none in it', async () => {
    const text = `time,logger,temp,rh\n${Array.from({ length: 30 }, (_, i) => `${stamp(i)}Z,,20.1,50.1\n`).join('')}`;
    const { log, lines: account, rejections } = await readOne(text, { layout: { loggerColumn: 'logger' } });
    expect([log.logger, account.total, account.rejected]).toEqual(['shed', 31, 30]);
    expect(rejections).toMatchObject([{ reason: 'logger', count: 30, firstLine: 2, lastLine: 31 }]);
  });

  it('of 100,000 broken ones, and they make one rejection', async () => {
    const broken = 'sensor error" 17, see"\n'.repeat(100_000);
    const { lines: account, rejections } = await readOne(`${HEADING}\n${lines(0, 9)}${broken}`);
    expect(account).toMatchObject({ total: 100_010, accepted: 9, rejected: 100_000 });
    expect(rejections).toEqual([
      {
        source: 'stdin',
        reason: 'quotes',
        count: 100_000,
        firstLine: 11,
        lastLine: 100_010,
        example: 'sensor error" 17, see"',
        detail: null,
        from: Date.parse(`${stamp(8)}Z`),
        until: null,
      },
    ]);
  });

  it.each(['-', ' ', '12:30 ', '"a', '9', 'x'])('of one line of 4 MB of %j', async (unit) => {
    const long = `${unit.repeat(4_000_000 / unit.length)}x`;
    const text = `${HEADING}\n${lines(0, 9000)}${long}\n${lines(9000, 9009)}`;
    const { lines: account, rejections } = await readOne(text);
    expect(account).toMatchObject({ total: 9011, header: 1, accepted: 9009, rejected: 1 });
    expect(rejections[0]!.example.length).toBeLessThan(1000);
  });
});

describe('rejected lines', () => {
  it.each([
    { reason: 'cells', bad: '2025-10-01T01:00:00Z,20.1' },
    { reason: 'cells', bad: '2025-10-01T01:00:00Z,20.1,50.1,9' },
    { reason: 'time', bad: '2025-10-32T01:00:00Z,20.1,50.1' },
    { reason: 'time', bad: '-,20.1,50.1' },
    { reason: 'time', bad: ',20.1,50.1' },
    { reason: 'clock', bad: '1970-01-01T00:00:12Z,20.1,50.1' },
    { reason: 'clock', bad: '2155-01-01T00:00:12Z,20.1,50.1' },
    { reason: 'quotes', bad: '"2025-10-01T01:00:00Z,20.1,50.1' },
    { reason: 'skipped_hour', bad: '2025-03-30T01:00:00,20.1,50.1' },
  ])('are told by reason and given back as they were: $reason, $bad', async ({ reason, bad }) => {
    const { logs, rejected } = await read(`${HEADING}\r\n${line(0)}\r\n${bad}\r\n${line(9)}\r\n`);
    expect(logs[0]!.rejections).toMatchObject([
      { reason, count: 1, firstLine: 3, lastLine: 3, example: bad },
    ]);
    expect(rejected).toEqual([bad]);
    expect(logs[0]!.log.length).toBe(2);
  });

  it('that span lines are counted as lines', async () => {
    const { rejections, lines: account } = await readOne(`${HEADING}\n${line(0)}\n"a\nb",c\n${line(1)}\n`);
    expect(rejections).toMatchObject([{ reason: 'cells', count: 2, firstLine: 3, lastLine: 4 }]);
    expect(account).toMatchObject({ total: 5, rejected: 2, accepted: 2 });
  });

  it('below the heading are none of it', async () => {
    const { lines: account } = await readOne(`${HEADING}\nerror,error,error\n${lines(0, 3)}`);
    expect(account).toMatchObject({ header: 1, rejected: 1 });
  });
});

describe('the last line', () => {
  const log = `${HEADING}\n${lines(0, 30)}`;
  it.each([
    { why: 'cut in its last number', end: `${stamp(30)}Z,20.1,5`, reason: 'cut' },
    { why: 'cut behind the point', end: `${stamp(30)}Z,20.1,50.`, reason: 'cut' },
    { why: 'cut before its last number', end: `${stamp(30)}Z,20.1,`, reason: 'cut' },
    { why: 'cut in the middle', end: `${stamp(30)}Z,2`, reason: 'cells' },
    { why: 'cut in its stamp', end: '2025-10-01T05:0', reason: 'cells' },
    { why: 'whole, without a line end', end: `${stamp(30)}Z,20.1,50.5`, reason: null },
    { why: 'short, with a line end', end: `${stamp(30)}Z,20.1,5\n`, reason: null },
  ])('$why', async ({ end, reason }) => {
    const { rejections } = await readOne(log + end);
    expect(rejections.map((each) => each.reason)).toEqual(reason === null ? [] : [reason]);
  });

  it('is no shorter for having no decimals where others have none either', async () => {
    const { log: read } = await readOne(
      `${HEADING}\n${lines(0, 30).replaceAll('.5\n', '\n')}${stamp(30)}Z,20.1,7`,
    );
    expect(read.humidity[30]).toBe(7);
  });
});

describe('headings in the middle', () => {
  const block = (heading: string, row: number) => {
    const cells = { time: `${stamp(row)}Z`, temperature: '20.5', humidity: '50.5', note: 'x' };
    const order = heading.split(',') as (keyof typeof cells)[];
    return `${heading}\n${order.map((name) => cells[name]).join(',')}\n`;
  };
  const same = (rows: number) => Array.from({ length: rows }, (_, i) => [stamp(i).slice(0, 16), 20.5, 50.5]);

  it('may have their columns in any order, and come again as they were', async () => {
    const orders = fc.shuffledSubarray(['time', 'temperature', 'humidity', 'note'], { minLength: 4 });
    await fc.assert(
      fc.asyncProperty(fc.array(orders, { minLength: 1, maxLength: 8 }), async (headings) => {
        const read = await readOne(headings.map((heading, i) => block(heading.join(','), i)).join(''));
        expect(rowsOf(read)).toEqual(same(headings.length));
        expect(read.lines).toMatchObject({ header: headings.length, rejected: 0 });
      }),
      { numRuns: 100 },
    );
  });

  it('may have more columns, fewer, quotes, and a byte order mark', async () => {
    const blocks = [
      block(HEADING, 0),
      block('note,humidity,time,temperature', 1),
      `\ufeff"time","humidity","temperature"\n"${stamp(2)}Z","50.5","20.5"\n`,
      block(HEADING, 3),
    ];
    expect(rowsOf(await readOne(blocks.join('')))).toEqual(same(4));
  });
});

describe('cells', () => {
  it('that hold no number are told by line', async () => {
    const { log, unreadable } = await readOne(
      `${HEADING}\n${line(0)}\n${stamp(1)}Z,err,0x10\n${stamp(2)}Z,,\n${line(3)}\n`,
    );
    expect([...log.temperature]).toEqual([20, NaN, NaN, 20.3]);
    expect(unreadable).toEqual([
      { source: 'stdin', line: 3, quantity: 'air_temperature', text: 'err' },
      { source: 'stdin', line: 3, quantity: 'relative_humidity', text: '0x10' },
    ]);
    expect([log.inputFlags?.temperature[1], log.inputFlags?.humidity[1]]).toEqual([4, 4]);
  });

  it('in another unit than the rest are none that can be read', async () => {
    const rows = ['20.1 °C', '20.2 °C', '68.4 °F', '20.4 °C'].map((t, i) => `${stamp(i)}Z,${t},50 %\n`);
    const { log, unreadable } = await readOne(`${HEADING}\n${rows.join('')}`);
    expect([...log.temperature]).toEqual([20.1, 20.2, NaN, 20.4]);
    expect(unreadable).toMatchObject([{ line: 4, text: '68.4 °F' }]);
  });
});

describe('the order of a file', () => {
  it('does not matter', async () => {
    const rows = Array.from({ length: 30 }, (_, i) => line(i));
    const oldest = await readOne(`${HEADING}\n${rows.join('\n')}\n`);
    const newest = await readOne(`${HEADING}\n${rows.toReversed().join('\n')}\n`);
    expect(rowsOf(newest)).toEqual(rowsOf(oldest));
    expect([oldest.parts[0]!.newestFirst, newest.parts[0]!.newestFirst]).toEqual([false, true]);
    expect(lineAt(newest.log.lines, 0)).toBe(31);
  });
});

describe('a cleaned file of our own', () => {
  const cleaned = [
    'time,logger,air_temperature_degC,relative_humidity_pct,air_temperature_flag,relative_humidity_flag,dew_point_temperature_degC',
    '2025-10-26T01:00:00+01:00,boat-hall,8.4,91.2,1,1,7.0',
    '2025-10-26T01:30:00+01:00,boat-hall,,91.3,4,1,',
    '2025-10-26T01:00:00Z,boat-hall,8.2,,3,9,',
    "2025-10-26T01:00:00Z,'=loft,8.2,80,1,2,",
  ];

  it('is read with its flags', async () => {
    const { logs } = await read(`${cleaned.join('\n')}\n`);
    const hall = logs.find(({ log }) => log.logger === 'boat-hall')!;
    expect(rowsOf(hall)).toEqual([
      ['2025-10-26T00:00', 8.4, 91.2],
      ['2025-10-26T00:30', NaN, 91.3],
      ['2025-10-26T01:00', 8.2, NaN],
    ]);
    expect([...hall.log.inputFlags!.temperature]).toEqual([1, 4, 3]);
    expect([...hall.log.inputFlags!.humidity]).toEqual([1, 1, 9]);
    expect(hall.parts[0]!.assumed).toMatchObject({
      temperature_unit: 'degC',
      humidity_unit: 'pct',
      zone_of_stamps: null,
    });
  });
});

describe('an input', () => {
  it.each<{ why: string; text: string; header: number; blank: number }>([
    { why: 'that is empty', text: '', header: 0, blank: 0 },
    { why: 'of line ends', text: '\n\n\r\n', header: 0, blank: 3 },
    { why: 'with a heading only', text: `${HEADING}\n`, header: 1, blank: 0 },
    { why: 'with a heading and no line end', text: '\ufeffDatum;Temperatur;Feuchte', header: 1, blank: 0 },
    {
      why: 'with a table of no rows',
      text: ' time | temp | rh \n------+------+----\n(0 rows)\n\n',
      header: 3,
      blank: 1,
    },
    { why: 'with comments only', text: '# nothing yet\n', header: 1, blank: 0 },
  ])('$why is a log without readings', async ({ text, header, blank }) => {
    const { log, lines: account } = await readOne(text);
    expect(log.length).toBe(0);
    expect(account).toEqual({
      total: header + blank,
      header,
      blank,
      accepted: 0,
      rejected: 0,
      outsideWindow: 0,
    });
  });

  it('of a single reading is a log', async () => {
    expect(rowsOf(await readOne(`${HEADING}\n${line(0)}`))).toEqual([['2025-10-01T00:00', 20, 50.5]]);
  });

  it('of bad lines only is refused, with the first of them behind what may be a heading', async () => {
    const error = await refusal('\nsensor error 1\nsensor error 2\n');
    expect(error.place).toEqual({ file: 'stdin', line: 3, text: 'sensor error 2' });
  });

  it('that is no text is refused', async () => {
    const bytes = Buffer.from(Array.from({ length: 4000 }, (_, i) => (i * 167) % 256));
    expect(explain(await refusal(bytes))).toMatch(/^stdin: this is not a text file\n/);
  });

  it('with a block of zeros, as a power cut leaves it, loses one line', async () => {
    const { lines: account } = await readOne(
      `${HEADING}\n${lines(0, 5)}${'\0'.repeat(4096)}\n${lines(5, 10)}`,
    );
    expect(account).toMatchObject({ total: 12, accepted: 10, rejected: 1 });
  });

  it('comes the same in pieces of any length, packed or not', async () => {
    const text = `${HEADING}\n${lines(0, 40)}"torn\n${lines(40, 60)}`;
    const whole = await readOne(text);
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 700 }), fc.boolean(), async (piece, packed) => {
        const again = await readOne(packed ? gzipSync(text) : text, { piece });
        expect([rowsOf(again), again.lines]).toEqual([rowsOf(whole), whole.lines]);
      }),
      { numRuns: 40 },
    );
  });

  it('of several gzip files end to end is read to its end', async () => {
    const parts = [`${HEADING}\n${lines(0, 3)}`, lines(3, 5), `${HEADING}\n${lines(5, 9)}`].map((part) =>
      gzipSync(part),
    );
    const { log, lines: account } = await readOne(Buffer.concat(parts), { piece: 7 });
    expect([log.length, account.header]).toEqual([9, 2]);
  });

  it.each([
    {
      why: 'ends too early',
      bytes: gzipSync(lines(0, 500)).subarray(0, 300),
      says: /^stdin: the gzip file ends too early\n/,
    },
    {
      why: 'is damaged',
      bytes: Buffer.concat([gzipSync(lines(0, 500)).subarray(0, 100), Buffer.alloc(400, 0x55)]),
      says: /^stdin: the gzip file is damaged\n/,
    },
  ])('whose gzip $why is refused', async ({ bytes, says }) => {
    expect(explain(await refusal(bytes))).toMatch(says);
  });
});

describe('files', () => {
  let folder = '';
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'dewledger-reading-'));
  });
  afterAll(async () => {
    await rm(folder, { recursive: true });
  });

  async function readFiles(paths: readonly string[], said: Said = {}) {
    const inputs = paths.map(
      (path): Input => ({ path, logger: 'shed', layout: NOTHING_SAID, zone: LONDON, ...said }) as Input,
    );
    async function* nothing(): AsyncGenerator<Buffer> {}
    return readLogs(inputs, EVER, nothing());
  }

  it('of one logger make one log, whatever their order and writing', async () => {
    const [a, b] = [join(folder, 'a.csv'), join(folder, 'b.csv')];
    await writeFile(a, `${HEADING}\n${lines(5, 10)}bad\n`);
    const german = lines(0, 7).replaceAll(',', ';').replaceAll('.', ',');
    await writeFile(b, gzipSync(`Zeit;Temperatur;Feuchte\n${german}`));
    const { logs, sources } = await readFiles([a, b]);
    const { log, lines: account, rejections } = logs[0]!;
    expect([...log.time].map((time) => (time - START) / 600_000)).toEqual([
      0, 1, 2, 3, 4, 5, 5, 6, 6, 7, 8, 9,
    ]);
    expect([...log.source]).toEqual([1, 1, 1, 1, 1, 0, 1, 0, 1, 0, 0, 0]);
    expect(log.sources).toEqual([a, b]);
    expect(log.temperature[9]).toBe(20.7);
    expect(account).toMatchObject({ total: 15, header: 2, accepted: 12, rejected: 1 });
    expect(sources.map(({ lines: own }) => own.total)).toEqual([7, 8]);
    expect(rejections).toMatchObject([{ source: a, reason: 'cells', firstLine: 7 }]);
  });

  it('that cannot be read do not stop the others', async () => {
    const good = join(folder, 'good.csv');
    await writeFile(good, `${HEADING}\n${lines(0, 5)}`);
    const { logs, failures } = await readFiles([join(folder, 'none.csv'), folder, join(good, 'x.csv'), good]);
    expect(failures.map(explain)).toEqual([
      `${join(folder, 'none.csv')}: no such file`,
      `${folder}: this is a directory, not a log\n  name the files in it`,
      `${join(good, 'x.csv')}: no such file: a part of the path is not a directory`,
    ]);
    expect(logs.map(({ log }) => log.length)).toEqual([5]);
  });
});
