// biome-ignore-all lint/suspicious/noConstEnum: they are put in as numbers. In a bundle a constant is a variable, which
// machine code has to load and to look at wherever it stands: a fifth of the time.

import type { Zone } from '../calendar/zone.js';
import type { Instant, Milliseconds } from '../units.js';
import { type DayTable, dayTable, findDay, LONGEST_DATE, SHORTEST_DATE, WORD } from './dayTable.js';
import { findName, type NameTable, nameTable } from './nameTable.js';
import { cellKind, type DecimalMark } from './number.js';
import type { Punctuation } from './records.js';
import { EARLIEST, LATEST, type StampStyle } from './stamp.js';

/** What the lines of an input hold that is read. Columns count from 0. */
export interface PlainColumns {
  readonly punctuation: Punctuation;
  readonly decimal: DecimalMark;
  /** Cells in a line. */
  readonly width: number;
  /** One column, or one of the date and one of the time of day. */
  readonly time: readonly number[];
  readonly style: StampStyle;
  /** Offset from UTC of stamps without one of their own; null where the clocks of the zone are meant. */
  readonly offset: Milliseconds | null;
  readonly zone: Zone;
  /** Columns of numbers, null for one that the input has not. */
  readonly numbers: readonly (number | null)[];
  /** Columns of text. */
  readonly names: readonly number[];
}

/**
 * What stands in lines that follow each other. The same object is handed over again and again; behind `count` lines
 * its columns hold what is left of others.
 */
export interface PlainBlock {
  /** Number of the first line, counted from 1. */
  line: number;
  /** How many lines there are. */
  count: number;
  bytes: Buffer;
  /** By line: the instants of the stamps, then each column of numbers, NaN where nothing or a word for it stands. */
  readonly values: readonly Float64Array[];
  /** By line for each column of text: it is bytes[from[line], to[line]), quotes taken off. */
  readonly texts: readonly { readonly from: Int32Array; readonly to: Int32Array }[];
  /** By line: bytes of the stamp; of its date where date and time of day stand apart. */
  readonly stampLengths: Uint8Array;
  /** The first line for which the zone of the input was needed; a number beyond all of them where it was for none. */
  firstZoned: number;
}

/**
 * Is told of lines.
 *
 * @returns how many it takes, from the first on; the one behind them goes to the other lane after all
 */
export type PlainVisit<To> = (to: To, block: PlainBlock) => number;

export interface PlainLines {
  /**
   * Takes the lines that begin at `from`, one after the other.
   *
   * @param to behind a line end
   * @param line number of the first line
   * @returns where the first line begins that is none of these; `to` where there is none
   */
  take(bytes: Buffer, from: number, to: number, line: number): number;
  /** How many lines it took the last time. */
  readonly taken: number;
}

const enum Kind {
  text,
  number,
  stamp,
  date,
  clock,
  epoch,
}

const enum Byte {
  newline = 10,
  return = 13,
  blank = 32,
  quote = 34,
  plus = 43,
  comma = 44,
  dash = 45,
  point = 46,
  zero = 48,
  nine = 57,
  colon = 58,
  letterT = 84,
  letterZ = 90,
  backslash = 92,
  smallA = 97,
  smallM = 109,
  smallP = 112,
}
/** Letters are compared as small ones. */
const SMALL = 32;

const enum Most {
  /**
   * Lines that are handed over at a time: what they hold stays in the processor's nearest memory. No power of two, by
   * which columns would stand in each other's way there.
   */
  lines = 500,
  /** Digits of an integer of 32 bits. */
  shortDigits = 9,
}

/** Bytes of a clock and the joint before it, of its seconds, which may be missing, and of an offset as +01:00. */
const enum Length {
  clock = 9,
  seconds = 3,
  offset = 6,
}

const enum Clock {
  /** HH:M and M:SS: crossed with them, a clock leaves its digits as numbers, each in a byte of its own. */
  head = 0x30303a30,
  tail = 0x303a3030,
  /** More than nine and six are more than 15: of what is no digit, an odd bit is set before or after adding. */
  sixesHead = 0x06060006,
  sixesTail = 0x06000606,
  oddHead = 0xf0f0fff0,
  oddTail = 0xf0fff0f0,
}

/** 00.0, and 0.0 behind its first byte, but for the mark: crossed with them, numbers in tenths leave their digits, see `Clock`. */
const enum Tenths {
  digits = 0x30300030,
  sixes = 0x06060006,
  odd = 0xf0f0fff0,
  shortMask = 0xffffff,
  shortSixes = 0x060006,
  shortOdd = 0xf0fff0,
}

/** What stands behind a clock: something else, an end of the cell, the letter for UTC, or an offset. */
const enum Behind {
  other,
  end,
  utc,
  offset,
}

/** Where in `lastStamp` of a lane the length of its date is, the three words of it, and the two of an offset. */
const enum LastStamp {
  length,
  head,
  middle,
  tail,
  offsetHead,
  offsetTail,
}

/**
 * Reads lines of the common kind from bytes to numbers. What it takes, it gives as the lane for all lines
 * (`recordScanner`, `stampParser`, `parseNumber`) would: of a line that needs a closer look (escaped quotes,
 * units behind values, stamps of unusual form, another number of cells, days of clock changes …) it keeps its
 * hands off, and leaves no trace of it.
 *
 * What makes it fast:
 * - It makes no string and no object for a line. A byte costs about a nanosecond, an object a hundred.
 * - Functions return where they stopped, a small integer, and leave what they found in typed arrays: a double
 *   that is returned, or kept in a variable of a closure, is put into a box of its own.
 * - Digits are gathered as an integer and divided once by a power of ten: exact, see `parseNumber`.
 * - A date is looked up by its bytes, taken as three words; only new ones are parsed and placed in the zone.
 * - `to` stands behind a line end, so no loop needs to look where the bytes end: all of them stop there.
 * - What is usual is looked at in words of four bytes: the date and the offset of the line before, a clock of
 *   HH:MM:SS or HH:MM, and numbers of the form 23.4 and 8.9.
 * - Lines are read and handed over in blocks, so that nothing is looked up or called for a line alone.
 * - What is done for each line stands in functions of the module, and what they need in a `Lane`: functions within
 *   functions would warm up anew for every input.
 *
 * @param visit told of the lines, and `to` with them
 * @returns null where the input as a whole is not of this kind
 */
export function plainLines<To>(columns: PlainColumns, to: To, visit: PlainVisit<To>): PlainLines | null {
  const lane = laneFor(columns);
  if (lane === null) return null;
  let taken = 0;
  return {
    take(bytes, from, until, line) {
      lane.block.line = line;
      const next = takeLines(lane, bytes, from, until, to, visit);
      taken = lane.block.line - line;
      return next;
    },
    get taken() {
      return taken;
    },
  };
}

/** All that the lines of one input are read by. */
interface Lane {
  readonly delimiter: number;
  readonly lineEnd: number;
  readonly width: number;
  readonly kinds: Uint8Array;
  readonly slots: Int32Array;
  /** The decimal mark of numbers, in quotes and without: -1 where it would be a delimiter. */
  readonly mark: number;
  readonly bareMark: number;
  /** Where texts end, in quotes and without. */
  readonly stops: Uint8Array;
  readonly quotedStops: Uint8Array;
  readonly days: DayTable;
  /** Row there of the day that was looked up last. */
  day: number;
  /** Bytes of the last stamp, as `remember` has them; the midnight of its day by what follows the clock. */
  readonly lastStamp: Int32Array;
  readonly lastMidnight: Float64Array;
  /** What a byte behind a clock is. */
  readonly clockEnds: Uint8Array;
  /** The column of the stamp, or of its date where the time of day stands apart. */
  readonly stampColumn: number;
  readonly isApart: boolean;
  /** Whether the clocks of the zone are meant where a stamp has no offset. */
  readonly isLocal: boolean;
  readonly missing: NameTable<true>;
  /** Milliseconds since midnight, and minutes to the east of UTC. */
  readonly clock: Int32Array;
  readonly block: PlainBlock;
  /** The columns of the block, one behind the other. */
  readonly values: Float64Array;
  readonly textFrom: Int32Array;
  readonly textTo: Int32Array;
  /** By line of the block: where it ends. */
  readonly ends: Int32Array;
}

function laneFor(columns: PlainColumns): Lane | null {
  const { punctuation, width, decimal, offset } = columns;
  const delimiter = punctuation.delimiter.charCodeAt(0);
  if (delimiter === Byte.blank) return null;
  const lineEnd = punctuation.lineEnd.charCodeAt(0);
  const mark = decimal === '.' ? Byte.point : Byte.comma;
  const values = new Float64Array((1 + columns.numbers.length) * Most.lines).fill(Number.NaN);
  const textFrom = new Int32Array((columns.names.length + 1) * Most.lines);
  const textTo = new Int32Array(textFrom.length);
  return {
    delimiter,
    lineEnd,
    width,
    ...rolesOf(columns),
    mark,
    bareMark: mark === delimiter ? -1 : mark,
    stops: stopsOf(delimiter, lineEnd, Byte.quote),
    quotedStops: stopsOf(Byte.quote, lineEnd, punctuation.escape === '\\' ? Byte.backslash : Byte.quote),
    clockEnds: clockEndsOf(delimiter, lineEnd),
    days: dayTable(columns.style, columns.zone, offset),
    isLocal: offset === null,
    missing: nameTable((text) => (cellKind(text) === 'missing' ? true : null)),
    day: -1,
    lastStamp: new Int32Array(6),
    lastMidnight: new Float64Array(4),
    stampColumn: columns.time[0]!,
    isApart: columns.time.length > 1,
    clock: new Int32Array(2),
    block: {
      line: 0,
      count: 0,
      bytes: Buffer.alloc(0),
      values: [null, ...columns.numbers].map((_, i) => rowsOf(values, i)),
      texts: columns.names.map((_, i) => ({ from: rowsOf(textFrom, i), to: rowsOf(textTo, i) })),
      stampLengths: new Uint8Array(Most.lines),
      firstZoned: Most.lines,
    },
    values,
    textFrom,
    textTo,
    ends: new Int32Array(Most.lines),
  };
}

/** The i-th of columns that stand one behind the other. */
function rowsOf<Columns extends Float64Array | Int32Array>(columns: Columns, i: number): Columns {
  return columns.subarray(i * Most.lines, (i + 1) * Most.lines) as Columns;
}

/** @returns where the first line begins that was not taken */
function takeLines<To>(
  lane: Lane,
  bytes: Buffer,
  from: number,
  until: number,
  to: To,
  visit: PlainVisit<To>,
): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { block, ends } = lane;
  block.bytes = bytes;
  let start = from;
  for (;;) {
    const next = readBlock(lane, bytes, view, start, until);
    if (block.count === 0) return start;
    const taken = visit(to, block);
    block.line += taken;
    if (taken < block.count) return taken === 0 ? start : ends[taken - 1]! + 1;
    start = next;
  }
}

/**
 * Reads lines into the block, as many as are plain and as it has room for.
 *
 * All that a usual line needs stands here in one piece: three calls a line would take a fifth of the time. Cells of
 * any other form, whatever they have about them, go through `cellAt`, as the first stamp of an input does: machine
 * code is made for what has come up until then, and thrown away where something else does, so there must be nothing
 * else to come.
 *
 * @returns where the first line begins that is not in it
 */
function readBlock(lane: Lane, bytes: Buffer, view: DataView, from: number, until: number): number {
  const { delimiter, lineEnd, width, kinds, slots, mark, bareMark, values, ends, block, isLocal } = lane;
  const { lastStamp, lastMidnight, clockEnds, stops, quotedStops, textFrom, textTo } = lane;
  const { stampLengths } = block;
  const earliest = EARLIEST;
  const latest = LATEST;
  const room = view.byteLength - STAMP_ROOM;
  block.firstZoned = Most.lines;
  let start = from;
  for (let line = 0; ; line++) {
    block.count = line;
    if (line === Most.lines || start >= until) return start;
    let at = start;
    for (let column = 0; column < width; column++) {
      const cell = at;
      const isQuoted = bytes[cell] === Byte.quote;
      const quote = isQuoted ? 1 : 0;
      let isUsual = false;
      at += quote;
      const kind = kinds[column];
      if (kind === Kind.number) {
        const isNegative = bytes[at] === Byte.dash;
        at += isNegative ? 1 : 0;
        const point = isQuoted ? mark : bareMark;
        const tenths = Tenths.digits | (point << 8);
        const word = at <= room ? view.getInt32(at) : 0;
        const long = word ^ tenths;
        const short = (word >>> 8) ^ (tenths & Tenths.shortMask);
        const length =
          ((long | (long + Tenths.sixes)) & Tenths.odd) === 0
            ? 4
            : ((short | (short + Tenths.shortSixes)) & Tenths.shortOdd) === 0
              ? 3
              : 0;
        const behind = bytes[at + length]!;
        if (length > 0 && point >= 0 && !(behind >= Byte.zero && behind <= Byte.nine)) {
          const value =
            length === 4
              ? (long >> 24) * 100 + ((long >> 16) & 15) * 10 + (long & 15)
              : (short >> 16) * 10 + (short & 15);
          at += length;
          isUsual = true;
          values[slots[column]! + line] = (value / 10) * (isNegative ? -1 : 1);
        } else {
          const whole = at;
          let value = 0;
          let byte = bytes[at]!;
          while (byte >= Byte.zero && byte <= Byte.nine) {
            value = (Math.imul(value, 10) + byte - Byte.zero) | 0;
            byte = bytes[++at]!;
          }
          const marks = byte === point ? 1 : 0;
          at += marks;
          const decimals = at;
          byte = bytes[at]!;
          while (byte >= Byte.zero && byte <= Byte.nine) {
            value = (Math.imul(value, 10) + byte - Byte.zero) | 0;
            byte = bytes[++at]!;
          }
          const digits = at - whole - marks;
          isUsual = digits > 0 && digits <= Most.shortDigits;
          // a product, so that the first frost meets nothing that machine code was not made for
          if (isUsual)
            values[slots[column]! + line] = (value / POWERS[at - decimals]!) * (isNegative ? -1 : 1);
        }
      } else if (kind === Kind.stamp) {
        const length = lastStamp[LastStamp.length]!;
        if (
          length > 0 &&
          at <= room &&
          view.getInt32(at) === lastStamp[LastStamp.head] &&
          view.getInt32(at + ((length - WORD) >> 1)) === lastStamp[LastStamp.middle] &&
          view.getInt32(at + length - WORD) === lastStamp[LastStamp.tail]
        ) {
          at += length;
          const joint = bytes[at]!;
          const head = view.getInt32(at + 1) ^ Clock.head;
          const hasSeconds = bytes[at + Length.clock - Length.seconds] === Byte.colon;
          const tail = hasSeconds ? view.getInt32(at + 5) ^ Clock.tail : (bytes[at + 5]! - Byte.zero) << 24;
          const odd =
            ((head | (head + Clock.sixesHead)) & Clock.oddHead) |
            ((tail | (tail + Clock.sixesTail)) & Clock.oddTail);
          const hour = (head >> 24) * 10 + ((head >> 16) & 15);
          const minute = (head & 15) * 10 + (tail >> 24);
          const second = ((tail >> 8) & 15) * 10 + (tail & 15);
          at += Length.clock - (hasSeconds ? 0 : Length.seconds);
          const behind = clockEnds[bytes[at]!]!;
          isUsual =
            odd === 0 &&
            (joint === Byte.blank || joint === Byte.letterT) &&
            hour < 24 &&
            minute < 60 &&
            second < 60 &&
            (behind === Behind.offset
              ? view.getInt32(at) === lastStamp[LastStamp.offsetHead] &&
                view.getInt32(at + Length.offset - WORD) === lastStamp[LastStamp.offsetTail]
              : behind !== Behind.other);
          if (isUsual) {
            at += behind === Behind.offset ? Length.offset : behind - Behind.end;
            values[line] = lastMidnight[behind]! + ((hour * 60 + minute) * 60 + second) * 1000;
            stampLengths[line] = at - cell - quote;
            if (isLocal && behind === Behind.end && block.firstZoned > line) block.firstZoned = line;
          }
        }
      } else if (kind === Kind.text) {
        const slot = slots[column]! + line;
        isUsual = bytes[at] !== Byte.blank;
        textFrom[slot] = at;
        at = endOf(bytes, at, isQuoted ? quotedStops : stops);
        textTo[slot] = at;
      }
      isUsual = isUsual && (!isQuoted || bytes[at] === Byte.quote);
      at += quote;
      if (!isUsual || bytes[at] === Byte.blank) {
        at = cellAt(lane, bytes, view, cell, column, line);
        if (at < 0) return start;
      }
      if (column + 1 < width && bytes[at++] !== delimiter) return start;
    }
    if (bytes[at] === Byte.return && lineEnd === Byte.newline) at++;
    if (bytes[at] !== lineEnd) return start;
    if (lane.isApart) place(lane, line);
    const time: Instant = values[line]!;
    if (!(time >= earliest && time < latest)) return start;
    ends[line] = at;
    start = at + 1;
  }
}

/** Bytes that are looked at without asking whether they are there. */
const STAMP_ROOM = LONGEST_DATE + Length.clock + Length.offset;

/**
 * Reads a cell of any form, with blanks and quotes around it.
 *
 * @returns where it ends; -1 where it is not plain
 */
function cellAt(
  lane: Lane,
  bytes: Buffer,
  view: DataView,
  from: number,
  column: number,
  line: number,
): number {
  const { days, clock, values, block } = lane;
  const slot = lane.slots[column]!;
  let at = from;
  while (bytes[at] === Byte.blank) at++;
  const isQuoted = bytes[at] === Byte.quote;
  if (isQuoted) at++;
  const stops = isQuoted ? lane.quotedStops : lane.stops;
  const cell = at;
  switch (lane.kinds[column]) {
    case Kind.number:
      at = numberAt(bytes, cell, isQuoted ? lane.mark : lane.bareMark, values, slot + line);
      if (at < 0) {
        at = endOf(bytes, cell, stops);
        if (findName(lane.missing, bytes, cell, at) === null) return -1;
        values[slot + line] = Number.NaN;
      }
      break;
    case Kind.stamp:
      at = jointAt(bytes, cell);
      lane.day = dayAt(view, cell, at - cell, days);
      if (lane.day < 0) return -1;
      at = clockAt(bytes, at + 1, clock);
      if (at < 0) return -1;
      remember(lane, view, at);
      place(lane, line);
      break;
    case Kind.date:
      at = endOf(bytes, cell, stops);
      lane.day = dayAt(view, cell, at - cell, days);
      if (lane.day < 0) return -1;
      break;
    case Kind.clock:
      at = clockAt(bytes, cell, clock);
      break;
    case Kind.epoch:
      at = epochAt(bytes, cell, values, line);
      break;
    default:
      at = endOf(bytes, cell, stops);
      lane.textFrom[slot + line] = cell;
      lane.textTo[slot + line] = at;
  }
  if (at < 0) return -1;
  if (column === lane.stampColumn) block.stampLengths[line] = at - cell;
  if (isQuoted && bytes[at++] !== Byte.quote) return -1;
  while (bytes[at] === Byte.blank) at++;
  return at;
}

/** Keeps day and offset of the stamp that ends at a place for the next one. */
function remember({ days, day, clock, lastStamp, lastMidnight }: Lane, view: DataView, end: number): void {
  lastStamp[LastStamp.length] = days.lengths[day]!;
  lastStamp[LastStamp.head] = days.words[3 * day]!;
  lastStamp[LastStamp.middle] = days.words[3 * day + 1]!;
  lastStamp[LastStamp.tail] = days.words[3 * day + 2]!;
  // where it has none, or a shorter one, what stands there begins with neither plus nor minus
  lastStamp[LastStamp.offsetHead] = view.getInt32(end - Length.offset);
  lastStamp[LastStamp.offsetTail] = view.getInt32(end - WORD);
  lastMidnight[Behind.end] = days.midnight[day]!;
  lastMidnight[Behind.utc] = days.wall[day]!;
  lastMidnight[Behind.offset] = days.wall[day]! - clock[1]! * 60_000;
}

/** Stands for an offset that was not written. */
const NO_OFFSET = 1 << 20;

/** Puts together the instant of a line from its day and its time of day. */
function place({ days, day, clock, values, isLocal, block }: Lane, line: number): void {
  const isPlaced = clock[1] !== NO_OFFSET;
  values[line] = isPlaced
    ? days.wall[day]! + clock[0]! - clock[1]! * 60_000
    : days.midnight[day]! + clock[0]!;
  if (isLocal && !isPlaced && block.firstZoned > line) block.firstZoned = line;
}

/** What is done with the cells of a column, and where in its array the first of what is found goes. */
function rolesOf(columns: PlainColumns): { kinds: Uint8Array; slots: Int32Array } {
  const kinds = new Uint8Array(columns.width).fill(Kind.text);
  // a text that nobody reads goes behind those that are
  const slots = new Int32Array(columns.width).fill(columns.names.length * Most.lines);
  columns.numbers.forEach((column, i) => {
    if (column === null) return;
    kinds[column] = Kind.number;
    slots[column] = (1 + i) * Most.lines;
  });
  columns.names.forEach((column, i) => {
    slots[column] = i * Most.lines;
  });
  const [first, second] = columns.time as [number, number | undefined];
  kinds[first] = columns.style === 'epoch' ? Kind.epoch : second === undefined ? Kind.stamp : Kind.date;
  if (second !== undefined) kinds[second] = Kind.clock;
  return { kinds, slots };
}

function stopsOf(...bytes: readonly number[]): Uint8Array {
  const stops = new Uint8Array(256);
  for (const byte of bytes) stops[byte] = 1;
  return stops;
}

function clockEndsOf(delimiter: number, lineEnd: number): Uint8Array {
  const ends = new Uint8Array(256);
  for (const byte of [delimiter, lineEnd, Byte.return, Byte.quote]) ends[byte] = Behind.end;
  ends[Byte.letterZ] = Behind.utc;
  for (const byte of [Byte.plus, Byte.dash]) ends[byte] = Behind.offset;
  return ends;
}

function endOf(bytes: Buffer, from: number, stops: Uint8Array): number {
  let at = from;
  while (stops[bytes[at]!] === 0) at++;
  return at;
}

/** So many digits make an integer that a double holds exactly. */
const EXACT_DIGITS = 15;
const POWERS = Float64Array.from({ length: EXACT_DIGITS + 1 }, (_, power) => 10 ** power);

/**
 * The number that begins at a place, or the nothing between two delimiters.
 *
 * @returns where it ends; -1 where it has no digits, or more than a double holds exactly
 */
function numberAt(bytes: Buffer, from: number, mark: number, values: Float64Array, slot: number): number {
  let at = from;
  const sign = bytes[at]!;
  if (sign === Byte.dash || sign === Byte.plus) at++;
  let value = 0;
  let byte = bytes[at]!;
  const whole = at;
  while (byte >= Byte.zero && byte < Byte.zero + 10) {
    value = value * 10 + (byte - Byte.zero);
    byte = bytes[++at]!;
  }
  let digits = at - whole;
  let decimals = 0;
  if (byte === mark) {
    const fraction = ++at;
    byte = bytes[at]!;
    while (byte >= Byte.zero && byte < Byte.zero + 10) {
      value = value * 10 + (byte - Byte.zero);
      byte = bytes[++at]!;
    }
    decimals = at - fraction;
    digits += decimals;
  }
  if (digits === 0 || digits > EXACT_DIGITS) return -1;
  if (decimals > 0) value /= POWERS[decimals]!;
  // a product, so that the first frost meets nothing that machine code was not made for
  values[slot] = value * (sign === Byte.dash ? -1 : 1);
  return at;
}

/** Where the date at this place ends and its time of day begins; too far away where neither a blank nor a T comes. */
function jointAt(bytes: Buffer, from: number): number {
  let at = from + LONGEST_DATE;
  if (bytes[at] === Byte.blank || bytes[at] === Byte.letterT) return at;
  at = from + SHORTEST_DATE;
  while (at < from + LONGEST_DATE && bytes[at] !== Byte.blank && bytes[at] !== Byte.letterT) at++;
  return at < from + LONGEST_DATE ? at : at + 1;
}

function dayAt(view: DataView, from: number, length: number, days: DayTable): number {
  if (length < SHORTEST_DATE || length > LONGEST_DATE || from + length > view.byteLength) return -1;
  return findDay(days, view, from, length);
}

/**
 * The time of day that begins at a place: HH:MM or HH:MM:SS, with a fraction, AM or PM, Z or an offset behind it.
 *
 * @param found takes milliseconds since midnight, and minutes to the east of UTC
 * @returns where it ends; -1 where there is none
 */
function clockAt(bytes: Buffer, from: number, found: Int32Array): number {
  let at = from + 2;
  let hour = twoDigits(bytes, from);
  if (bytes[from + 1] === Byte.colon) {
    at = from + 1;
    hour = digitAt(bytes, from);
  }
  if (bytes[at] !== Byte.colon) return -1;
  const minute = twoDigits(bytes, at + 1);
  at += 3;
  let second = 0;
  let milli = 0;
  if (bytes[at] === Byte.colon) {
    second = twoDigits(bytes, at + 1);
    at += 3;
    if (bytes[at] === Byte.point) {
      const end = endOfDigits(bytes, at + 1);
      const count = end - at - 1;
      if (count < 1 || count > MOST_DECIMALS) return -1;
      milli = thousandths(bytes, at + 1, end);
      at = end;
    }
  }
  if (bytes[at] === Byte.blank && (bytes[at + 2]! | SMALL) === Byte.smallM) {
    const half = bytes[at + 1]! | SMALL;
    if ((half !== Byte.smallA && half !== Byte.smallP) || hour < 1 || hour > 12) return -1;
    hour = (hour % 12) + (half === Byte.smallP ? 12 : 0);
    at += 3;
  }
  if (hour > 23 || minute > 59 || second > 59) return -1;
  found[0] = ((hour * 60 + minute) * 60 + second) * 1000 + milli;
  found[1] = NO_OFFSET;
  const byte = bytes[at]!;
  if (byte === Byte.letterZ) {
    found[1] = 0;
    at++;
  } else if (byte === Byte.plus || byte === Byte.dash) {
    const hours = twoDigits(bytes, at + 1);
    at += 3;
    let minutes = 0;
    if (bytes[at] === Byte.colon || digitAt(bytes, at) < NO_DIGIT) {
      if (bytes[at] === Byte.colon) at++;
      minutes = twoDigits(bytes, at);
      at += 2;
    }
    if (hours > 18 || minutes > 59) return -1;
    found[1] = (byte === Byte.dash ? -1 : 1) * (hours * 60 + minutes);
  }
  return at;
}

/** More than any clock shows, even where a digit stands in front of it. */
const NO_DIGIT = 100;

function digitAt(bytes: Buffer, at: number): number {
  const digit = bytes[at]! - Byte.zero;
  return digit >= 0 && digit <= 9 ? digit : NO_DIGIT;
}

function twoDigits(bytes: Buffer, at: number): number {
  const tens = bytes[at]! - Byte.zero;
  const ones = bytes[at + 1]! - Byte.zero;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : NO_DIGIT;
}

/** With more decimals of a second than these, rounding may reach the next millisecond. */
const MOST_DECIMALS = 6;

function endOfDigits(bytes: Buffer, from: number): number {
  let at = from;
  while (bytes[at]! >= Byte.zero && bytes[at]! < Byte.zero + 10) at++;
  return at;
}

/** The first three decimals as an integer; what is finer is left out. */
function thousandths(bytes: Buffer, from: number, end: number): number {
  let value = 0;
  for (let i = 0; i < 3; i++) value = value * 10 + (from + i < end ? bytes[from + i]! - Byte.zero : 0);
  return value;
}

/** Digits of counts of seconds and milliseconds since 1970 (`stampParser` has the rules); of microseconds now. */
const SECOND_DIGITS = 11;
const MILLISECOND_DIGITS = 14;
const MICROSECOND_DIGITS = 16;

/** @param values takes the instant at `slot`; @returns where the count ends; -1 where there is none */
function epochAt(bytes: Buffer, from: number, values: Float64Array, slot: number): number {
  let end = endOfDigits(bytes, from);
  const count = end - from;
  if (count === 0 || (count > MILLISECOND_DIGITS && count !== MICROSECOND_DIGITS)) return -1;
  const last = count === MICROSECOND_DIGITS ? end - 3 : end;
  let value = 0;
  for (let at = from; at < last; at++) value = value * 10 + (bytes[at]! - Byte.zero);
  if (count <= SECOND_DIGITS) {
    value *= 1000;
    if (bytes[end] === Byte.point) {
      const decimals = end + 1;
      end = endOfDigits(bytes, decimals);
      if (end - decimals > MOST_DECIMALS) return -1;
      value += thousandths(bytes, decimals, end);
    }
  }
  values[slot] = value;
  return end;
}
