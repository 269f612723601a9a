import { DAY, HOUR, type Instant, type WallTime } from '../units.js';
import { civilFromDays, daysFromCivil } from './civil.js';
import { formatDate, formatWallMinute } from './print.js';
import { instantFrom, offsetText, type Zone } from './zone.js';

export const PERIOD_KINDS = ['hour', 'day', 'week', 'month', 'year'] as const;
export type PeriodKind = (typeof PERIOD_KINDS)[number];

/** A stretch of time with its start and without its end. */
export interface Period {
  readonly start: Instant;
  readonly end: Instant;
}

/**
 * The civil periods that overlap a stretch of time, each whole and never empty, the end of one being
 * the start of the next. Days have 23, 24 or 25 h, or what else the zone gives them; a day that the
 * zone skipped is left out. Weeks start on Monday (ISO 8601). Hours are those of the clock on the wall;
 * one in which the clock is changed ends there, so it may be shorter, never longer.
 *
 * @param from first instant
 * @param until instant after the last; if equal to `from`, the one period that contains it is given
 * @returns in order of time; none if `until` lies before `from` or either is NaN
 */
export function periodsCovering(kind: PeriodKind, from: Instant, until: Instant, zone: Zone): Period[] {
  const periods: Period[] = [];
  if (!(from <= until)) return periods;
  const { startBefore, next } = kind === 'hour' ? hours(zone) : calendar(CALENDARS[kind], zone);
  for (let start = startBefore(from); start <= from || start < until; ) {
    const end = next(start);
    if (end > from) periods.push({ start, end });
    start = end;
  }
  return periods;
}

/**
 * A period's name in a table: `2025-10-26 13:00`, `2025-10-26`, `2025-W43`, `2025-10` or `2025`.
 * An hour that the clocks show twice has its offset added, `2025-10-26 01:00 +00:00`.
 */
export function periodLabel(kind: PeriodKind, period: Period, zone: Zone): string {
  const { start } = period;
  switch (kind) {
    case 'hour': {
      const wall = zone.wallAt(start);
      const text = formatWallMinute(start, zone);
      const repeated = zone.firstInstant(wall) !== zone.lastInstant(wall);
      return repeated ? `${text} ${offsetText(zone.offsetAt(start))}` : text;
    }
    case 'day':
      return formatDate(start, zone);
    case 'week':
      return weekLabel(dayAt(start, zone));
    case 'month':
      return formatDate(start, zone).slice(0, 7);
    case 'year':
      return formatDate(start, zone).slice(0, 4);
  }
}

/** How one kind of period divides time. */
interface Division {
  /** The start of the period of `instant`, or an earlier instant from which `next` leads to it. */
  startBefore(instant: Instant): Instant;
  /** The end of the period that starts at `start`. */
  next(start: Instant): Instant;
}

function hours(zone: Zone): Division {
  const sinceHour = (instant: Instant) => {
    const wall = zone.wallAt(instant);
    return wall - Math.floor(wall / HOUR) * HOUR;
  };
  return {
    // If the clocks were changed since, this is no start, but then the change follows as the next one.
    startBefore: (instant) => instant - sinceHour(instant),
    next(start) {
      const end = start + HOUR - sinceHour(start);
      return zone.changeBetween(start, end) ?? end;
    },
  };
}

/** A count of periods made of whole days, and the day on which the period of a number starts. */
interface Calendar {
  numberOf(day: number): number;
  firstDayOf(number: number): number;
}

/** 1970-01-01, the day 0, was a Thursday. */
const MONDAY = -3;

const CALENDARS: Readonly<Record<Exclude<PeriodKind, 'hour'>, Calendar>> = {
  day: { numberOf: (day) => day, firstDayOf: (day) => day },
  week: { numberOf: weekOf, firstDayOf: (week) => 7 * week + MONDAY },
  month: {
    numberOf: (day) => {
      const { year, month } = civilFromDays(day);
      return 12 * year + month - 1;
    },
    firstDayOf: (month) => daysFromCivil(Math.floor(month / 12), month - 12 * Math.floor(month / 12) + 1, 1),
  },
  year: { numberOf: (day) => civilFromDays(day).year, firstDayOf: (year) => daysFromCivil(year, 1, 1) },
};

function weekOf(day: number): number {
  return Math.floor((day - MONDAY) / 7);
}

function calendar({ numberOf, firstDayOf }: Calendar, zone: Zone): Division {
  const startOf = (number: number) => instantFrom((firstDayOf(number) * DAY) as WallTime, zone);
  return {
    // Clocks put back over midnight show the old date again in the period of the new one: then the next
    // period is meant.
    startBefore: (instant) => startOf(numberOf(dayAt(instant, zone))),
    next: (start) => startOf(numberOf(dayAt(start, zone)) + 1),
  };
}

function dayAt(instant: Instant, zone: Zone): number {
  return Math.floor(zone.wallAt(instant) / DAY);
}

/** ISO 8601: a week belongs to the year that its Thursday lies in, which also counts it. */
function weekLabel(day: number): string {
  const thursday = 7 * weekOf(day) + MONDAY + 3;
  const { year } = civilFromDays(thursday);
  const week = Math.floor((thursday - daysFromCivil(year, 1, 1)) / 7) + 1;
  return `${String(year).padStart(4, '0')}-W${String(week).padStart(2, '0')}`;
}
