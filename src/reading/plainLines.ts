import type { Zone } from '../calendar/zone.js';
import type { Milliseconds } from '../units.js';
import { type DayTable, dayTable, findDay, LONGEST_DATE, SHORTEST_DATE } from './dayTable.js';
import { findName, type NameTable, nameTable } from './nameTable.js';
import { cellKind, type DecimalMark } from './number.js';
import { type PlainScan, plainScan } from './plainScan.js';
import { Behind, Byte, Kind, Most, State, Stop } from './plainTerms.js';
import type { Punctuation } from './records.js';
import type { StampStyle } from './stamp.js';

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
  /** What their texts stand in. */
  readonly bytes: Buffer;
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

/** Letters are compared as small ones. */
const SMALL = 32;
/** Bytes of an offset as +01:00. */
const OFFSET_LENGTH = 6;

/**
 * Reads lines of the common kind from bytes to numbers. What it takes, it gives as the lane for all lines
 * (`recordScanner`, `stampParser`, `parseNumber`) would: of a line that needs a closer look (escaped quotes,
 * units behind values, stamps of unusual form, another number of cells, days of clock changes …) it keeps its
 * hands off, and leaves no trace of it.
 *
 * Usual cells, nearly all that there are, are read by `plainScan.as.ts`; cells of any other form, whatever they have about
 * them, by `cellAt` here, as is the first stamp of an input. What is done for each line stands in functions of the module,
 * and what they need in a `Lane`: functions within functions would warm up anew for every input. They return where they
 * stopped, a small integer, and leave what they found in typed arrays: a double that is returned, or kept in a variable of
 * a closure, is put into a box of its own.
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
  readonly scan: PlainScan;
  readonly delimiter: number;
  readonly lineEnd: number;
  readonly width: number;
  readonly kinds: Uint8Array;
  readonly slots: Int32Array;
  /** Rows of a block. */
  readonly rows: number;
  /** The decimal mark of numbers, in quotes and without: -1 where it would be a delimiter. */
  readonly mark: number;
  readonly bareMark: number;
  /** Where texts end, in quotes and without. */
  readonly stops: Uint8Array;
  readonly quotedStops: Uint8Array;
  readonly days: DayTable;
  /** Row there of the day that was looked up last. */
  day: number;
  /** What a byte behind a clock is. */
  readonly clockEnds: Uint8Array;
  /** The column of the stamp, or of its date where the time of day stands apart. */
  readonly stampColumn: number;
  /** The last of the columns that make an instant together; -1 where one is enough. */
  readonly lastApart: number;
  /** Whether the clocks of the zone are meant where a stamp has no offset. */
  readonly isLocal: boolean;
  readonly missing: NameTable<true>;
  /** Milliseconds since midnight, and minutes to the east of UTC. */
  readonly clock: Int32Array;
  readonly block: PlainBlock;
}

function laneFor(columns: PlainColumns): Lane | null {
  const { punctuation, width, decimal, offset, time, numbers, names } = columns;
  const delimiter = punctuation.delimiter.charCodeAt(0);
  if (delimiter === Byte.blank || width > Most.width) return null;
  const scan = plainScan();
  const lineEnd = punctuation.lineEnd.charCodeAt(0);
  const mark = decimal === '.' ? Byte.point : Byte.comma;
  const rows = Math.floor(
    Math.min(Most.rows, Most.numbers / (8 * (1 + numbers.length)), Most.texts / (4 * (1 + names.length))),
  );
  const rowsOf = <Column extends Float64Array | Int32Array>(found: Column, i: number) =>
    found.subarray(i * rows, (i + 1) * rows) as Column;
  return {
    scan,
    delimiter,
    lineEnd,
    width,
    rows,
    ...rolesOf(columns, rows),
    mark,
    bareMark: mark === delimiter ? -1 : mark,
    stops: stopsOf(delimiter, lineEnd, Byte.quote),
    quotedStops: stopsOf(Byte.quote, lineEnd, punctuation.escape === '\\' ? Byte.backslash : Byte.quote),
    clockEnds: clockEndsOf(delimiter, lineEnd),
    days: dayTable(columns.style, columns.zone, offset),
    isLocal: offset === null,
    missing: nameTable((text) => (cellKind(text) === 'missing' ? true : null)),
    day: -1,
    stampColumn: time[0]!,
    lastApart: time.length > 1 ? Math.max(...time) : -1,
    clock: new Int32Array(2),
    block: {
      line: 0,
      count: 0,
      bytes: scan.memory,
      values: [null, ...numbers].map((_, i) => rowsOf(scan.values, i)),
      texts: names.map((_, i) => ({ from: rowsOf(scan.textFrom, i), to: rowsOf(scan.textTo, i) })),
      stampLengths: scan.stampLengths,
      firstZoned: rows,
    },
  };
}

/** Whose turn it is with the scan. */
let current: Lane | null = null;

/** Gives a lane its turn: tells the scan what its lines are like, and makes it forget those of others. */
function takeTurn(lane: Lane): void {
  current = lane;
  const { scan, block } = lane;
  const { state } = scan;
  state[State.rows] = lane.rows;
  state[State.width] = lane.width;
  state[State.delimiter] = lane.delimiter;
  state[State.lineEnd] = lane.lineEnd;
  state[State.mark] = lane.mark;
  state[State.bareMark] = lane.bareMark;
  state[State.isLocal] = lane.isLocal ? 1 : 0;
  state[State.dateLength] = 0;
  scan.kinds.set(lane.kinds);
  scan.slots.set(lane.slots);
  scan.stops.set(lane.stops);
  scan.quotedStops.set(lane.quotedStops);
  scan.clockEnds.set(lane.clockEnds);
  // columns that the input has not are never written to
  for (const column of block.values) column.fill(Number.NaN);
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
  if (current !== lane) takeTurn(lane);
  const { block, scan } = lane;
  const { memory, ends } = scan;
  for (let start = from; start < until; ) {
    // as many whole lines as there is room for
    const end =
      until - start <= Most.bytes ? until : bytes.lastIndexOf(lane.lineEnd, start + Most.bytes - 1) + 1;
    if (end <= start) return start;
    bytes.copy(memory, scan.bytes, start, end);
    const shift = start - scan.bytes;
    for (let at = scan.bytes; at < end - shift; ) {
      const next = readBlock(lane, at, end - shift);
      const taken = block.count === 0 ? 0 : visit(to, block);
      block.line += taken;
      if (taken < block.count || taken === 0) return shift + (taken === 0 ? at : ends[taken - 1]! + 1);
      at = next;
    }
    start = end;
  }
  return until;
}

/**
 * Reads lines into the block, as many as are plain and as it has room for.
 *
 * @returns where the first line begins that is not in it
 */
function readBlock(lane: Lane, from: number, until: number): number {
  const { block, scan, delimiter, width } = lane;
  const { state, memory } = scan;
  state[State.firstZoned] = lane.rows;
  let stop = scan.scan(0, from, 0, from, until);
  while (stop === Stop.cell) {
    const column = state[State.column]!;
    let at = cellAt(lane, state[State.cell]!, column, state[State.row]!);
    if (at < 0 || (column + 1 < width && memory[at++] !== delimiter)) break;
    stop = scan.scan(state[State.row]!, state[State.start]!, column + 1, at, until);
  }
  block.count = state[State.row]!;
  block.firstZoned = state[State.firstZoned]!;
  return state[State.start]!;
}

/**
 * Reads a cell of any form, with blanks and quotes around it.
 *
 * @returns where it ends; -1 where it is not plain
 */
function cellAt(lane: Lane, from: number, column: number, line: number): number {
  const { days, clock, scan } = lane;
  const { memory: bytes, view, values } = scan;
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
      remember(lane, cell, at);
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
      scan.textFrom[slot + line] = cell;
      scan.textTo[slot + line] = at;
  }
  if (at < 0) return -1;
  if (column === lane.lastApart) place(lane, line);
  if (column === lane.stampColumn) scan.stampLengths[line] = at - cell;
  if (isQuoted && bytes[at++] !== Byte.quote) return -1;
  while (bytes[at] === Byte.blank) at++;
  return at;
}

/** Keeps date and offset of the stamp [from, to) for the next one. */
function remember({ days, day, clock, scan }: Lane, from: number, to: number): void {
  const { memory, state, lastDate, lastOffset, lastMidnight } = scan;
  const length = days.lengths[day]!;
  state[State.dateLength] = length;
  lastDate.set(memory.subarray(from, from + length));
  // where it has none, or a shorter one, what stands there begins with neither plus nor minus
  lastOffset.set(memory.subarray(to - OFFSET_LENGTH, to));
  lastMidnight[Behind.end] = days.midnight[day]!;
  lastMidnight[Behind.utc] = days.wall[day]!;
  lastMidnight[Behind.offset] = days.wall[day]! - clock[1]! * 60_000;
}

/** Stands for an offset that was not written. */
const NO_OFFSET = 1 << 20;

/** Puts together the instant of a line from its day and its time of day. */
function place({ days, day, clock, scan, isLocal }: Lane, line: number): void {
  const { values, state } = scan;
  const isPlaced = clock[1] !== NO_OFFSET;
  values[line] = isPlaced
    ? days.wall[day]! + clock[0]! - clock[1]! * 60_000
    : days.midnight[day]! + clock[0]!;
  if (isLocal && !isPlaced && state[State.firstZoned]! > line) state[State.firstZoned] = line;
}

/** What is done with the cells of a column, and where in its array the first of what is found goes. */
function rolesOf(columns: PlainColumns, rows: number): { kinds: Uint8Array; slots: Int32Array } {
  const kinds = new Uint8Array(columns.width).fill(Kind.text);
  // a text that nobody reads goes behind those that are
  const slots = new Int32Array(columns.width).fill(columns.names.length * rows);
  columns.numbers.forEach((column, i) => {
    if (column === null) return;
    kinds[column] = Kind.number;
    slots[column] = (1 + i) * rows;
  });
  columns.names.forEach((column, i) => {
    slots[column] = i * rows;
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
  for (const byte of [delimiter, lineEnd, Byte.carriageReturn, Byte.quote]) ends[byte] = Behind.end;
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
