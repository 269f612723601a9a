import type { Zone } from '../calendar/zone.js';
import { DAY, type Instant, type Milliseconds, type WallTime } from '../units.js';
import type { ByteText } from './encoding.js';
import { type StampStyle, stampParser } from './stamp.js';

/** Dates as an input writes them, each looked up once by `findDay` and kept with its midnight. */
export interface DayTable {
  /** Midnight as clocks show it. */
  readonly wall: Float64Array;
  /** The instant of midnight; NaN where the day has not 24 hours that came once each. */
  readonly midnight: Float64Array;
  /** By row: bytes of its date as three words, and how many they are. */
  readonly words: Int32Array;
  readonly lengths: Uint8Array;
  /** Puts a date into a row; false where it is none. */
  enter(text: ByteText, row: number): boolean;
}

/** Lengths of dates in bytes, `1.1.25` to `2025-01-01`: three words of four bytes, laid over one another, cover them. */
export const SHORTEST_DATE = 6;
export const LONGEST_DATE = 10;
const WORD = 4;
const DATE = /^[\d./-]+$/;

/** More days than ten years have: a log that is not in order of time asks for them all by turns. */
const ROWS_LOG2 = 13;

/**
 * @param offset of the stamps from UTC as the input gives it; null where the clocks of the zone are meant
 */
export function dayTable(style: StampStyle, zone: Zone, offset: Milliseconds | null): DayTable {
  const stamps = stampParser(style);
  const rows = 1 << ROWS_LOG2;
  const wall = new Float64Array(rows);
  const midnight = new Float64Array(rows);

  function enter(text: ByteText, row: number): boolean {
    const day = DATE.test(text) ? stamps.parse(text, 0, text.length) : NaN;
    if (Number.isNaN(day)) return false;
    wall[row] = day;
    midnight[row] = offset === null ? plainMidnight(day, zone) : day - offset;
    return true;
  }

  return { wall, midnight, words: new Int32Array(3 * rows), lengths: new Uint8Array(rows), enter };
}

/**
 * @param at where `length` bytes stand that may be a date
 * @returns its row in the columns of the table; -1 where it is no date
 */
export function findDay(table: DayTable, bytes: DataView, at: number, length: number): number {
  const { words } = table;
  const first = bytes.getInt32(at);
  const middle = bytes.getInt32(at + ((length - WORD) >> 1));
  const last = bytes.getInt32(at + length - WORD);
  // the factors are odd and have no pattern in their bits, so that dates of a year spread over the rows
  const mixed = Math.imul(first, 0x2c1b3c6d) ^ Math.imul(middle, 0x297a2d39) ^ Math.imul(last, 0x9e3779b1);
  const row = mixed >>> (32 - ROWS_LOG2);
  const isThere =
    words[3 * row] === first &&
    words[3 * row + 1] === middle &&
    words[3 * row + 2] === last &&
    table.lengths[row] === length;
  return isThere || entered(table, bytes, at, length, row) ? row : -1;
}

function entered(table: DayTable, bytes: DataView, at: number, length: number, row: number): boolean {
  const { words, lengths } = table;
  lengths[row] = 0;
  if (!table.enter(textAt(bytes, at, length), row)) return false;
  words[3 * row] = bytes.getInt32(at);
  words[3 * row + 1] = bytes.getInt32(at + ((length - WORD) >> 1));
  words[3 * row + 2] = bytes.getInt32(at + length - WORD);
  lengths[row] = length;
  return true;
}

function textAt(bytes: DataView, at: number, length: number): ByteText {
  return String.fromCharCode(...new Uint8Array(bytes.buffer, bytes.byteOffset + at, length));
}

/**
 * The instant of midnight, NaN where clocks change on the day or show a part of it again on another:
 * those days are for the lane that looks at every stamp by itself.
 */
function plainMidnight(day: number, zone: Zone): Instant {
  const end = day + DAY - 1;
  const from = zone.firstInstant(day as WallTime);
  const until = zone.lastInstant(end as WallTime);
  const isPlain =
    until - from === end - day &&
    zone.lastInstant(day as WallTime) === from &&
    zone.firstInstant(end as WallTime) === until &&
    zone.changeBetween(from, until) === null;
  return isPlain ? from : NaN;
}
