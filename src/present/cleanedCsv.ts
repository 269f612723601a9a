import type { Zone } from '../calendar/zone.js';
import type { Cleaned } from '../cleaning/clean.js';
import { cleanedColumns, type Derived, deriveInto } from '../report/cleanedReport.js';
import { LONGEST_NUMBER, putBytes, putNumber } from './byteCells.js';
import { type CsvOptions, csvLine } from './csv.js';
import { LONGEST_STAMP, stampWriter } from './stampBytes.js';

const COMMA = 44;

/** Big enough that the cost of a write vanishes, small enough to stay in the processor's cache [bytes]. */
const PIECE = 262_144;

/** Line ends remembered. A year of readings in tenths has some 60,000 pairs of values, a week far fewer. */
const REMEMBERED = 65_536;
/** Room for a remembered cell [bytes]: a comma and what a sensor tells, with some to spare. Longer ones are forgotten. */
const ROOM = 8;

/**
 * The cleaned logs as the bytes of a CSV text: the same as `csvLines` makes of `cleanedRows`.
 *
 * What stands behind time and logger hangs on the two values and their flags alone, and sensors that measure in
 * steps repeat themselves: it is copied where it was written lately. That takes 9 MB at most, and where nothing
 * repeats a tenth longer.
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
  const putStamp = stampWriter(zone);
  const putValues = rememberedValues(derived, end);
  const pieces = [Buffer.allocUnsafeSlow(PIECE), Buffer.allocUnsafeSlow(PIECE)];
  let at = 0;
  for (const { log, flags } of logs) {
    const logger = Buffer.from(csvLine(['', log.logger, '']));
    const longest = LONGEST_STAMP + logger.length + columns.length * (LONGEST_NUMBER + 1) + end.length;
    for (let row = 0; row < log.length; row++) {
      if (at + longest > PIECE) {
        yield pieces[0]!.subarray(0, at);
        pieces.reverse();
        at = 0;
      }
      const bytes = pieces[0]!;
      at = putStamp(bytes, at, log.time[row]!);
      at = putBytes(bytes, at, logger, 0, logger.length);
      at = putValues(
        bytes,
        at,
        log.temperature[row]!,
        log.humidity[row]!,
        flags.temperature[row]!,
        flags.humidity[row]!,
      );
    }
  }
  if (at > 0) yield pieces[0]!.subarray(0, at);
}

type ValuesWriter = (
  bytes: Uint8Array,
  at: number,
  temperature: number,
  humidity: number,
  temperatureFlag: number,
  humidityFlag: number,
) => number;

/** Writes the values and flags of a reading, what is derived from them, and the end of the line. */
function valuesWriter(derived: Derived, end: Uint8Array): ValuesWriter {
  const values = new Float64Array(derived.quantities.length);
  return (bytes, at, temperature, humidity, temperatureFlag, humidityFlag) => {
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
    return putBytes(bytes, next, end, 0, end.length);
  };
}

/** A `valuesWriter` that copies what it wrote lately for the same: each pair of values has one place for it. */
function rememberedValues(derived: Derived, end: Uint8Array): ValuesWriter {
  const putValues = valuesWriter(derived, end);
  const room = ROOM * (derived.quantities.length + 4);
  const texts = new Uint8Array(REMEMBERED * room);
  const lengths = new Uint8Array(REMEMBERED);
  const temperatures = new Float64Array(REMEMBERED).fill(Number.NaN); // a missing value is never looked up
  const humidities = new Float64Array(REMEMBERED);
  const flags = new Uint8Array(REMEMBERED);
  return (bytes, at, temperature, humidity, temperatureFlag, humidityFlag) => {
    const bothFlags = temperatureFlag * 16 + humidityFlag;
    const place = placeOf(temperature, humidity);
    const from = place * room;
    if (temperatures[place] === temperature && humidities[place] === humidity && flags[place] === bothFlags) {
      return putBytes(bytes, at, texts, from, from + lengths[place]!);
    }
    const next = putValues(bytes, at, temperature, humidity, temperatureFlag, humidityFlag);
    if (next - at > room) return next;
    putBytes(texts, from, bytes, at, next);
    lengths[place] = next - at;
    temperatures[place] = temperature;
    humidities[place] = humidity;
    flags[place] = bothFlags;
    return next;
  };
}

/** Spreads pairs of values over the places by two odd factors without a pattern in their bits. */
function placeOf(temperature: number, humidity: number): number {
  const mixed =
    Math.imul((temperature * 1000) | 0, 0x9e3779b1) ^ Math.imul((humidity * 1000) | 0, 0x85ebca6b);
  return (mixed ^ (mixed >>> 15)) & (REMEMBERED - 1);
}
