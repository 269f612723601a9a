import { DAY, HOUR, type Instant, type Milliseconds, SECOND } from '../units.js';
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
 * @returns a function of the year that may take a millisecond, so keep what it gives
 */
export function stretchesOf(name: string): (year: number) => readonly Stretch[] {
  if (platformSpelling(name) === name && isPlain(name) && datesFollowZone())
    return (year) => inZone(name, () => stretchesIn(year, offsetOfDate));
  const offsetAt = offsetByIntl(name);
  return (year) => stretchesIn(year, offsetAt);
}

/** How the platform spells a zone that it lists, which it need not do with all that it knows; undefined for others. */
export function platformSpelling(name: string): string | undefined {
  const lower = name.toLowerCase();
  return Intl.supportedValuesOf('timeZone').find((listed) => listed.toLowerCase() === lower);
}

function stretchesIn(year: number, offsetAt: (instant: Instant) => Milliseconds): readonly Stretch[] {
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

// What a Date shows has the same zone data behind it as Intl, without the 12 ms that its first format takes to get ready.

/** Gives an answer with the process set to a zone. */
function inZone<Answer>(name: string, answer: () => Answer): Answer {
  const before = process.env.TZ;
  process.env.TZ = name;
  try {
    return answer();
  } finally {
    if (before === undefined) delete process.env.TZ;
    else process.env.TZ = before;
  }
}

/** Whether dates go by the zone that the process is set to: not in a worker thread. */
function datesFollowZone(): boolean {
  const summer = Date.UTC(2025, 6, 1);
  return (
    inZone('Asia/Tokyo', () => offsetOfDate(summer)) === 9 * HOUR &&
    inZone('America/Bogota', () => offsetOfDate(summer)) === -5 * HOUR
  );
}

/** Whether the name of a zone cannot be taken for a rule, as `Etc/GMT+5` is by POSIX. */
function isPlain(name: string): boolean {
  return /^[a-z_/-]+$/i.test(name);
}

/** The offset at a whole second in the zone that the process is set to. */
function offsetOfDate(instant: Instant): Milliseconds {
  const date = new Date(instant);
  const days = daysFromCivil(date.getFullYear(), date.getMonth() + 1, date.getDate());
  const seconds = (date.getHours() * 60 + date.getMinutes()) * 60 + date.getSeconds();
  return days * DAY + seconds * SECOND - instant;
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
