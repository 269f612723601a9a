// AssemblyScript, compiled by `.wasm.js` to what `plainScan.ts` runs.
// biome-ignore-all lint/correctness/noPrecisionLoss: integers have 64 bits here

import { Behind, Byte, Kind, Most, State, Stop } from './plainTerms';

// What makes it fast:
// - It is machine code from the first line on, of bytes that are looked at without a question whether they are there: half
//   of the time that the same took in JavaScript, which for the first hundred thousand lines was slower still.
// - It makes no object. What it finds, it leaves in columns, for a block of lines, so that nothing is looked up or called
//   for a line alone.
// - What is usual is looked at in words: the date and the offset of the line before, a clock of HH:MM:SS or HH:MM, and
//   numbers of the form 23.4 and 8.9. Crossed with the digits 0 and the marks that it should have, such a word leaves its
//   digits as numbers, each in a byte of its own; six more than nine is more than 15, so of what is no digit, a bit beyond
//   the fourth is set before or after adding six.
// - Digits are gathered as an integer and divided once by a power of ten: exact, see `parseNumber`.
// - No loop needs to look where the bytes end: they end in a line end, and all loops stop there.

/** Words and tables by which the scan is told, and tells, what there is; see `State` and `plainScan.ts`. */
export const state = memory.data(4 * State.words, 16);
export const kinds = memory.data(Most.width, 16);
/** Per column the place in its kind of columns below of what is found in the first line of a block. */
export const slots = memory.data(4 * Most.width, 16);
/** What a byte behind a clock is. */
export const clockEnds = memory.data(256, 16);
/** Where texts end, without quotes and in them. */
export const stops = memory.data(256, 16);
export const quotedStops = memory.data(256, 16);
/** Bytes of the date of the last stamp, and the last six of the stamp: its offset, if it has one. */
export const lastDate = memory.data(16, 16);
export const lastOffset = memory.data(16, 16);
/** Its midnight, by what follows the clock. */
export const lastMidnight = memory.data(32, 16);
/** The earliest instant that there is, and the one behind the latest. */
export const eras = memory.data(16, 16);
/** By row of the block: where its line ends, and the bytes of its stamp. */
export const ends = memory.data(4 * Most.rows, 16);
export const stampLengths = memory.data(Most.rows, 16);
/** Columns of instants and numbers, and of where texts begin and end. */
export const values = memory.data(Most.numbers, 16);
export const textFrom = memory.data(Most.texts, 16);
export const textTo = memory.data(Most.texts, 16);
export const bytes = memory.data(Most.bytes + Most.behind, 16);

const POWERS = memory.data<f64>([1, 10, 100, 1000, 10000, 100000, 1000000, 10000000, 100000000, 1000000000]);
/** Digits of an integer of 32 bits. */
const SHORT: u32 = 9;

/** HH:MM:SS and HH:MM. */
const CLOCK: u64 = 0x30303a30303a3030;
const CLOCK_SIXES: u64 = 0x0606000606000606;
const CLOCK_ODD: u64 = 0xf0f0fff0f0fff0f0;
const MINUTES: u64 = 0xffffffffff;
/** 00.0 but for the mark; its first three bytes are those of 0.0, one further up. */
const TENTHS: u32 = 0x30003030;
const TENTHS_SIXES: u32 = 0x06000606;
const TENTHS_ODD: u32 = 0xf0fff0f0;
const SHORT_TENTHS: u32 = 0x300030;
const SHORT_TENTHS_SIXES: u32 = 0x060006;
const SHORT_TENTHS_ODD: u32 = 0xf0fff0;

function word(which: State): i32 {
  return load<i32>(state + (which << 2));
}

function say(which: State, value: i32): void {
  store<i32>(state + (which << 2), value);
}

function isDigit(byte: u32): bool {
  return byte - Byte.zero <= 9;
}

function stopped(why: Stop, row: i32, start: u32): Stop {
  say(State.row, row);
  say(State.start, start);
  return why;
}

/** Where the text ends that begins at a place. */
function endOf(from: u32, table: usize): u32 {
  let at = from;
  while (load<u8>(table + load<u8>(at)) === 0) at++;
  return at;
}

/**
 * Reads lines into the block, as many as are plain and as it has room for, but for cells that are not usual: at those it
 * stops, and it goes on behind them when it is told where they end.
 *
 * @param firstRow of the block, for the line that begins at `from`
 * @param firstColumn the first that was not read yet, and `cell` where it begins
 * @param until behind a line end
 */
export function scan(firstRow: i32, from: u32, firstColumn: i32, cell: u32, until: u32): Stop {
  const rows = word(State.rows);
  const width = word(State.width);
  const delimiter = <u32>word(State.delimiter);
  const lineEnd = <u32>word(State.lineEnd);
  const mark = word(State.mark);
  const bareMark = word(State.bareMark);
  const isLocal = word(State.isLocal) !== 0;
  const dateLength = <u32>word(State.dateLength);
  const earliest = load<f64>(eras);
  const latest = load<f64>(eras, 8);
  const isMarked = bareMark >= 0;
  const tenths = TENTHS | ((<u32>bareMark) << 16);
  const shortTenths = SHORT_TENTHS | ((<u32>bareMark) << 8);
  let lastStop = lineEnd;
  let start = from;
  let at = cell;
  let column = firstColumn;
  let row = firstRow;
  for (; row < rows && start < until; row++) {
    for (; column < width; column++) {
      const cell = at;
      const kind = load<u8>(kinds + column);
      const isMore = column + 1 < width;
      const stop = isMore ? delimiter : lastStop;
      if (kind === Kind.number && isMarked) {
        // nearly all that a log holds: nothing stands in the way of the next cell but what this one is taken to be
        const slot = values + ((load<u32>(slots + (column << 2)) + row) << 3);
        const isNegative = load<u8>(at) === Byte.dash;
        if (isNegative) at++;
        const four = load<u32>(at);
        const long = four ^ tenths;
        const short = (four & 0xffffff) ^ shortTenths;
        let number: i32 = 0;
        if (((long | (long + TENTHS_SIXES)) & TENTHS_ODD) === 0) {
          number = (long & 15) * 100 + ((long >> 8) & 15) * 10 + (long >> 24);
          at += 4;
        } else if (((short | (short + SHORT_TENTHS_SIXES)) & SHORT_TENTHS_ODD) === 0) {
          number = (short & 15) * 10 + (short >> 16);
          at += 3;
        }
        if (at > cell + 1 && load<u8>(at) === stop) {
          const value = <f64>number / 10;
          store<f64>(slot, isNegative ? -value : value);
          at += u32(isMore);
          continue;
        }
        at = cell;
      }
      const isQuoted = load<u8>(at) === Byte.quote;
      let isUsual = false;
      if (isQuoted) at++;
      if (kind === Kind.number) {
        const slot = values + ((load<u32>(slots + (column << 2)) + row) << 3);
        const isNegative = load<u8>(at) === Byte.dash;
        if (isNegative) at++;
        const point = <u32>(isQuoted ? mark : bareMark);
        const whole = at;
        let number: i32 = 0;
        let byte: u32 = load<u8>(at);
        while (isDigit(byte)) {
          number = number * 10 + (byte - Byte.zero);
          byte = load<u8>(++at);
        }
        const marks = u32(byte === point);
        at += marks;
        const fraction = at;
        byte = load<u8>(at);
        while (isDigit(byte)) {
          number = number * 10 + (byte - Byte.zero);
          byte = load<u8>(++at);
        }
        const decimals = at - fraction;
        const digits = at - whole - marks;
        isUsual = digits > 0 && digits <= SHORT;
        if (isUsual) {
          const value = <f64>number / load<f64>(POWERS + (decimals << 3));
          store<f64>(slot, isNegative ? -value : value);
        }
      } else if (kind === Kind.stamp) {
        if (
          dateLength > 0 &&
          load<u32>(at) === load<u32>(lastDate) &&
          load<u32>(at + ((dateLength - 4) >> 1)) === load<u32>(lastDate + ((dateLength - 4) >> 1)) &&
          load<u32>(at + dateLength - 4) === load<u32>(lastDate + dateLength - 4)
        ) {
          at += dateLength;
          const joint = load<u8>(at);
          const hasSeconds = load<u8>(at, 6) === Byte.colon;
          // where no seconds are written, none are meant
          const digits =
            (hasSeconds ? load<u64>(at, 1) : (load<u64>(at, 1) & MINUTES) | (CLOCK & ~MINUTES)) ^ CLOCK;
          const hour = (<u32>digits & 15) * 10 + (<u32>(digits >> 8) & 15);
          const minute = (<u32>(digits >> 24) & 15) * 10 + (<u32>(digits >> 32) & 15);
          const second = (<u32>(digits >> 48) & 15) * 10 + <u32>(digits >> 56);
          at += hasSeconds ? 9 : 6;
          const behind = <u32>load<u8>(clockEnds + load<u8>(at));
          isUsual =
            ((digits | (digits + CLOCK_SIXES)) & CLOCK_ODD) === 0 &&
            (joint === Byte.blank || joint === Byte.letterT) &&
            hour < 24 &&
            minute < 60 &&
            second < 60 &&
            behind !== Behind.other;
          if (behind === Behind.offset) {
            isUsual =
              isUsual &&
              load<u32>(at) === load<u32>(lastOffset) &&
              load<u32>(at, 2) === load<u32>(lastOffset, 2);
            at += 6;
          } else if (behind === Behind.utc) at++;
          if (isUsual) {
            const clock = <f64>(((hour * 60 + minute) * 60 + second) * 1000);
            store<f64>(values + (row << 3), load<f64>(lastMidnight + (behind << 3)) + clock);
            store<u8>(stampLengths + row, at - cell - u32(isQuoted));
            if (isLocal && behind === Behind.end && word(State.firstZoned) > row) say(State.firstZoned, row);
          }
        }
      } else if (kind === Kind.text) {
        const slot = (load<u32>(slots + (column << 2)) + row) << 2;
        isUsual = load<u8>(at) !== Byte.blank;
        store<u32>(textFrom + slot, at);
        at = endOf(at, isQuoted ? quotedStops : stops);
        store<u32>(textTo + slot, at);
      }
      if (isUsual && !isQuoted && load<u8>(at) === stop) {
        at += u32(isMore);
        continue;
      }
      isUsual = isUsual && (!isQuoted || load<u8>(at) === Byte.quote);
      if (isQuoted) at++;
      if (!isUsual || load<u8>(at) === Byte.blank) {
        say(State.column, column);
        say(State.cell, cell);
        return stopped(Stop.cell, row, start);
      }
      if (isMore && load<u8>(at++) !== delimiter) return stopped(Stop.line, row, start);
    }
    if (load<u8>(at) === Byte.carriageReturn && lineEnd === Byte.newline) {
      lastStop = Byte.carriageReturn;
      at++;
    }
    if (load<u8>(at) !== lineEnd) return stopped(Stop.line, row, start);
    const time = load<f64>(values + (row << 3));
    if (!(time >= earliest && time < latest)) return stopped(Stop.line, row, start);
    store<u32>(ends + (row << 2), at);
    start = ++at;
    column = 0;
  }
  return stopped(Stop.end, row, start);
}
