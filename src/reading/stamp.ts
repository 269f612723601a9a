import { wallTime } from '../calendar/civil.js';
import type { ByteText } from './encoding.js';

export type DateOrder = 'day-first' | 'month-first';

/** How the time stamps of an input are written. One of these holds for the whole input. */
export type StampStyle = 'year-first' | DateOrder | 'epoch';

/**
 * Reads the time stamps of one input.
 */
export interface StampParser {
  readonly style: StampStyle;
  /**
   * @returns what text[from, to) says: an instant if `placed` is then true, else a wall time whose zone
   *   has still to be applied; NaN where it is no time stamp of this style
   */
  parse(text: ByteText, from: number, to: number): number;
  /** Whether the last stamp carried its own offset from UTC. */
  placed: boolean;
}

/** Stamps outside these years come from a clock that was never set (project rule). */
export const FIRST_YEAR = 1990;
export const LAST_YEAR = 2099;
export const EARLIEST = Date.UTC(FIRST_YEAR, 0, 1);
export const LATEST = Date.UTC(LAST_YEAR + 1, 0, 1);

/** Epoch counts of up to so many digits are seconds, milliseconds, microseconds, nanoseconds. */
const SECOND_DIGITS = 11;
const MILLISECOND_DIGITS = 14;
const MICROSECOND_DIGITS = 17;
const NANOSECOND_DIGITS = 19;

export function stampParser(style: StampStyle): StampParser {
  return style === 'epoch' ? epochParser() : calendarParser(style);
}

function epochParser(): StampParser {
  const parser: StampParser = {
    style: 'epoch',
    placed: true,
    parse(text, from, to) {
      let i = from;
      while (i < to && isBlank(text.charCodeAt(i))) i++;
      const start = i;
      while (i < to && isDigit(text.charCodeAt(i))) i++;
      const count = i - start;
      if (count === 0 || count > NANOSECOND_DIGITS) return NaN;
      // what is finer than a millisecond is left out: 19 digits would not fit into a double
      const finer = count <= MILLISECOND_DIGITS ? 0 : count <= MICROSECOND_DIGITS ? 3 : 6;
      let value = 0;
      for (let j = start; j < i - finer; j++) value = value * 10 + (text.charCodeAt(j) - 48);
      let part = 0;
      if (i < to && (text.charCodeAt(i) === 46 || text.charCodeAt(i) === 44)) {
        let scale = 0.1;
        for (i++; i < to && isDigit(text.charCodeAt(i)); i++) {
          part += (text.charCodeAt(i) - 48) * scale;
          scale /= 10;
        }
      }
      while (i < to && isBlank(text.charCodeAt(i))) i++;
      if (i < to) return NaN;
      return count <= SECOND_DIGITS ? value * 1000 + Math.floor(part * 1000 + 1e-6) : value;
    },
  };
  return parser;
}

const COLON = 58;
const POINT = 46;
const COMMA = 44;
const DASH = 45;
const PLUS = 43;
const SLASH = 47;
const BLANK = 32;
const LETTER_T = 84;
const LETTER_Z = 90;

/** Stands in no byte text. */
const NO_BYTE = '\u0100';

/**
 * Stamps of numbered days: year first (ISO 8601, RFC 3339, SQL), day first or month first, between `-`,
 * `/` or `.`; a clock of 24 or 12 hours, fractions of a second after a point or comma; an offset or `Z`
 * behind it. A date alone is its midnight.
 */
function calendarParser(style: 'year-first' | DateOrder): StampParser {
  let at = 0;
  let end = 0;
  let source: ByteText = '';
  // The day seldom changes from line to line: its text and its wall time are kept.
  let cachedText: ByteText = NO_BYTE;
  let cachedWall = 0;

  function skipBlanks(): void {
    while (at < end) {
      const code = source.charCodeAt(at);
      const length = isBlank(code) ? 1 : code < 128 ? 0 : noBreakSpace(source, at);
      if (length === 0) return;
      at += length;
    }
  }

  /** The next number of up to `most` digits; -1 where there is none. */
  function digits(most: number): number {
    let value = 0;
    const stop = Math.min(end, at + most);
    const start = at;
    while (at < stop && isDigit(source.charCodeAt(at))) value = value * 10 + (source.charCodeAt(at++) - 48);
    return at === start ? -1 : value;
  }

  function dayOf(): number {
    const length = cachedText.length;
    if (
      source.startsWith(cachedText, at) &&
      !(at + length < end && isDigit(source.charCodeAt(at + length)))
    ) {
      at += length;
      return cachedWall;
    }
    const from = at;
    const wall = spelledDay();
    if (!Number.isNaN(wall)) {
      cachedText = source.slice(from, at);
      cachedWall = wall;
    }
    return wall;
  }

  /** The date under the cursor. */
  function spelledDay(): number {
    const first = digits(style === 'year-first' ? 4 : 2);
    const separator = at < end ? source.charCodeAt(at) : 0;
    if (separator !== DASH && separator !== SLASH && separator !== POINT) return NaN;
    at++;
    const second = digits(2);
    if (at >= end || source.charCodeAt(at) !== separator) return NaN;
    at++;
    const before = at;
    const third = digits(style === 'year-first' ? 2 : 4);
    if (first < 0 || second < 0 || third < 0) return NaN;
    const month = style === 'month-first' ? first : second;
    if (style === 'year-first') return first < 1000 ? NaN : wallTime(first, month, third);
    const day = style === 'month-first' ? second : first;
    const figures = at - before;
    if (figures !== 2 && figures !== 4) return NaN;
    return wallTime(figures === 2 ? 2000 + third : third, month, day);
  }

  /** Milliseconds of the fraction of a second under the cursor. */
  function fraction(): number {
    let value = 0;
    let scale = 100;
    let any = false;
    for (; at < end && isDigit(source.charCodeAt(at)); at++) {
      value += (source.charCodeAt(at) - 48) * scale;
      scale /= 10;
      any = true;
    }
    return any ? Math.floor(value + 1e-9) : NaN;
  }

  function clockOf(): number {
    let hour = digits(2);
    if (hour < 0 || at >= end || source.charCodeAt(at) !== COLON) return NaN;
    at++;
    const minute = digits(2);
    let second = 0;
    let milli = 0;
    if (at < end && source.charCodeAt(at) === COLON) {
      at++;
      second = digits(2);
      if (at < end && (source.charCodeAt(at) === POINT || source.charCodeAt(at) === COMMA)) {
        at++;
        milli = fraction();
      }
    }
    skipBlanks();
    const half = halfOfDay();
    if (half !== 0) {
      if (half < 0 || hour < 1 || hour > 12) return NaN;
      hour = (hour % 12) + (half === 2 ? 12 : 0);
    }
    if (minute < 0 || second < 0 || hour > 23 || minute > 59 || second > 59) return NaN;
    return ((hour * 60 + minute) * 60 + second) * 1000 + milli;
  }

  /** 1 for a.m., 2 for p.m., 0 for neither, -1 for half of one of them, under the cursor. */
  function halfOfDay(): number {
    const code = at < end ? source.charCodeAt(at) | 32 : 0;
    if (code !== 97 && code !== 112) return 0;
    at++;
    if (at < end && source.charCodeAt(at) === POINT) at++;
    skipBlanks(); // `a. m.`
    if (at >= end || (source.charCodeAt(at) | 32) !== 109) return -1;
    at++;
    if (at < end && source.charCodeAt(at) === POINT) at++;
    skipBlanks();
    return code === 97 ? 1 : 2;
  }

  /** Minutes east of UTC under the cursor; null where nothing stands there; NaN where it is no offset. */
  function offset(): number | null {
    skipBlanks();
    if (at >= end) return null;
    const code = source.charCodeAt(at);
    if ((code | 32) === LETTER_Z + 32) {
      at++;
      return 0;
    }
    if (source.startsWith('UTC', at) || source.startsWith('GMT', at)) {
      at += 3;
      return at < end && (source.charCodeAt(at) === PLUS || source.charCodeAt(at) === DASH) ? offset() : 0;
    }
    if (code !== PLUS && code !== DASH) return NaN;
    at++;
    const hours = digits(2);
    if (at < end && source.charCodeAt(at) === COLON) at++;
    const minutes = at < end ? digits(2) : 0;
    if (hours < 0 || hours > 18 || minutes < 0 || minutes > 59) return NaN;
    return (code === DASH ? -1 : 1) * (hours * 60 + minutes);
  }

  /** Any stamp; the rare ones by themselves, so that `parse` stays small. */
  function spelled(text: ByteText, from: number, to: number): number {
    source = text;
    at = from;
    end = to;
    skipBlanks();
    while (end > at && isBlank(text.charCodeAt(end - 1))) end--;
    const day = dayOf();
    if (at >= end || Number.isNaN(day)) return day;
    const joint = text.charCodeAt(at);
    if ((joint | 32) === LETTER_T + 32 || joint === COMMA || joint === COLON) at++;
    else if (!isBlank(joint) && noBreakSpace(text, at) === 0) return Number.NaN;
    skipBlanks();
    const wall = day + clockOf();
    const minutes = offset();
    if (at < end || Number.isNaN(minutes)) return Number.NaN;
    if (minutes === null) return wall;
    parser.placed = true;
    return wall - minutes * 60_000;
  }

  const parser: StampParser = {
    style,
    placed: false,
    parse(text, from, to) {
      parser.placed = false;
      // nearly every stamp of a log: the day of the line before, a letter T or a blank, and HH:MM:SS
      const length = cachedText.length;
      if (to - from === length + 9 && text.startsWith(cachedText, from)) {
        const joint = text.charCodeAt(from + length);
        const clock = joint === BLANK || joint === LETTER_T ? plainClock(text, from + length + 1) : -1;
        if (clock >= 0) return cachedWall + clock;
      }
      return spelled(text, from, to);
    },
  };
  return parser;
}

/** Milliseconds since midnight of the HH:MM:SS at this place; -1 where something else stands there. */
function plainClock(text: ByteText, at: number): number {
  if (text.charCodeAt(at + 2) !== COLON || text.charCodeAt(at + 5) !== COLON) return -1;
  const hour = twoDigits(text, at);
  const minute = twoDigits(text, at + 3);
  const second = twoDigits(text, at + 6);
  if (!(hour < 24 && minute < 60 && second < 60)) return -1;
  return ((hour * 60 + minute) * 60 + second) * 1000;
}

/** Two digits as a number; 100, more than any clock shows, where one of them is none. */
function twoDigits(text: ByteText, at: number): number {
  const tens = text.charCodeAt(at) - 48;
  const ones = text.charCodeAt(at + 1) - 48;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : 100;
}

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}

/** The no-break spaces that some locales put before AM and PM (U+202F, U+00A0), as UTF-8 bytes. */
const NO_BREAK_SPACES = ['\u00e2\u0080\u00af', '\u00c2\u00a0'];

/** How long the no-break space is that stands in a text at a place; 0 where none does. */
function noBreakSpace(text: ByteText, at: number): number {
  return NO_BREAK_SPACES.find((space) => text.startsWith(space, at))?.length ?? 0;
}

function isBlank(code: number): boolean {
  return code === 32 || code === 9;
}

const CLOCK =
  /^\d{1,2}:\d{2}(:\d{2}([.,]\d+)?)?((\s|\u00e2\u0080\u00af|\u00c2\u00a0){0,3}[ap]\.?(\s|\u00c2\u00a0)?m\.?)?$/i;

/** Whether a cell holds a time of day without a date. */
export function isClock(text: ByteText): boolean {
  return CLOCK.test(text.trim());
}

/** Whether a cell holds a date without a time of day. */
export function isDateOnly(text: ByteText): boolean {
  return !text.includes(':') && /[-/.]/.test(text);
}

/** What a list of numbered dates says about the order of day and month. */
export type OrderEvidence = DateOrder | 'contradictory' | 'none';

const NUMBERED = /^\s*(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?!\d)/;

export function isNumberedDate(text: ByteText): boolean {
  return NUMBERED.test(text);
}

/**
 * Whether stamps are written day first or month first: by a number over 12, and by what follows
 * midnight, since a log goes on at its own pace from one day into the next, and only one of the two
 * readings puts the next day there.
 *
 * @param stamps time stamps in order of input
 * @returns 'none' where the stamps allow both
 */
export function dateOrderOf(stamps: readonly ByteText[]): OrderEvidence {
  let dayFirst = false;
  let monthFirst = false;
  let date: ByteText = NO_BYTE;
  for (const stamp of stamps) {
    // nearly every line has the date of the line before
    if (stamp.startsWith(date)) continue;
    const match = NUMBERED.exec(stamp);
    if (match === null) continue;
    date = match[0];
    dayFirst ||= Number(match[1]) > 12 && Number(match[3]) <= 12;
    monthFirst ||= Number(match[3]) > 12 && Number(match[1]) <= 12;
  }
  if (dayFirst && monthFirst) return 'contradictory';
  if (dayFirst || monthFirst) {
    const [number, other]: DateOrder[] = dayFirst
      ? ['day-first', 'month-first']
      : ['month-first', 'day-first'];
    // one damaged stamp may hold a number over 12
    return goesOn(stamps, number!) || !goesOn(stamps, other!) ? number! : 'contradictory';
  }
  const asDayFirst = goesOn(stamps, 'day-first');
  if (asDayFirst === goesOn(stamps, 'month-first')) return 'none';
  return asDayFirst ? 'day-first' : 'month-first';
}

/** Midnights must be crossed at no more than this many usual steps for the order to be believed. */
const STEPS_AT_MIDNIGHT = 3;

function goesOn(stamps: readonly ByteText[], order: DateOrder): boolean {
  const { parse } = stampParser(order);
  const within: number[] = [];
  const across: number[] = [];
  let before = NaN;
  for (const stamp of stamps) {
    const time = parse(stamp, 0, stamp.length);
    if (Number.isNaN(time)) continue;
    const step = Math.abs(time - before);
    if (step > 0) (dayNumber(time) === dayNumber(before) ? within : across).push(step);
    before = time;
  }
  if (within.length === 0 || across.length === 0) return false;
  within.sort((a, b) => a - b);
  const usual = within[within.length >> 1]!;
  return across.every((step) => step <= STEPS_AT_MIDNIGHT * usual);
}

function dayNumber(time: number): number {
  return Math.floor(time / 86_400_000);
}
