import { formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { DAY, type Instant, MINUTE, SECOND } from '../units.js';
import { putTwoDigits, WORD } from './byteCells.js';

/** Bytes that the longest instant takes: 2025-10-01T00:00:00.000+01:00. */
export const LONGEST_STAMP = 29;

const DATE_LENGTH = '2025-10-01T'.length;

/**
 * An instant as `formatInstant` writes it, in bytes that are changed where the next one differs. Date and offset are
 * made once for a day, or for the part of it up to a change of the clocks: so instants in order of time are the quick
 * ones, but any order gives the same.
 */
export interface StampBytes {
  readonly zone: Zone;
  /** Room for the longest. */
  readonly bytes: Uint8Array;
  length: number;
  /** From when until when date and offset hold, and the midnight before [ms]. */
  readonly holds: Float64Array;
}

const FROM = 0;
const UNTIL = 1;
const MIDNIGHT = 2;

export function stampBytes(zone: Zone): StampBytes {
  return {
    zone,
    bytes: new Uint8Array(LONGEST_STAMP + WORD),
    length: 0,
    holds: new Float64Array(3).fill(Number.NaN),
  };
}

/** Makes it the stamp of another instant; of none, empty, for NaN. */
export function setStamp(stamp: StampBytes, instant: Instant): void {
  const { bytes, holds } = stamp;
  if (!(instant >= holds[FROM]! && instant < holds[UNTIL]!) || instant % SECOND !== 0) {
    begin(stamp, instant);
    return;
  }
  const seconds = (instant - holds[MIDNIGHT]!) / SECOND;
  const minutes = Math.floor(seconds / 60);
  const hours = Math.floor(minutes / 60);
  putTwoDigits(bytes, DATE_LENGTH, hours);
  putTwoDigits(bytes, DATE_LENGTH + 3, minutes - hours * 60);
  putTwoDigits(bytes, DATE_LENGTH + 6, seconds - minutes * 60);
}

/** Writes all of it anew, and settles how long that holds. A fraction of a second holds for nothing else. */
function begin(stamp: StampBytes, instant: Instant): void {
  const { zone, bytes, holds } = stamp;
  stamp.length = Buffer.from(formatInstant(instant, zone)).copy(bytes);
  holds.fill(Number.NaN);
  if (stamp.length === 0 || instant % SECOND !== 0) return;
  const shift = Math.round(zone.offsetAt(instant) / MINUTE) * MINUTE;
  const midnight = Math.floor((instant + shift) / DAY) * DAY - shift;
  holds[MIDNIGHT] = midnight;
  holds[FROM] = instant;
  holds[UNTIL] = zone.changeBetween(instant, midnight + DAY) ?? midnight + DAY;
}
