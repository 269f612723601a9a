/** October 2025 in Europe/London: two offsets and one change are all the calendar that is needed. */

export const MINUTE = 60_000;
export const HOUR = 3_600_000;
export const DAY = 86_400_000;

/** 1 October, 00:00 summer time. */
export const MONTH_START = Date.UTC(2025, 8, 30, 23);
/** 26 October, 02:00 summer time becomes 01:00. */
const CLOCKS_BACK = Date.UTC(2025, 9, 26, 1);
/** 1 November, 00:00. */
export const MONTH_END = Date.UTC(2025, 10, 1);
export const DAYS = 31;

/** @param {number} instant ms since 1970 UTC */
function offsetAt(instant) {
  return instant < CLOCKS_BACK ? HOUR : 0;
}

/**
 * The instant of a wall time in October; the first one in the repeated hour.
 *
 * @param {number} day 1 to 32
 * @param {number} [hour]
 * @param {number} [minute]
 * @returns {number} ms since 1970 UTC
 */
export function london(day, hour = 0, minute = 0) {
  const wall = Date.UTC(2025, 9, day, hour, minute);
  return wall - HOUR < CLOCKS_BACK ? wall - HOUR : wall;
}

/**
 * @param {number} instant ms since 1970 UTC
 * @returns {string} wall time as `YYYY-MM-DDTHH:MM:SS`
 */
export function wallTime(instant) {
  return new Date(instant + offsetAt(instant)).toISOString().slice(0, 19);
}

/**
 * @param {number} instant ms since 1970 UTC
 * @returns {string} RFC 3339 with the offset of the day
 */
export function rfc3339(instant) {
  return `${wallTime(instant)}+0${offsetAt(instant) / HOUR}:00`;
}
