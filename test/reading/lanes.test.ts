import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { UTC, zoneNamed } from '../../src/calendar/zone.js';
import { readBeats } from '../../src/reading/heartbeats.js';
import { lineFeed } from '../../src/reading/lineFeed.js';
import { type PlainColumns, plainLines } from '../../src/reading/plainLines.js';
import { recordScanner } from '../../src/reading/records.js';
import { lineNumbers } from '../log/lineNumbers.js';
import { type Heard, LONDON, read, type Said } from './reading.js';

const RUNS = 250;

/** Reads without the lane for plain lines. */
let readSlowly: (text: string | Buffer, said?: Said) => Promise<Heard>;
let readBeatsSlowly: typeof readBeats;
beforeAll(async () => {
  vi.resetModules();
  vi.doMock('../../src/reading/plainLines.js', () => ({ plainLines: () => null }));
  ({ read: readSlowly } = await import('./reading.js'));
  ({ readBeats: readBeatsSlowly } = await import('../../src/reading/heartbeats.js'));
});
afterAll(() => vi.doUnmock('../../src/reading/plainLines.js'));

/** All that was read, as values that can be compared. */
function told({ logs, sources, failures, rejected }: Heard) {
  return {
    logs: logs.map(({ log, around, ...rest }) => ({
      ...rest,
      length: [log.length, around.length],
      columns: [log.time, log.temperature, log.humidity, lineNumbers(log.lines)].map((column) => [...column]),
      flags: log.inputFlags === null ? null : [[...log.inputFlags.temperature], [...log.inputFlags.humidity]],
    })),
    sources,
    failures: failures.map(({ message }) => message),
    rejected,
  };
}

const START = Date.UTC(2025, 9, 25);
const stampsOf: Readonly<Record<string, (iso: string) => string>> = {
  'local SQL': (iso) => iso.slice(0, 19).replace('T', ' '),
  'ISO with Z': (iso) => iso,
  'ISO with offset': (iso) => iso.replace(/\..*/, '+02:00'),
  'short offset': (iso) => iso.replace(/\..*/, '-03'),
  'without seconds': (iso) => iso.slice(0, 16),
  'day first': (iso) =>
    iso.replace(/(\d+)-(\d+)-(\d+)T(.*)\..*/, (_, y, m, d, clock) => `${d}.${m}.${y} ${clock}`),
  'day first, short': (iso) =>
    iso.replace(
      /(\d+)-(\d+)-(\d+)T(\d+)(.*)\..*/,
      (_, y, m, d, h, rest) => `${+d}/${+m}/${y.slice(2)} ${+h}${rest}`,
    ),
  'twelve hours': (iso) =>
    iso.replace(
      /(\d+)-(\d+)-(\d+)T(\d+):(\d+).*/,
      (_, y, m, d, h, min) => `${y}-${m}-${d} ${h % 12 || 12}:${min} ${h < 12 ? 'AM' : 'pm'}`,
    ),
  seconds: (iso) => String(Date.parse(iso) / 1000),
  milliseconds: (iso) => String(Date.parse(iso)),
  microseconds: (iso) => String(Date.parse(iso) * 1000),
  'seconds with decimals': (iso) => (Date.parse(iso) / 1000 + 0.1239).toFixed(4),
};

const localStamp = (instant: number) => stampsOf['local SQL']!(new Date(instant).toISOString());

interface Dialect {
  readonly delimiter: string;
  readonly decimal: string;
  readonly quotes: 'none' | 'all' | 'some';
  readonly end: string;
  readonly stamp: string;
  readonly logger: boolean;
  readonly wide: boolean;
  readonly extra: boolean;
  readonly apart: boolean;
}

const dialects: fc.Arbitrary<Dialect> = fc
  .record({
    delimiter: fc.constantFrom(',', ';', '\t', '|', ' '),
    decimal: fc.constantFrom('.', ','),
    quotes: fc.constantFrom<'none' | 'all' | 'some'>('none', 'all', 'some'),
    end: fc.constantFrom('\n', '\r\n', '\r'),
    stamp: fc.constantFrom(...Object.keys(stampsOf)),
    logger: fc.boolean(),
    wide: fc.boolean(),
    extra: fc.boolean(),
    apart: fc.boolean(),
  })
  .map((dialect) => ({
    ...dialect,
    apart: dialect.apart && dialect.stamp === 'local SQL',
    quotes:
      (dialect.delimiter === ',' && dialect.decimal === ',') ||
      (dialect.delimiter === ' ' && dialect.stamp !== 'seconds')
        ? 'all'
        : dialect.quotes,
  }));

const oddCells = fc.constantFrom(
  '',
  ' ',
  'NULL',
  'nan',
  '\\N',
  '-',
  '+',
  '.',
  '-0.0',
  '+4',
  '.5',
  '5.',
  '21.5 C',
  '80 %',
  'err',
  '1e3',
  '1234567890.1234567',
  '0000000000000000021.5',
  '0.30000000000000004',
  '99999999999',
  '1,5',
  '1.5',
  '21.5',
  '21.55',
  '1.55',
  '121.5',
  // what stands beside digits and marks among all characters
  '2:.5',
  '/1.5',
  '21.:',
  '2/5',
  ':.5',
  '1.?',
  '2025-02-30 00:00:00',
  '2025-10-26 01:30:00',
  '2025-03-30 01:30:00',
  '1970-01-01 00:00:10',
  '2000-01-02 00:00:10',
  '2031-01-02 00:00:10',
  '2025-10-01 24:00:00',
  '2025-10-01 ::05:00',
  '2025-10-01 :5:00',
  '2025-10-01 00:00:00.9999999999',
  '2025-10-01 00:00:00,5',
  '2025-10-01 00:00:00 UTC',
  '2025-10-01 00:00:00 +0100',
  '2025-10-01 00:00:00+01:',
  '2025-10-01t00:00:00z',
  // on the first day of the inputs
  '2025-10-25 00:03:00',
  '2025-10-25T00:03:00Z',
  '2025-10-25T00:03:00+01:30',
  '2025-10-25T00:03:00-0130',
  '2025-10-01',
  '1.1.25 1:5 ',
  '1.1.25,1:2 05:00',
  '1696118400,5',
  '1696118400000000000',
  'a""b',
  'a"b',
  'a\tb',
  '\u00ff',
  '\0',
);

/** What happens to a line. */
const damages = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.constant<(line: string, cells: string[], joint: string) => string>((line) => line),
  },
  fc.constantFrom<(line: string, cells: string[], joint: string) => string>(
    () => '',
    () => '# note',
    () => '"',
    (line) => `${line}\r`,
    (line) => `${line} `,
    (line) => ` ${line}`,
    (line, _, joint) => line + joint,
    (line, _, joint) => `${line + joint}x`,
    (line) => line.slice(0, -4),
    (line) => line.replace('"', ''),
    (line) => `${line}${line}`,
    (line) => `\u00ef\u00bb\u00bf${line}`,
    (line) => line.replaceAll('"', '\\"'),
    (_, cells, joint) => cells.toReversed().join(joint),
  ),
  fc.tuple(fc.nat({ max: 20 }), oddCells, fc.boolean()).map(
    ([at, odd, quoted]) =>
      (_: string, cells: string[], joint: string) =>
        cells.with(at % cells.length, quoted ? `"${odd}"` : odd).join(joint),
  ),
);

const inputs = fc
  .record({
    dialect: dialects,
    readings: fc.integer({ min: 25, max: 60 }),
    step: fc.constantFrom(1, 10, 60, 60 * 24),
    damage: fc.array(fc.tuple(fc.nat({ max: 200 }), damages), { maxLength: 12 }),
    ended: fc.boolean(),
    seed: fc.nat(),
    again: fc.option(fc.nat({ max: 50 })),
  })
  .map(({ dialect, readings, step, damage, ended, seed, again }) => {
    const { delimiter, decimal, quotes, end, stamp, logger, wide, extra, apart } = dialect;
    const quoted = (cell: string, i: number) =>
      quotes === 'all' || (quotes === 'some' && (i + seed) % 3 === 0) ? `"${cell}"` : cell;
    const number = (value: number, decimals: number) => value.toFixed(decimals).replace('.', decimal);
    const heading = [
      ...(extra ? ['row_id'] : []),
      ...(apart ? ['date', 'clock'] : ['time']),
      ...(logger && !wide ? ['logger'] : []),
      ...(wide ? ['hall_temp', 'hall_rh', 'loft_temp', 'loft_rh'] : ['temperature', 'humidity']),
    ];
    const lineOf = (i: number) => {
      const time = stampsOf[stamp]!(new Date(START + i * step * 60_000).toISOString());
      const value = (k: number) => [
        number(((i * 7 + k) % 90) / 10 - 3, 1 + (seed % 2)),
        number(50 + ((i * 3 + k) % 80) / 10, 1),
      ];
      const cells = [
        ...(extra ? [String(i)] : []),
        ...(apart ? time.split(' ') : [time]),
        ...(logger && !wide ? [`node-${(i * seed) % 3}`] : []),
        ...(wide ? [...value(0), ...value(5)] : value(0)),
      ].map(quoted);
      return { cells, text: cells.join(delimiter) };
    };
    const lines = Array.from({ length: readings }, (_, i) => lineOf(i).text);
    for (const [place, change] of damage) {
      const i = place % readings;
      const { cells, text } = lineOf(i);
      lines[i] = change(text, cells, delimiter);
    }
    if (again !== null) lines.splice(again, 0, heading.toReversed().join(delimiter));
    return [heading.join(delimiter), ...lines].join(end) + (ended ? end : '');
  });

/** What the lane for plain lines makes of lines, by itself: the values of those that it takes. */
function plainly(text: string, said: Partial<PlainColumns> = {}) {
  const rows: { line: number; values: number[]; names: string[]; zoned: boolean }[] = [];
  const lane = plainLines({ ...COLUMNS, ...said }, null, (_, block) => {
    for (let i = 0; i < block.count; i++) {
      const { line, values, texts, firstZoned } = block;
      const names = texts.map(({ from, to }) => block.bytes.toString('latin1', from[i], to[i]));
      rows.push({
        line: line + i,
        values: values.map((column) => column[i]!),
        names,
        zoned: i === firstZoned,
      });
    }
    return block.count;
  })!;
  const bytes = Buffer.from(text, 'latin1');
  const end = lane.take(bytes, 0, bytes.length, 1);
  return { rows, left: bytes.toString('latin1', end) };
}

const COLUMNS: PlainColumns = {
  punctuation: { delimiter: ',', escape: '"', lineEnd: '\n' },
  decimal: '.',
  width: 3,
  time: [0],
  style: 'year-first',
  offset: null,
  zone: UTC,
  numbers: [1, 2],
  names: [],
};

describe('the lane for plain lines', () => {
  const at = Date.UTC(2025, 9, 1, 7, 5);

  it('reads lines of any width and length', () => {
    const lineOf = (numbers: number, cell: string) =>
      `2025-10-01 07:05:00${`,${cell}`.repeat(numbers)}\n2025-10-01 07:06:00${',1.5'.repeat(numbers)}\n`;
    const said = (numbers: number): Partial<PlainColumns> => ({
      width: 1 + numbers,
      numbers: Array.from({ length: numbers }, (_, i) => i + 1),
    });
    // so many columns that a block holds fewer lines than others do
    for (const numbers of [1, 40, 1500, 4095]) {
      const lines = lineOf(numbers, '20.5').repeat(300);
      const { rows, left } = plainly(lines, said(numbers));
      expect(left).toBe('');
      expect(rows).toHaveLength(600);
      expect(rows[598]!.values.slice(1)).toEqual(Array(numbers).fill(20.5));
      expect(rows[599]!.values.slice(1)).toEqual(Array(numbers).fill(1.5));
      expect(rows[599]!.values[0]).toBe(at + 60_000);
    }
    // longer than what is looked at in one go
    const long = lineOf(4000, '20.50000000');
    expect(plainly(long, said(4000))).toEqual({ rows: [], left: long });
    // more columns than there is room for
    expect(plainLines({ ...COLUMNS, ...said(4096) }, null, () => 0)).toBeNull();
  });

  it('forgets what others have read when its turn comes', () => {
    const texts = [
      '2025-10-01 07:05:00,20.5,50\n',
      '2025-10-01 07:06:00,20.5,50\n2025-10-02 07:06:00,20.5,50\n',
    ];
    const lanes = [UTC, LONDON].map((zone) => {
      const times: number[] = [];
      const columns = { ...COLUMNS, zone, numbers: [null, 2] };
      const lane = plainLines(columns, null, (_, { count, values }) => {
        for (let i = 0; i < count; i++) times.push(values[0]![i]!, values[1]![i]!);
        return count;
      })!;
      return { lane, times };
    });
    for (const text of texts) {
      const bytes = Buffer.from(text);
      for (const { lane } of lanes) {
        expect(lane.take(bytes, 0, bytes.length, 1)).toBe(bytes.length);
        plainly(text);
      }
    }
    const [utc, london] = lanes.map(({ times }) => times);
    expect(utc).toEqual([at, Number.NaN, at + 60_000, Number.NaN, at + 86_460_000, Number.NaN]);
    expect(london).toEqual(utc!.map((time) => time - 3_600_000));
  });

  it.each<{ why: string; line: string; said?: Partial<PlainColumns>; time?: number }>([
    { why: 'SQL', line: '2025-10-01 07:05:00,20.5,50' },
    { why: 'carriage return', line: '2025-10-01 07:05:00,20.5,50\r' },
    { why: 'blanks round cells', line: ' 2025-10-01 07:05:00 , 20.5 , 50 ' },
    { why: 'quotes', line: '"2025-10-01 07:05:00","20.5","50"' },
    { why: 'ISO', line: '2025-10-01T07:05:00Z,20.5,50' },
    { why: 'an offset', line: '2025-10-01T08:35:00+01:30,20.5,50' },
    { why: 'a short offset', line: '2025-10-01 05:05:00-02,20.5,50' },
    { why: 'no seconds', line: '2025-10-01 7:05,20.5,50' },
    { why: 'a fraction of a second', line: '2025-10-01 07:05:00.1239,20.5,50', time: at + 123 },
    { why: 'twelve hours', line: '2025-10-01 07:05 AM,20.5,50' },
    { why: 'day first', line: '1.10.2025 07:05,20.5,50', said: { style: 'day-first' } },
    { why: 'two digits of the year', line: '10/1/25 07:05,20.5,50', said: { style: 'month-first' } },
    { why: 'seconds', line: `${at / 1000},20.5,50`, said: { style: 'epoch' } },
    { why: 'parts of seconds', line: `${at / 1000}.0019,20.5,50`, said: { style: 'epoch' }, time: at + 1 },
    { why: 'milliseconds', line: `${at},20.5,50`, said: { style: 'epoch' } },
    { why: 'microseconds', line: `${at}000,20.5,50`, said: { style: 'epoch' } },
    { why: 'an offset for all', line: '2025-10-01 09:05:00,20.5,50', said: { offset: 7_200_000 } },
    { why: 'a zone', line: '2025-10-01 08:05:00,20.5,50', said: { zone: LONDON } },
    {
      why: 'date and clock apart',
      line: '2025-10-01,07:05:00,20.5,50',
      said: { width: 4, time: [0, 1], numbers: [2, 3] },
    },
    {
      why: 'decimal commas',
      line: '2025-10-01 07:05:00;20,5;50',
      said: { decimal: ',', punctuation: { delimiter: ';', escape: '"', lineEnd: '\n' } },
    },
    { why: 'decimal commas in quotes', line: '2025-10-01 07:05:00,"20,5",50', said: { decimal: ',' } },
    {
      why: 'other columns',
      line: '7,"x, y",2025-10-01 07:05:00,20.5,,50,\u00fc',
      said: { width: 7, time: [2], numbers: [3, 5] },
    },
    {
      why: 'blanks round quotes',
      line: '7, "x, y" , "2025-10-01 07:05:00" , "20.5" , "50"',
      said: { width: 5, time: [2], numbers: [3, 4], names: [1] },
    },
  ])('takes $why', ({ line, said = {}, time = at }) => {
    const { rows, left } = plainly(`${line}\n`, said);
    expect({ left, rows: rows.map(({ values }) => values) }).toEqual({ left: '', rows: [[time, 20.5, 50]] });
  });

  it.each(['', ' ', '""', 'NULL', 'nan', '"N/A"', '-'])('takes %j for a missing value', (cell) => {
    const { rows } = plainly(`2025-10-01 07:05:00,${cell},50\n`);
    expect(rows.map(({ values }) => values)).toEqual([[at, NaN, 50]]);
  });

  it('gives names without quotes, and says where the zone was needed', () => {
    const { rows } = plainly('2025-10-01 07:05,1,2,"a, b"\n2025-10-01 07:05Z,1,2,c\n', {
      width: 4,
      names: [3],
    });
    expect(rows.map(({ line, names, zoned }) => [line, names, zoned])).toEqual([
      [1, ['a, b'], true],
      [2, ['c'], false],
    ]);
  });

  const good = '2025-10-01 07:05:00,20.5,50\n';
  it.each<{ why: string; line: string; said?: Partial<PlainColumns> }>([
    { why: 'too few cells', line: '2025-10-01 07:05:00,20.5' },
    { why: 'too many cells', line: '2025-10-01 07:05:00,20.5,50,' },
    { why: 'a unit', line: '2025-10-01 07:05:00,20.5 C,50' },
    { why: 'an exponent', line: '2025-10-01 07:05:00,2.05e1,50' },
    { why: 'more digits than a double has', line: '2025-10-01 07:05:00,20.500000000000001,50' },
    { why: 'words', line: '2025-10-01 07:05:00,err,50' },
    { why: 'an escaped quote', line: '2025-10-01 07:05:00,20.5,"5""0"' },
    { why: 'a torn quote', line: '"2025-10-01 07:05:00,20.5,50' },
    { why: 'no such day', line: '2025-02-30 07:05:00,20.5,50' },
    { why: 'no such hour', line: '2025-10-01 24:05:00,20.5,50' },
    { why: 'no digit', line: '2025-10-01 ::05:00,20.5,50' },
    { why: 'two times of day', line: '1.1.25,1:2 05:00;20.5;50', said: { style: 'day-first' } },
    { why: 'a day of clock changes', line: '2025-10-26 12:00:00,20.5,50' },
    { why: 'a clock that was never set', line: '1970-01-01 00:00:10,20.5,50' },
    { why: 'a blank line', line: '' },
  ])('leaves alone: $why', ({ line, said = {} }) => {
    const { rows, left } = plainly(`${good}${line}\n${good}`, { zone: LONDON, ...said });
    expect(rows.length).toBe(said.style === undefined ? 1 : 0);
    if (said.style === undefined) expect(left).toBe(`${line}\n${good}`);
  });
});

describe('the two lanes', () => {
  it('agree on every input', { timeout: 120_000 }, async () => {
    let readings = 0;
    const zones = fc.constantFrom(LONDON, UTC, zoneNamed('Pacific/Apia'), zoneNamed('+05:30'));
    await fc.assert(
      fc.asyncProperty(inputs, zones, async (text, zone) => {
        const bytes = Buffer.from(text, 'latin1');
        const plain = told(await read(bytes, { zone }));
        readings += plain.logs.reduce((sum, { length }) => sum + length[0]!, 0);
        expect(plain).toEqual(told(await readSlowly(bytes, { zone })));
      }),
      { numRuns: RUNS },
    );
    // most of these inputs must have been readable for that to say anything
    expect(readings).toBeGreaterThan(10 * RUNS);
  });

  it('agree on every input of heartbeats', { timeout: 120_000 }, async () => {
    const signs = fc.constantFrom('uptime', 'boot_count', 'event');
    const cells = fc.constantFrom('', '0', '60', '120', '7', 'boot', 'NULL', '"a, b"', ' 61 ', '1""');
    const stamps = fc.oneof(
      {
        weight: 9,
        arbitrary: fc.nat({ max: 200 }).map((minute) => new Date(START + minute * 6e4).toISOString()),
      },
      { weight: 3, arbitrary: fc.nat({ max: 2880 }).map((minute) => localStamp(START + minute * 6e4)) },
      oddCells,
    );
    const lines = fc.array(
      fc.tuple(stamps, fc.constantFrom('a', '"b"', ' a', ''), cells, fc.nat({ max: 9 })),
      {
        minLength: 5,
        maxLength: 40,
      },
    );
    const textOf = (sign: string, rows: readonly (readonly [string, string, string, number])[]) =>
      [
        `id,time,logger,${sign}`,
        ...rows.map(
          ([stamp, logger, cell, skip], i) => `${2 * i + (skip === 9 ? 1 : 0)},${stamp},${logger},${cell}`,
        ),
      ].join('\n');
    const hear = async (reader: typeof readBeats, text: string) => {
      const beats: unknown[] = [];
      const input = { path: '-', logger: 'shed', zone: LONDON, dateOrder: null };
      try {
        const source = await reader(
          input,
          (async function* () {
            yield Buffer.from(text, 'latin1');
          })(),
          (...beat) => beats.push(beat),
        );
        return { beats, ...source, zone: source.zone?.name };
      } catch (error) {
        return String(error);
      }
    };
    await fc.assert(
      fc.asyncProperty(signs, lines, async (sign, rows) => {
        const text = textOf(sign, rows);
        expect(await hear(readBeats, text)).toEqual(await hear(readBeatsSlowly, text));
      }),
      { numRuns: RUNS },
    );
  });

  it('share the lines of an input in the same way, wherever it is cut', { timeout: 120_000 }, () => {
    const seen = (text: string, cuts: readonly number[]) => {
      const rows: unknown[] = [];
      const lane = plainLines(COLUMNS, null, (_, { line, count, values }) => {
        for (let i = 0; i < count; i++) rows.push([line + i, ...values.map((column) => column[i])]);
        return count;
      })!;
      const others = recordScanner(COLUMNS.punctuation, ({ line, lines, terminated, raw }) => {
        // where the input is cut decides which lane a plain line goes to
        const [row] = lines === 1 && terminated ? plainly(`${raw()}\n`).rows : [];
        rows.push(row === undefined ? [line, lines, terminated, raw()] : [line, ...row.values]);
      });
      const feed = lineFeed('\n', () => lane, others);
      const bytes = Buffer.from(text, 'latin1');
      const places = [0, ...cuts.filter((cut) => cut < bytes.length).sort((a, b) => a - b), bytes.length];
      for (let i = 1; i < places.length; i++) {
        // the feed must not rely on a piece once it has been given the next
        const piece = Buffer.from(bytes.subarray(places[i - 1]!, places[i]!));
        feed(piece, i === places.length - 1);
        piece.fill(0);
      }
      return rows;
    };
    const lines = fc.array(
      fc.constantFrom(
        '2025-10-01 07:05:00,20.5,50\n',
        '2025-10-01 07:15:00,20.7,50\r\n',
        '"2025-10-01 07:25:00","20.9","50"\n',
        '\n',
        'x,',
        '"2025-10-01 07:35:00","20\n9","50"\n',
        '"open\n',
        '2025-10-01 07:45:00,err,50\n',
      ),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(lines, fc.array(fc.nat({ max: 300 }), { maxLength: 6 }), (parts, cuts) => {
        const text = parts.join('');
        const whole = seen(text, []);
        expect(seen(text, cuts)).toEqual(whole);
        expect(
          seen(
            text,
            [...text].map((_, i) => i),
          ),
        ).toEqual(whole);
      }),
      { numRuns: 100 },
    );
  });
});
