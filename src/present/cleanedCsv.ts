import type { Zone } from '../calendar/zone.js';
import type { Cleaned } from '../cleaning/clean.js';
import { placeOf } from '../log/pairs.js';
import { Place } from '../log/pairTerms.js';
import { cleanedColumns, type Derived, deriveInto } from '../report/cleanedReport.js';
import { copyWords, LONGEST_NUMBER, putNumber, WORD } from './byteCells.js';
import { type CsvOptions, csvLine } from './csv.js';
import { LONGEST_STAMP, type StampBytes, setStamp, stampBytes } from './stampBytes.js';

const COMMA = 44;

/** Big enough that the cost of a write vanishes, small enough to stay in the processor's cache [bytes]. */
const PIECE = 262_144;

/** Pairs of values whose text is remembered: a year of readings in tenths has some 60,000. */
const REMEMBERED = 131_072;
/** Room for a remembered cell [bytes]: a comma and what a sensor tells, with some to spare. Longer ones are forgotten. */
const ROOM = 2 * WORD;

/**
 * The cleaned logs as the bytes of a CSV text: the same as `csvLines` makes of `cleanedRows`.
 *
 * What stands behind time and logger hangs on the two values and their flags alone, and sensors that measure in
 * steps repeat themselves: it is copied where it was written before. For six added columns that takes 15 MB at most.
 *
 * @returns pieces of whole lines; a piece holds good until the one after the next is asked for
 */
export function* cleanedCsv(
  logs: readonly Pick<Cleaned, 'log' | 'flags'>[],
  zone: Zone,
  derived: Derived,
  { crlf = false }: CsvOptions = {},
): Generator<Uint8Array> {
  const columns = cleanedColumns(derived);
  const end = Buffer.from(crlf ? '\r\n' : '\n');
  yield Buffer.concat([Buffer.from(csvLine(columns)), end]);
  const endings = endingsFor(derived, end);
  const stamp = stampBytes(zone);
  const pieces = [pieceOf(PIECE), pieceOf(PIECE)] as [Piece, Piece];
  for (const { log, flags } of logs) {
    const logger = Buffer.from(csvLine(['', log.logger, '']));
    const name = pieceOf(logger.length);
    name.bytes.set(logger);
    const longest = LONGEST_STAMP + logger.length + columns.length * (LONGEST_NUMBER + 1) + end.length + WORD;
    const line: Line = {
      stamp,
      time: viewOf(stamp.bytes),
      name: name.view,
      length: logger.length,
      endings,
      longest,
    };
    for (let row = 0; row < log.length; ) {
      row = putRows(pieces[0], line, log, flags, row);
      if (row === log.length) break;
      yield pieces[0].bytes.subarray(0, pieces[0].length);
      pieces.reverse();
      pieces[0].length = 0;
    }
  }
  if (pieces[0].length > 0) yield pieces[0].bytes.subarray(0, pieces[0].length);
}

/** Bytes, of which the first `length` are filled. */
interface Piece {
  readonly bytes: Uint8Array;
  readonly view: DataView;
  length: number;
}

/** With room for a word too many behind it. */
function pieceOf(size: number): Piece {
  const bytes = Buffer.allocUnsafeSlow(size + WORD);
  return { bytes, view: viewOf(bytes), length: 0 };
}

function viewOf({ buffer, byteOffset, byteLength }: Uint8Array): DataView {
  return new DataView(buffer, byteOffset, byteLength);
}

/** What the lines of a log are made of. */
interface Line {
  readonly stamp: StampBytes;
  readonly time: DataView;
  /** The cell of the logger, with the commas around it. */
  readonly name: DataView;
  readonly length: number;
  readonly endings: Endings;
  /** Bytes that the longest line may take. */
  readonly longest: number;
}

/**
 * Fills a piece with the lines of the rows from `from` on.
 *
 * @returns the first row for which there is no room
 */
function putRows(
  piece: Piece,
  { stamp, time, name, length, endings, longest }: Line,
  log: Cleaned['log'],
  flags: Cleaned['flags'],
  from: number,
): number {
  const last = PIECE - longest;
  let at = piece.length;
  let row = from;
  for (; row < log.length && at <= last; row++) {
    setStamp(stamp, log.time[row]!);
    at = copyWords(piece.view, at, time, 0, stamp.length);
    at = copyWords(piece.view, at, name, 0, length);
    at = putEnding(
      piece,
      at,
      endings,
      log.temperature[row]!,
      log.humidity[row]!,
      flags.temperature[row]!,
      flags.humidity[row]!,
    );
  }
  piece.length = at;
  return row;
}

/** What stands behind the name, and how it was written before. */
interface Endings {
  readonly derived: Derived;
  readonly values: Float64Array;
  readonly end: Uint8Array;
  /** By place of the pair its number, counted from 1 on; 0 for one that is not remembered. */
  readonly numbers: Uint32Array;
  /** How many numbers there are. */
  count: number;
  /** By number the text, and the flags that it is for; 0 where there is none yet. */
  readonly texts: Piece;
  readonly room: number;
  readonly lengths: Uint8Array;
  readonly flags: Uint8Array;
}

function endingsFor(derived: Derived, end: Uint8Array): Endings {
  const room = ROOM * (derived.quantities.length + 4);
  return {
    derived,
    values: new Float64Array(derived.quantities.length),
    end,
    numbers: new Uint32Array(Place.count),
    count: 0,
    texts: pieceOf(REMEMBERED * room),
    room,
    lengths: new Uint8Array(REMEMBERED),
    flags: new Uint8Array(REMEMBERED),
  };
}

/** Writes the values and flags of a reading, what is derived from them, and the end of the line. */
function putEnding(
  piece: Piece,
  at: number,
  endings: Endings,
  temperature: number,
  humidity: number,
  temperatureFlag: number,
  humidityFlag: number,
): number {
  const { numbers, texts, room, lengths, flags } = endings;
  const bothFlags = temperatureFlag * 16 + humidityFlag;
  const place = placeOf(temperature, humidity);
  const number = place < 0 ? 0 : numbers[place]!;
  if (number > 0 && flags[number] === bothFlags)
    return copyWords(piece.view, at, texts.view, number * room, lengths[number]!);
  const next = writeEnding(piece.bytes, at, endings, temperature, humidity, temperatureFlag, humidityFlag);
  if (place >= 0 && next - at <= room) remember(endings, place, piece.bytes.subarray(at, next), bothFlags);
  return next;
}

function remember(endings: Endings, place: number, text: Uint8Array, bothFlags: number): void {
  const { numbers, texts, room, lengths, flags } = endings;
  if (numbers[place] === 0) {
    if (endings.count + 1 === REMEMBERED) return;
    numbers[place] = ++endings.count;
  }
  const number = numbers[place]!;
  texts.bytes.set(text, number * room);
  lengths[number] = text.length;
  flags[number] = bothFlags;
}

function writeEnding(
  bytes: Uint8Array,
  at: number,
  { derived, values, end }: Endings,
  temperature: number,
  humidity: number,
  temperatureFlag: number,
  humidityFlag: number,
): number {
  let next = putNumber(bytes, at, temperature);
  bytes[next++] = COMMA;
  next = putNumber(bytes, next, humidity);
  bytes[next++] = COMMA;
  next = putNumber(bytes, next, temperatureFlag);
  bytes[next++] = COMMA;
  next = putNumber(bytes, next, humidityFlag);
  deriveInto(values, temperature, humidity, derived);
  for (let i = 0; i < values.length; i++) {
    bytes[next++] = COMMA;
    next = putNumber(bytes, next, values[i]!);
  }
  bytes.set(end, next);
  return next + end.length;
}
