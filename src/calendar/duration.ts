import { InputError } from '../errors.js';
import { DAY, HOUR, type Instant, MINUTE, type Milliseconds, SECOND, type WallTime } from '../units.js';
import { civilFromDays, daysFromCivil, daysInMonth } from './civil.js';
import { instantFrom, type Zone } from './zone.js';

/** A length of time by the calendar: months and days are as long as they happen to be. */
export interface Duration {
  readonly months: number;
  readonly days: number;
  readonly milliseconds: Milliseconds;
}

const NUMBER = String.raw`(\d+(?:[.,]\d+)?)`;
const DURATION = new RegExp(
  `^P(?=.)(?:${NUMBER}Y)?(?:${NUMBER}M)?(?:${NUMBER}W)?(?:${NUMBER}D)?` +
    `(?:T(?=.)(?:${NUMBER}H)?(?:${NUMBER}M)?(?:${NUMBER}S)?)?$`,
);
const EXAMPLES = 'write P7D for seven days, PT30M for half an hour, PT1H30M, P2W or P1M';

/**
 * An ISO 8601 duration. Weeks may stand beside other units. Only the smallest unit given may have
 * decimals, and neither years nor months may, as half a month has no length.
 *
 * @param text `P7D`, `PT30M`, `P1Y6M`, `PT1.5H`
 * @returns weeks in days and part days in milliseconds, rounded to the whole millisecond
 * @throws InputError for anything else
 */
export function parseDuration(text: string): Duration {
  const found = DURATION.exec(text);
  if (found === null) throw notADuration(text);
  const given = found.slice(1).filter((part) => part !== undefined);
  if (given.slice(0, -1).some(hasDecimals)) {
    throw new InputError('only the last number of a duration may have decimals', { text }, EXAMPLES);
  }
  const [years = 0, months = 0, weeks = 0, days = 0, hours = 0, minutes = 0, seconds = 0] = found
    .slice(1)
    .map((part) => (part === undefined ? undefined : Number(part.replace(',', '.'))));
  if (!Number.isInteger(years) || !Number.isInteger(months)) {
    throw new InputError('years and months must be whole numbers', { text }, 'give days instead, as in P15D');
  }
  const wholeDays = Math.floor(7 * weeks + days);
  return {
    months: 12 * years + months,
    days: wholeDays,
    milliseconds: Math.round(
      (7 * weeks + days - wholeDays) * DAY + hours * HOUR + minutes * MINUTE + seconds * SECOND,
    ),
  };
}

/**
 * An ISO 8601 duration of fixed length.
 *
 * @param text as for `parseDuration`, without years and months; a day is 24 h
 * @throws InputError for years and months too, as their length depends on the date
 */
export function exactDuration(text: string): Milliseconds {
  const { months, days, milliseconds } = parseDuration(text);
  if (months > 0) {
    throw new InputError('months and years have no fixed length', { text }, 'give days instead, as in P30D');
  }
  return days * DAY + milliseconds;
}

/**
 * The instant a duration before another. Months and days are taken off the date that the clocks show
 * (31 March less a month is the last of February), the rest off the instant. If the clocks skip the
 * wall time that this leads to, the first instant after the jump is taken; if they show it twice, the
 * earlier one.
 *
 * @returns NaN where it lies outside the years of the zone
 */
export function minusDuration(instant: Instant, duration: Duration, zone: Zone): Instant {
  const { months, days, milliseconds } = duration;
  // The wall clock would turn an instant in the second of two repeated hours into one in the first.
  if (months === 0 && days === 0) return instant - milliseconds;
  const wall = zone.wallAt(instant);
  const today = Math.floor(wall / DAY);
  const date = civilFromDays(today);
  const monthCount = 12 * date.year + date.month - 1 - months;
  const year = Math.floor(monthCount / 12);
  const month = monthCount - 12 * year + 1;
  const then = daysFromCivil(year, month, Math.min(date.day, daysInMonth(year, month))) - days;
  return instantFrom((then * DAY + (wall - today * DAY)) as WallTime, zone) - milliseconds;
}

function hasDecimals(part: string): boolean {
  return /[.,]/.test(part);
}

function notADuration(text: string): InputError {
  return new InputError('not a duration as ISO 8601 writes them', { text }, EXAMPLES);
}
