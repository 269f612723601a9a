import { formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { DAY, HOUR, type Instant, MINUTE, SECOND } from '../units.js';
import { putBytes, putTwoDigits } from './byteCells.js';

/** Bytes that the longest instant takes: 2025-10-01T00:00:00.000+01:00. */
export const LONGEST_STAMP = 29;

const COLON = 58;
const DATE_LENGTH = '2025-10-01T'.length;
const TIME_LENGTH = '00:00:00'.length;

/**
 * Writes instants as `formatInstant` does, as bytes. Date and offset are made once for a day, or for the part of it up
 * to a change of the clocks: so instants in order of time are the quick ones, but any order gives the same.
 *
 * @returns writes an instant into bytes from a place on, with `LONGEST_STAMP` bytes left, and gives the next place
 */
export function stampWriter(zone: Zone): (bytes: Uint8Array, at: number, instant: Instant) => number {
  let from: Instant = Number.NaN;
  let until: Instant = Number.NaN;
  let midnight: Instant = Number.NaN;
  let date = new Uint8Array();
  let offset = new Uint8Array();

  function begin(instant: Instant): void {
    const text = Buffer.from(formatInstant(instant, zone));
    date = text.subarray(0, DATE_LENGTH);
    offset = text.subarray(DATE_LENGTH + TIME_LENGTH);
    const shift = Math.round(zone.offsetAt(instant) / MINUTE) * MINUTE;
    midnight = Math.floor((instant + shift) / DAY) * DAY - shift;
    from = instant;
    until = zone.changeBetween(instant, midnight + DAY) ?? midnight + DAY;
  }

  return (bytes, at, instant) => {
    if (instant % SECOND !== 0) return at + Buffer.from(formatInstant(instant, zone)).copy(bytes, at);
    if (!(instant >= from && instant < until)) begin(instant);
    const rest = instant - midnight;
    if (Number.isNaN(rest)) return at;
    const hour = Math.floor(rest / HOUR);
    const minute = Math.floor((rest - hour * HOUR) / MINUTE);
    let next = putBytes(bytes, at, date, 0, DATE_LENGTH);
    next = putTwoDigits(bytes, next, hour);
    bytes[next] = COLON;
    next = putTwoDigits(bytes, next + 1, minute);
    bytes[next] = COLON;
    next = putTwoDigits(bytes, next + 1, (rest - hour * HOUR - minute * MINUTE) / SECOND);
    return putBytes(bytes, next, offset, 0, offset.length);
  };
}
