import type { Zone } from '../calendar/zone.js';
import type { Instant, Milliseconds } from '../units.js';
import { type DayTable, dayTable, findDay, LONGEST_DATE, SHORTEST_DATE } from './dayTable.js';
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

/** What stands in a line. The same object is handed over again and again. */
export interface PlainRow {
  /** Number of the line, counted from 1. */
  line: number;
  bytes: Buffer;
  /** The instant of the stamp, then a number for each column of numbers, NaN where nothing or a word for it stands. */
  readonly values: Float64Array;
  /** The i-th text is bytes[spans[2 i], spans[2 i + 1]), quotes taken off. */
  readonly spans: Int32Array;
  /** Bytes of the stamp; of its date where date and time of day stand apart. */
  stampLength: number;
  /** Whether the zone of the input was needed to place the stamp. */
  zoned: boolean;
}

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
 * - What is done for each line stands in functions of the module, and what they need in a `Lane`: functions within
 *   functions would warm up anew for every input.
 *
 * @param visit told of each line, and `to` with it; false sends it to the other lane after all
 * @returns null where the input as a whole is not of this kind
 */
export function plainLines<To>(
  columns: PlainColumns,
  to: To,
  visit: (to: To, row: PlainRow) => boolean,
): PlainLines | null {
  const lane = laneFor(columns);
  if (lane === null) return null;
  let taken = 0;
  return {
    take(bytes, from, until, line) {
      lane.row.line = line;
      const next = takeLines(lane, bytes, from, until, to, visit);
      taken = lane.row.line - line;
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
  readonly slots: Uint16Array;
  /** The decimal mark of numbers, in quotes and without: -1 where it would be a delimiter. */
  readonly mark: number;
  readonly bareMark: number;
  /** Where texts end, in quotes and without. */
  readonly stops: Uint8Array;
  readonly quotedStops: Uint8Array;
  readonly days: DayTable;
  /** Whether the clocks of the zone are meant where a stamp has no offset. */
  readonly isLocal: boolean;
  readonly missing: NameTable<true>;
  /** Milliseconds since midnight, and minutes to the east of UTC. */
  readonly clock: Int32Array;
  readonly row: PlainRow;
}

function laneFor(columns: PlainColumns): Lane | null {
  const { punctuation, width, decimal, offset } = columns;
  const delimiter = punctuation.delimiter.charCodeAt(0);
  if (delimiter === BLANK) return null;
  const lineEnd = punctuation.lineEnd.charCodeAt(0);
  const mark = decimal === '.' ? POINT : COMMA;
  return {
    delimiter,
    lineEnd,
    width,
    ...rolesOf(columns),
    mark,
    bareMark: mark === delimiter ? -1 : mark,
    stops: stopsOf(delimiter, lineEnd, QUOTE),
    quotedStops: stopsOf(QUOTE, lineEnd, punctuation.escape === '\\' ? BACKSLASH : QUOTE),
    days: dayTable(columns.style, columns.zone, offset),
    isLocal: offset === null,
    missing: nameTable((text) => (cellKind(text) === 'missing' ? true : null)),
    clock: new Int32Array(2),
    row: {
      line: 0,
      bytes: Buffer.alloc(0),
      values: new Float64Array(1 + columns.numbers.length).fill(Number.NaN),
      spans: new Int32Array(2 * columns.names.length),
      stampLength: 0,
      zoned: false,
    },
  };
}

/** @returns where the first line begins that was not taken */
function takeLines<To>(
  lane: Lane,
  bytes: Buffer,
  from: number,
  until: number,
  to: To,
  visit: (to: To, row: PlainRow) => boolean,
): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { row } = lane;
  row.bytes = bytes;
  let start = from;
  while (start < until) {
    const end = lineAt(lane, bytes, view, start);
    if (end < 0 || !visit(to, row)) break;
    row.line++;
    start = end + 1;
  }
  return start;
}

/** @returns where the line ends that begins at a place, with what it holds left in the row; -1 where it is not plain */
function lineAt(lane: Lane, bytes: Buffer, view: DataView, start: number): number {
  const { delimiter, lineEnd, width, kinds, slots, days, clock, row } = lane;
  const { values, spans } = row;
  let at = start;
  let day = NO_DAY;
  for (let column = 0; column < width; column++) {
    if (column > 0 && bytes[at++] !== delimiter) return -1;
    while (bytes[at] === BLANK) at++;
    const isQuoted = bytes[at] === QUOTE;
    if (isQuoted) at++;
    const cell = at;
    switch (kinds[column]) {
      case NUMBER:
        at = numberAt(bytes, cell, isQuoted ? lane.mark : lane.bareMark, values, slots[column]!);
        if (at < 0) {
          at = endOf(bytes, cell, isQuoted ? lane.quotedStops : lane.stops);
          if (findName(lane.missing, bytes, cell, at) === null) return -1;
          values[slots[column]!] = Number.NaN;
        }
        break;
      case STAMP:
        row.stampLength = jointAt(bytes, cell) - cell;
        day = dayAt(view, cell, row.stampLength, days);
        at = day < 0 ? -1 : clockAt(bytes, cell + row.stampLength + 1, clock);
        row.stampLength = at - cell;
        break;
      case DATE:
        at = endOf(bytes, cell, isQuoted ? lane.quotedStops : lane.stops);
        row.stampLength = at - cell;
        day = dayAt(view, cell, row.stampLength, days);
        if (day < 0) at = -1;
        break;
      case CLOCK:
        at = clockAt(bytes, cell, clock);
        break;
      case EPOCH:
        at = epochAt(bytes, cell, values);
        row.stampLength = at - cell;
        break;
      case NAME:
        at = endOf(bytes, cell, isQuoted ? lane.quotedStops : lane.stops);
        spans[slots[column]!] = cell;
        spans[slots[column]! + 1] = at;
        break;
      default:
        at = endOf(bytes, cell, isQuoted ? lane.quotedStops : lane.stops);
    }
    if (at < 0 || (isQuoted && bytes[at++] !== QUOTE)) return -1;
    while (bytes[at] === BLANK) at++;
  }
  if (bytes[at] === RETURN && lineEnd === NEWLINE) at++;
  if (bytes[at] !== lineEnd) return -1;
  if (day !== NO_DAY) {
    const isPlaced = clock[1] !== NO_OFFSET;
    row.zoned = !isPlaced && lane.isLocal;
    values[0] = isPlaced ? days.wall[day]! + clock[0]! - clock[1]! * 60_000 : days.midnight[day]! + clock[0]!;
  }
  const time: Instant = values[0]!;
  return time >= EARLIEST && time < LATEST ? at : -1;
}

const NO_DAY = -2;
/** Stands for an offset that was not written. */
const NO_OFFSET = 1 << 20;

/** What is done with the cells of a column, and where in its array the first of what is found goes. */
function rolesOf(columns: PlainColumns): { kinds: Uint8Array; slots: Uint16Array } {
  const kinds = new Uint8Array(columns.width).fill(SKIP);
  const slots = new Uint16Array(columns.width);
  columns.numbers.forEach((column, i) => {
    if (column === null) return;
    kinds[column] = NUMBER;
    slots[column] = 1 + i;
  });
  columns.names.forEach((column, i) => {
    kinds[column] = NAME;
    slots[column] = 2 * i;
  });
  const [first, second] = columns.time as [number, number | undefined];
  kinds[first] = columns.style === 'epoch' ? EPOCH : second === undefined ? STAMP : DATE;
  if (second !== undefined) kinds[second] = CLOCK;
  return { kinds, slots };
}

function stopsOf(...bytes: readonly number[]): Uint8Array {
  const stops = new Uint8Array(256);
  for (const byte of bytes) stops[byte] = 1;
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

/** @param values takes the instant as its first; @returns where the count ends; -1 where there is none */
function epochAt(bytes: Buffer, from: number, values: Float64Array): number {
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
  values[0] = value;
  return end;
}
