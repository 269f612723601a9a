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

/**
 * So many lines at most are handed over at a time: what they hold stays in the processor's nearest memory. No power
 * of two, by which columns would stand in each other's way there.
 */
const LINES = 500;

const SKIP = 0;
const NUMBER = 1;
const NAME = 2;
const STAMP = 3;
const DATE = 4;
const CLOCK = 5;
const EPOCH = 6;

const NEWLINE = 10;
const RETURN = 13;
const BLANK = 32;
const QUOTE = 34;
const PLUS = 43;
const COMMA = 44;
const DASH = 45;
const POINT = 46;
const ZERO = 48;
const NINE = 57;
const COLON = 58;
const LETTER_T = 84;
const LETTER_Z = 90;
const BACKSLASH = 92;
/** Letters are compared as small ones. */
const SMALL = 32;
const SMALL_A = 97;
const SMALL_M = 109;
const SMALL_P = 112;

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
 *
 * - What is usual is looked at in words of four bytes: the date of the line before, and a clock of HH:MM:SS.
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
  /** Its bytes, as `remember` has them; its midnight by what follows the clock. */
  readonly lastDay: Int32Array;
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
  /** By line of the block: where it ends. */
  readonly ends: Int32Array;
}

function laneFor(columns: PlainColumns): Lane | null {
  const { punctuation, width, decimal, offset } = columns;
  const delimiter = punctuation.delimiter.charCodeAt(0);
  if (delimiter === BLANK) return null;
  const lineEnd = punctuation.lineEnd.charCodeAt(0);
  const mark = decimal === '.' ? POINT : COMMA;
  const values = new Float64Array((1 + columns.numbers.length) * LINES).fill(Number.NaN);
  return {
    delimiter,
    lineEnd,
    width,
    ...rolesOf(columns),
    mark,
    bareMark: mark === delimiter ? -1 : mark,
    stops: stopsOf(delimiter, lineEnd, QUOTE),
    quotedStops: stopsOf(QUOTE, lineEnd, punctuation.escape === '\\' ? BACKSLASH : QUOTE),
    clockEnds: stopsOf(delimiter, QUOTE, RETURN, lineEnd).fill(UTC_END, LETTER_Z, LETTER_Z + 1),
    days: dayTable(columns.style, columns.zone, offset),
    isLocal: offset === null,
    missing: nameTable((text) => (cellKind(text) === 'missing' ? true : null)),
    day: -1,
    lastDay: new Int32Array(4),
    lastMidnight: new Float64Array(3),
    stampColumn: columns.time[0]!,
    isApart: columns.time.length > 1,
    clock: new Int32Array(2),
    block: {
      line: 0,
      count: 0,
      bytes: Buffer.alloc(0),
      values: [null, ...columns.numbers].map((_, i) => values.subarray(i * LINES, (i + 1) * LINES)),
      texts: columns.names.map(() => ({ from: new Int32Array(LINES), to: new Int32Array(LINES) })),
      stampLengths: new Uint8Array(LINES),
      firstZoned: LINES,
    },
    values,
    ends: new Int32Array(LINES),
  };
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
 * Cells of the usual form are read by the shortest way. All others, whatever they have about them, go through
 * `cellAt`, as the first stamp of an input does: machine code is made for what has come up until then and thrown
 * away where something else does, so there must be nothing else to come.
 *
 * @returns where the first line begins that is not in it
 */
function readBlock(lane: Lane, bytes: Buffer, view: DataView, from: number, until: number): number {
  const { delimiter, lineEnd, width, kinds, slots, mark, bareMark, stops, quotedStops, values, ends } = lane;
  const { block } = lane;
  const times = block.values[0]!;
  block.firstZoned = LINES;
  let start = from;
  for (let line = 0; ; line++) {
    block.count = line;
    if (line === LINES || start >= until) return start;
    let at = start;
    for (let column = 0; column < width; column++) {
      const cell = at;
      const isQuoted = bytes[cell] === QUOTE;
      const quote = isQuoted ? 1 : 0;
      switch (kinds[column]) {
        case NUMBER:
          at = shortNumberAt(bytes, cell + quote, isQuoted ? mark : bareMark, values, slots[column]! + line);
          break;
        case STAMP:
          at = sameDayAt(lane, view, cell + quote, line);
          break;
        case SKIP:
          at = endOf(bytes, cell + quote, isQuoted ? quotedStops : stops);
          break;
        default:
          at = -1;
      }
      if (at >= 0 && (!isQuoted || bytes[at] === QUOTE)) at += quote;
      else at = -1;
      if (at < 0 || bytes[at] === BLANK) {
        at = cellAt(lane, bytes, view, cell, column, line);
        if (at < 0) return start;
      }
      if (column + 1 < width && bytes[at++] !== delimiter) return start;
    }
    if (bytes[at] === RETURN && lineEnd === NEWLINE) at++;
    if (bytes[at] !== lineEnd) return start;
    if (lane.isApart) place(lane, line);
    const time: Instant = times[line]!;
    if (!(time >= EARLIEST && time < LATEST)) return start;
    ends[line] = at;
    start = at + 1;
  }
}

/** With so many digits an integer has 32 bits. */
const SHORT_DIGITS = 9;

/**
 * The number that begins at a place, if it has a few digits and perhaps a minus.
 *
 * @returns where it ends; -1 where there is something else
 */
function shortNumberAt(
  bytes: Buffer,
  from: number,
  mark: number,
  values: Float64Array,
  slot: number,
): number {
  const isNegative = bytes[from] === DASH;
  const first = from + (isNegative ? 1 : 0);
  let at = first;
  let value = 0;
  let byte = bytes[at]!;
  while (byte >= ZERO && byte <= NINE) {
    // integers of 32 bits, which no sum of theirs leaves
    value = (Math.imul(value, 10) + byte - ZERO) | 0;
    byte = bytes[++at]!;
  }
  let digits = at - first;
  let decimals = 0;
  if (byte === mark) {
    byte = bytes[++at]!;
    while (byte >= ZERO && byte <= NINE) {
      value = (Math.imul(value, 10) + byte - ZERO) | 0;
      byte = bytes[++at]!;
      decimals++;
    }
    digits += decimals;
  }
  if (digits === 0 || digits > SHORT_DIGITS) return -1;
  // a product, so that the first frost meets nothing that machine code was not made for
  values[slot] = (value / POWERS[decimals]!) * (isNegative ? -1 : 1);
  return at;
}

/** HH:M and M:SS: crossed with them, a clock leaves its digits as numbers, each in a byte of its own. */
const CLOCK_HEAD = 0x30303a30;
const CLOCK_TAIL = 0x303a3030;
/** More than nine and six are more than 15: of what is no digit, one of these bits is set before or after adding. */
const SIXES_HEAD = 0x06060006;
const SIXES_TAIL = 0x06000606;
const ODD_HEAD = 0xf0f0fff0;
const ODD_TAIL = 0xf0fff0f0;
/** What follows a clock: an end of the cell, the letter for UTC, or something else. */
const OTHER = 0;
const END = 1;
const UTC_END = 2;
/** Bytes that are looked at without asking whether they are there: a date, a joint, a clock, and what follows. */
const STAMP_ROOM = LONGEST_DATE + 10;

/**
 * The stamp that begins at a place, if it has the date of the stamp before, HH:MM:SS, and no offset but perhaps a Z.
 *
 * @returns where it ends; -1 where there is something else
 */
function sameDayAt(lane: Lane, view: DataView, from: number, line: number): number {
  const { lastDay, lastMidnight, clockEnds, block } = lane;
  const length = lastDay[LENGTH]!;
  if (
    length === 0 ||
    from + STAMP_ROOM > view.byteLength ||
    view.getInt32(from) !== lastDay[HEAD] ||
    view.getInt32(from + ((length - WORD) >> 1)) !== lastDay[MIDDLE] ||
    view.getInt32(from + length - WORD) !== lastDay[TAIL]
  )
    return -1;
  const at = from + length;
  const joint = view.getUint8(at);
  const head = view.getInt32(at + 1) ^ CLOCK_HEAD;
  const tail = view.getInt32(at + 5) ^ CLOCK_TAIL;
  const odd = ((head | (head + SIXES_HEAD)) & ODD_HEAD) | ((tail | (tail + SIXES_TAIL)) & ODD_TAIL);
  const hour = (head >> 24) * 10 + ((head >> 16) & 15);
  const minute = (head & 15) * 10 + (tail >> 24);
  const second = ((tail >> 8) & 15) * 10 + (tail & 15);
  const behind = clockEnds[view.getUint8(at + 9)]!;
  if (odd !== 0 || (joint !== BLANK && joint !== LETTER_T) || behind === OTHER) return -1;
  if (hour > 23 || minute > 59 || second > 59) return -1;
  lane.values[line] = lastMidnight[behind]! + ((hour * 60 + minute) * 60 + second) * 1000;
  const end = at + 8 + behind;
  block.stampLengths[line] = end - from;
  if (lane.isLocal && behind === END && block.firstZoned > line) block.firstZoned = line;
  return end;
}

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
  while (bytes[at] === BLANK) at++;
  const isQuoted = bytes[at] === QUOTE;
  if (isQuoted) at++;
  const stops = isQuoted ? lane.quotedStops : lane.stops;
  const cell = at;
  switch (lane.kinds[column]) {
    case NUMBER:
      at = numberAt(bytes, cell, isQuoted ? lane.mark : lane.bareMark, values, slot + line);
      if (at < 0) {
        at = endOf(bytes, cell, stops);
        if (findName(lane.missing, bytes, cell, at) === null) return -1;
        values[slot + line] = Number.NaN;
      }
      break;
    case STAMP:
      at = jointAt(bytes, cell);
      lane.day = dayAt(view, cell, at - cell, days);
      if (lane.day < 0) return -1;
      remember(lane);
      at = clockAt(bytes, at + 1, clock);
      place(lane, line);
      break;
    case DATE:
      at = endOf(bytes, cell, stops);
      lane.day = dayAt(view, cell, at - cell, days);
      if (lane.day < 0) return -1;
      break;
    case CLOCK:
      at = clockAt(bytes, cell, clock);
      break;
    case EPOCH:
      at = epochAt(bytes, cell, values, line);
      break;
    case NAME:
      at = endOf(bytes, cell, stops);
      block.texts[slot]!.from[line] = cell;
      block.texts[slot]!.to[line] = at;
      break;
    default:
      at = endOf(bytes, cell, stops);
  }
  if (at < 0) return -1;
  if (column === lane.stampColumn) block.stampLengths[line] = at - cell;
  if (isQuoted && bytes[at++] !== QUOTE) return -1;
  while (bytes[at] === BLANK) at++;
  return at;
}

/** Where in `lastDay` of a lane its length and its three words stand. */
const LENGTH = 0;
const HEAD = 1;
const MIDDLE = 2;
const TAIL = 3;

/** Keeps the day of a stamp for the next one. */
function remember({ days, day, lastDay, lastMidnight }: Lane): void {
  lastDay[LENGTH] = days.lengths[day]!;
  lastDay[HEAD] = days.words[3 * day]!;
  lastDay[MIDDLE] = days.words[3 * day + 1]!;
  lastDay[TAIL] = days.words[3 * day + 2]!;
  lastMidnight[END] = days.midnight[day]!;
  lastMidnight[UTC_END] = days.wall[day]!;
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
  const kinds = new Uint8Array(columns.width).fill(SKIP);
  const slots = new Int32Array(columns.width);
  columns.numbers.forEach((column, i) => {
    if (column === null) return;
    kinds[column] = NUMBER;
    slots[column] = (1 + i) * LINES;
  });
  columns.names.forEach((column, i) => {
    kinds[column] = NAME;
    slots[column] = i;
  });
  const [first, second] = columns.time as [number, number | undefined];
  kinds[first] = columns.style === 'epoch' ? EPOCH : second === undefined ? STAMP : DATE;
  if (second !== undefined) kinds[second] = CLOCK;
  return { kinds, slots };
}

function stopsOf(...bytes: readonly number[]): Uint8Array {
  const stops = new Uint8Array(256);
  for (const byte of bytes) stops[byte] = END;
  return stops;
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
  if (sign === DASH || sign === PLUS) at++;
  let value = 0;
  let byte = bytes[at]!;
  const whole = at;
  while (byte >= ZERO && byte < ZERO + 10) {
    value = value * 10 + (byte - ZERO);
    byte = bytes[++at]!;
  }
  let digits = at - whole;
  let decimals = 0;
  if (byte === mark) {
    const fraction = ++at;
    byte = bytes[at]!;
    while (byte >= ZERO && byte < ZERO + 10) {
      value = value * 10 + (byte - ZERO);
      byte = bytes[++at]!;
    }
    decimals = at - fraction;
    digits += decimals;
  }
  if (digits === 0 || digits > EXACT_DIGITS) return -1;
  if (decimals > 0) value /= POWERS[decimals]!;
  // a product, so that the first frost meets nothing that machine code was not made for
  values[slot] = value * (sign === DASH ? -1 : 1);
  return at;
}

/** Where the date at this place ends and its time of day begins; too far away where neither a blank nor a T comes. */
function jointAt(bytes: Buffer, from: number): number {
  let at = from + LONGEST_DATE;
  if (bytes[at] === BLANK || bytes[at] === LETTER_T) return at;
  at = from + SHORTEST_DATE;
  while (at < from + LONGEST_DATE && bytes[at] !== BLANK && bytes[at] !== LETTER_T) at++;
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
  if (bytes[from + 1] === COLON) {
    at = from + 1;
    hour = digitAt(bytes, from);
  }
  if (bytes[at] !== COLON) return -1;
  const minute = twoDigits(bytes, at + 1);
  at += 3;
  let second = 0;
  let milli = 0;
  if (bytes[at] === COLON) {
    second = twoDigits(bytes, at + 1);
    at += 3;
    if (bytes[at] === POINT) {
      const end = endOfDigits(bytes, at + 1);
      const count = end - at - 1;
      if (count < 1 || count > MOST_DECIMALS) return -1;
      milli = thousandths(bytes, at + 1, end);
      at = end;
    }
  }
  if (bytes[at] === BLANK && (bytes[at + 2]! | SMALL) === SMALL_M) {
    const half = bytes[at + 1]! | SMALL;
    if ((half !== SMALL_A && half !== SMALL_P) || hour < 1 || hour > 12) return -1;
    hour = (hour % 12) + (half === SMALL_P ? 12 : 0);
    at += 3;
  }
  if (hour > 23 || minute > 59 || second > 59) return -1;
  found[0] = ((hour * 60 + minute) * 60 + second) * 1000 + milli;
  found[1] = NO_OFFSET;
  const byte = bytes[at]!;
  if (byte === LETTER_Z) {
    found[1] = 0;
    at++;
  } else if (byte === PLUS || byte === DASH) {
    const hours = twoDigits(bytes, at + 1);
    at += 3;
    let minutes = 0;
    if (bytes[at] === COLON || digitAt(bytes, at) < NO_DIGIT) {
      if (bytes[at] === COLON) at++;
      minutes = twoDigits(bytes, at);
      at += 2;
    }
    if (hours > 18 || minutes > 59) return -1;
    found[1] = (byte === DASH ? -1 : 1) * (hours * 60 + minutes);
  }
  return at;
}

/** More than any clock shows, even where a digit stands in front of it. */
const NO_DIGIT = 100;

function digitAt(bytes: Buffer, at: number): number {
  const digit = bytes[at]! - ZERO;
  return digit >= 0 && digit <= 9 ? digit : NO_DIGIT;
}

function twoDigits(bytes: Buffer, at: number): number {
  const tens = bytes[at]! - ZERO;
  const ones = bytes[at + 1]! - ZERO;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : NO_DIGIT;
}

/** With more decimals of a second than these, rounding may reach the next millisecond. */
const MOST_DECIMALS = 6;

function endOfDigits(bytes: Buffer, from: number): number {
  let at = from;
  while (bytes[at]! >= ZERO && bytes[at]! < ZERO + 10) at++;
  return at;
}

/** The first three decimals as an integer; what is finer is left out. */
function thousandths(bytes: Buffer, from: number, end: number): number {
  let value = 0;
  for (let i = 0; i < 3; i++) value = value * 10 + (from + i < end ? bytes[from + i]! - ZERO : 0);
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
  for (let at = from; at < last; at++) value = value * 10 + (bytes[at]! - ZERO);
  if (count <= SECOND_DIGITS) {
    value *= 1000;
    if (bytes[end] === POINT) {
      const decimals = end + 1;
      end = endOfDigits(bytes, decimals);
      if (end - decimals > MOST_DECIMALS) return -1;
      value += thousandths(bytes, decimals, end);
    }
  }
  values[slot] = value;
  return end;
}
