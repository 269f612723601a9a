import { DAY, HOUR, MINUTE, SECOND, type WallTime } from '../units.js';

/**
 * The years that count as dates here. ISO 8601 takes years before 1583, the first full year of the
 * Gregorian calendar, by agreement only (from memory); RFC 3339 ends with four digits.
 */
export const FIRST_YEAR = 1583;
export const LAST_YEAR = 9999;

/** A date of the Gregorian calendar; months and days count from 1. */
export interface CivilDate {
  readonly year: number;
  readonly month: number;
  readonly day: number;
}

/** A date and the time of day, each field a whole number. */
export interface Civil extends CivilDate {
  readonly hour: number;
  readonly minute: number;
  readonly second: number;
  readonly millisecond: number;
}

/** Days from 0000-03-01 to 1970-01-01. */
const EPOCH = 719_468;
const MEAN_YEAR = 365.2425;

/**
 * Days from 1970-01-01 to a date of the proleptic Gregorian calendar.
 * Years are counted from March, so that the leap day is the last of its year. The lengths of the five
 * months from March on repeat from August and again from January: 153 days (the well-known civil day
 * count, from memory).
 *
 * @param year any whole number
 * @param month 1 to 12
 * @param day whole number; one outside the month counts on into the neighbouring months
 * @returns whole days, negative before 1970
 */
export function daysFromCivil(year: number, month: number, day: number): number {
  const marchYear = month > 2 ? year : year - 1;
  const marchMonth = month > 2 ? month - 3 : month + 9;
  return newYearInMarch(marchYear) + daysBeforeMonth(marchMonth) + day - 1 - EPOCH;
}

/**
 * The date a number of days after 1970-01-01, in the proleptic Gregorian calendar.
 *
 * @param days whole number, negative before 1970
 */
export function civilFromDays(days: number): CivilDate {
  const count = days + EPOCH;
  // No year begins a whole day later than years of mean length would have it, and none two days earlier:
  // they give the year, or the one before it.
  let marchYear = Math.floor(count / MEAN_YEAR);
  if (newYearInMarch(marchYear + 1) <= count) marchYear++;
  const dayOfYear = count - newYearInMarch(marchYear);
  const marchMonth = Math.floor((5 * dayOfYear + 2) / 153);
  return {
    year: marchMonth < 10 ? marchYear : marchYear + 1,
    month: marchMonth < 10 ? marchMonth + 3 : marchMonth - 9,
    day: dayOfYear - daysBeforeMonth(marchMonth) + 1,
  };
}

/** Days from 0000-03-01 to 1 March of a year. */
function newYearInMarch(year: number): number {
  return 365 * year + Math.floor(year / 4) - Math.floor(year / 100) + Math.floor(year / 400);
}

/** Days from 1 March to the first of a month; March is 0, February 11. */
function daysBeforeMonth(marchMonth: number): number {
  return Math.floor((153 * marchMonth + 2) / 5);
}

const MONTH_LENGTHS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** Length of a month [days]; NaN where `month` is not one of 1 to 12. */
export function daysInMonth(year: number, month: number): number {
  if (month === 2 && year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0)) return 29;
  return MONTH_LENGTHS[month - 1] ?? NaN;
}

/**
 * What a clock on the wall shows at a date and time of day.
 *
 * @param year 1583 to 9999
 * @param month 1 to 12
 * @param day 1 to the length of the month
 * @param hour 0 to 23
 * @param minute 0 to 59
 * @param second 0 to 59: leap seconds have no place in a count of days of 86,400 s
 * @param millisecond 0 to 999
 * @returns NaN where there is no such date or time; the fields are taken to be whole numbers
 */
export function wallTime(
  year: number,
  month: number,
  day: number,
  hour = 0,
  minute = 0,
  second = 0,
  millisecond = 0,
): WallTime {
  const exists =
    year >= FIRST_YEAR &&
    year <= LAST_YEAR &&
    day >= 1 &&
    day <= daysInMonth(year, month) &&
    hour >= 0 &&
    hour < 24 &&
    minute >= 0 &&
    minute < 60 &&
    second >= 0 &&
    second < 60 &&
    millisecond >= 0 &&
    millisecond < 1000;
  if (!exists) return NaN as WallTime;
  const days = daysFromCivil(year, month, day);
  return (days * DAY + hour * HOUR + minute * MINUTE + second * SECOND + millisecond) as WallTime;
}

/** Date and time of day that a clock on the wall shows; all fields NaN for NaN. */
export function civilOf(wall: WallTime): Civil {
  const days = Math.floor(wall / DAY);
  const rest = wall - days * DAY;
  const { year, month, day } = civilFromDays(days);
  return {
    year,
    month,
    day,
    hour: Math.floor(rest / HOUR),
    minute: Math.floor((rest % HOUR) / MINUTE),
    second: Math.floor((rest % MINUTE) / SECOND),
    millisecond: Math.floor(rest % SECOND),
  };
}
