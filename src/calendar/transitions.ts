import { DAY, type Instant, type Milliseconds, SECOND } from '../units.js';
import { daysFromCivil } from './civil.js';

/** A stretch of time, [from, until), in which a zone's offset from UTC does not change. */
export interface Stretch {
  readonly from: Instant;
  readonly until: Instant;
  /** What the clocks show minus UTC, positive to the east. */
  readonly offset: Milliseconds;
}

/**
 * The stretches of one year (UTC) in one zone, in order, without hole; the ends of the year cut them.
 * Found by asking the platform's zone data for every day and halving the days on which the offset
 * changes, down to the second. That is enough: nowhere in the IANA data (2025) do two changes lie closer
 * than four days (measured).
 *
 * @param name a zone known to Intl
 * @returns a function of the year that takes about a millisecond, so keep what it gives
 */
export function stretchesOf(name: string): (year: number) => readonly Stretch[] {
  const offsetAt = offsetByIntl(name);
  return (year) => {
    const end = daysFromCivil(year + 1, 1, 1) * DAY;
    const stretches: Stretch[] = [];
    let from = daysFromCivil(year, 1, 1) * DAY;
    let offset = offsetAt(from);
    for (let day = from; day < end; day += DAY) {
      const next = offsetAt(day + DAY);
      if (next === offset) continue;
      const change = firstAfter(day, day + DAY, (instant) => offsetAt(instant) !== offset);
      if (change === end) break;
      stretches.push({ from, until: change, offset });
      from = change;
      offset = next;
    }
    stretches.push({ from, until: end, offset });
    return stretches;
  };
}

/** The second in (before, after] from which on `isAfter` holds, as it does at `after` and not at `before`. */
function firstAfter(before: Instant, after: Instant, isAfter: (instant: Instant) => boolean): Instant {
  let low = before;
  let high = after;
  while (high - low > SECOND) {
    const middle = low + Math.floor((high - low) / (2 * SECOND)) * SECOND;
    if (isAfter(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** A zone's offset at a whole second, slowly: by what Intl writes for it. */
function offsetByIntl(name: string): (instant: Instant) => Milliseconds {
  const format = new Intl.DateTimeFormat('en-US', {
    timeZone: name,
    calendar: 'gregory',
    numberingSystem: 'latn',
    hourCycle: 'h23',
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    second: 'numeric',
  });
  const WRITTEN = /(\d+)\/(\d+)\/(\d+)\D+(\d+):(\d+):(\d+)/;
  return (instant) => {
    const [, month, day, year, hour, minute, second] = WRITTEN.exec(format.format(instant))!.map(Number);
    const days = daysFromCivil(year!, month!, day!);
    return days * DAY + ((hour! * 60 + minute!) * 60 + second!) * SECOND - instant;
  };
}
