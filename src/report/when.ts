import { civilOf } from '../calendar/civil.js';
import type { Period } from '../calendar/period.js';
import { formatWallMinute } from '../calendar/print.js';
import { offsetText, type Zone } from '../calendar/zone.js';
import { DAY, HOUR, type Instant, type WallTime } from '../units.js';

// How a page says when: as people do, with the day of the week, and no more of the date than is needed.

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'] as const;

/** 1 Monday to 7 Sunday (ISO 8601), of the day in which an instant lies. 1970-01-01 was a Thursday. */
export function weekdayOf(instant: Instant, zone: Zone): number {
  const day = Math.floor(zone.wallAt(instant) / DAY);
  return ((((day + 3) % 7) + 7) % 7) + 1;
}

/** `Mon 27 Oct 2025` */
export function dayWithYear(instant: Instant, zone: Zone): string {
  return `${dayInWords(instant, zone)} ${civilOf(zone.wallAt(instant)).year}`;
}

/** `Mon 27 Oct` */
export function dayInWords(instant: Instant, zone: Zone): string {
  return `${WEEKDAYS[weekdayOf(instant, zone) - 1]} ${dayAndMonth(instant, zone)}`;
}

/** `27 Oct` */
export function dayAndMonth(instant: Instant, zone: Zone): string {
  const { day } = civilOf(zone.wallAt(instant));
  return `${day} ${monthInWords(instant, zone)}`;
}

/** `Oct` */
export function monthInWords(instant: Instant, zone: Zone): string {
  return MONTHS[civilOf(zone.wallAt(instant)).month - 1] ?? '';
}

/** `04:10`; a time that the clocks show twice has its offset added. */
export function clockInWords(instant: Instant, zone: Zone): string {
  const text = formatWallMinute(instant, zone).slice(11);
  const wall = zone.wallAt(instant);
  const minute = (Math.floor(wall / 60_000) * 60_000) as WallTime;
  const isTwice = zone.firstInstant(minute) !== zone.lastInstant(minute);
  return isTwice ? `${text} ${offsetText(zone.offsetAt(instant))}` : text;
}

/** Says when something was, as short as a page about a stretch of time lets it. */
export interface When {
  /** `04:10` on a page about one day, else `Mon 27 Oct 04:10`. */
  at(instant: Instant): string;
  /** `Mon 27 Oct 04:10 to 06:00`; ends past the page's are left open: `until 06:00`, `from 04:10 on`. */
  during(from: Instant, until: Instant): string;
}

export function whenOn(span: Period, zone: Zone): When {
  const isOneDay = span.end - span.start <= 25 * HOUR && sameDay(span.start, span.end - 1, zone);
  const isOneYear = yearOf(span.start, zone) === yearOf(span.end - 1, zone);
  const at = (instant: Instant) => {
    const clock = clockInWords(instant, zone);
    // midnight at the end of the one day is still of that day
    if (isOneDay && instant >= span.start && instant <= span.end)
      return instant === span.end ? '24:00' : clock;
    return `${isOneYear ? dayInWords(instant, zone) : dayWithYear(instant, zone)} ${clock}`;
  };
  return {
    at,
    during(from, until) {
      if (until === from) return at(from);
      const isOpen = until >= span.end;
      if (from <= span.start) return isOpen ? 'all the time' : `until ${at(until)}`;
      if (isOpen) return `from ${at(from)} on`;
      const end = sameDay(from, until, zone) ? clockInWords(until, zone) : at(until);
      return `${at(from)} to ${end}`;
    },
  };
}

/** What time a page is about: `Mon 27 Oct 2025`, or its first and last day; with times of day where it is cut. */
export function spanInWords({ start, end }: Period, zone: Zone): string {
  const isWhole = isMidnight(start, zone) && isMidnight(end, zone);
  if (isWhole) {
    const first = dayWithYear(start, zone);
    const last = dayWithYear(end - 1, zone);
    return first === last ? first : `${first} to ${last}`;
  }
  return `${dayWithYear(start, zone)} ${clockInWords(start, zone)} to ${dayWithYear(end, zone)} ${clockInWords(end, zone)}`;
}

function isMidnight(instant: Instant, zone: Zone): boolean {
  return !sameDay(instant, instant - 1, zone);
}

function sameDay(one: Instant, other: Instant, zone: Zone): boolean {
  return Math.floor(zone.wallAt(one) / DAY) === Math.floor(zone.wallAt(other) / DAY);
}

function yearOf(instant: Instant, zone: Zone): number {
  return civilOf(zone.wallAt(instant)).year;
}
