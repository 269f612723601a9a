import { InputError } from '../errors.js';
import type { Instant } from '../units.js';
import { wallTime } from './civil.js';
import { instantFrom, parseOffset, type Zone } from './zone.js';

const MOMENT =
  /^(\d{4})-(\d\d)-(\d\d)(?:[T ](\d\d):(\d\d)(?::(\d\d)(?:[.,](\d{1,9}))?)?(Z|[+-]\d\d:?\d\d)?)?$/i;
const EXAMPLES = 'write 2025-10-01, 2025-10-01T06:30 or 2025-10-01T06:30:00+01:00';

/**
 * The moment that a person wrote to say from or until when.
 *
 * A time without an offset is what the clocks of the zone show: of two instants that show it the
 * earlier one is taken, and if they skip it, the instant of the jump; no reading can lie between.
 * A date alone is the first instant of that day in the zone.
 *
 * @param text RFC 3339 (`2025-10-01T06:30:00+01:00`), a local time with or without seconds
 *   (`2025-10-01 06:30`) or a date (`2025-10-01`); decimals of a second are cut to the millisecond
 * @throws InputError for anything else, epoch numbers among them, and for a date or time that does not exist
 */
export function parseMoment(text: string, zone: Zone): Instant {
  const found = MOMENT.exec(text);
  if (found === null) {
    const what = /^[+-]?\d+(\.\d+)?$/.test(text)
      ? 'a bare number is not taken for a date or time'
      : 'not a date or time';
    throw new InputError(what, { text }, EXAMPLES);
  }
  const [, year, month, day, hour = '0', minute = '0', second = '0', fraction = '', offset] = found;
  const wall = wallTime(
    Number(year),
    Number(month),
    Number(day),
    Number(hour),
    Number(minute),
    Number(second),
    Number(fraction.slice(0, 3).padEnd(3, '0')),
  );
  const instant = offset === undefined ? instantFrom(wall, zone) : wall - offsetOf(offset);
  if (Number.isNaN(instant)) {
    throw new InputError('there is no such date or time', { text }, EXAMPLES);
  }
  return instant;
}

function offsetOf(text: string): number {
  return text.toUpperCase() === 'Z' ? 0 : parseOffset(text);
}
