const ZERO = 48;
const MINUS = 45;
const POINT = 46;

/** Places after the point that are tried: as many as anything that we write has. */
const PLACES = 4;
const SCALE = 10 ** PLACES;
/** Up to here a number with `PLACES` has 15 digits at most, and no two such numbers share a double. */
const PLAIN = 1e11;

/** Bytes that the longest number takes, such as -0.0000012345678901234567. */
export const LONGEST_NUMBER = 25;

/**
 * Writes a number as `String` does, its shortest exact text, into `bytes` from `at` on; nothing for NaN and the
 * infinities. Numbers of few places, nearly all that there are, are written digit by digit: making a string of
 * one takes longer than everything else that is done with a reading.
 *
 * @param bytes has `LONGEST_NUMBER` bytes left
 * @returns where the next byte goes
 */
export function putNumber(bytes: Uint8Array, at: number, value: number): number {
  const size = value < 0 ? -value : value;
  if (!(size < PLAIN)) return Number.isFinite(value) ? putText(bytes, at, String(value)) : at;
  let scaled = Math.round(size * SCALE);
  if (scaled / SCALE !== size) return putText(bytes, at, String(value));
  if (value < 0) bytes[at++] = MINUS;
  let places = PLACES;
  while (places > 0 && scaled % 10 === 0) {
    scaled /= 10;
    places--;
  }
  // from the last digit to the first, at least one before the point
  const length = Math.max(digitsOf(scaled), places + 1) + (places > 0 ? 1 : 0);
  for (let place = at + length - 1; place >= at; place--) {
    const rest = Math.floor(scaled / 10);
    bytes[place] = ZERO + scaled - rest * 10;
    scaled = rest;
    if (--places === 0) bytes[--place] = POINT;
  }
  return at + length;
}

function digitsOf(whole: number): number {
  let digits = 1;
  for (let limit = 10; whole >= limit; limit *= 10) digits++;
  return digits;
}

/** Writes text of ASCII characters. */
function putText(bytes: Uint8Array, at: number, text: string): number {
  for (let i = 0; i < text.length; i++) bytes[at + i] = text.charCodeAt(i);
  return at + text.length;
}

/** Writes a number from 0 to 99 with two digits. */
export function putTwoDigits(bytes: Uint8Array, at: number, value: number): number {
  const tens = (value / 10) | 0;
  bytes[at] = ZERO + tens;
  bytes[at + 1] = ZERO + value - tens * 10;
  return at + 2;
}

/** Bytes that `copyWords` takes at a time. */
export const WORD = 4;

/**
 * Copies bytes word by word: for so few a call of the engine costs more than the copying, and one by one they take
 * four times as long. Up to a word less one byte too many is copied, so both sides need room for that.
 *
 * @returns where the next byte goes
 */
export function copyWords(to: DataView, at: number, source: DataView, from: number, length: number): number {
  for (let done = 0; done < length; done += WORD) {
    to.setInt32(at + done, source.getInt32(from + done, true), true);
  }
  return at + length;
}
