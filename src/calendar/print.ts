import { DAY, HOUR, type Instant, MINUTE, type Milliseconds, SECOND, type WallTime } from '../units.js';
import { civilFromDays } from './civil.js';
import { offsetText, type Zone } from './zone.js';

/** `00` to `99`, so that a million stamps need no padding. */
const TWO_DIGITS = Array.from({ length: 100 }, (_, value) => String(value).padStart(2, '0'));

let lastDay = NaN;
let lastDayText = '';
const offsetTexts = new Map<Milliseconds, string>();

/**
 * An instant as RFC 3339 writes it, `2025-10-01T00:00:00+01:00`, milliseconds only where there are any.
 * UTC is written `Z`. Where the offset has seconds (as in Monrovia until 1972), RFC 3339 cannot write
 * it: the nearest minute is used for both the offset and the time, so that the instant is still right.
 *
 * @returns empty text where the zone has no answer (NaN, or a year outside 1583 to 9999)
 */
export function formatInstant(instant: Instant, zone: Zone): string {
  const offset = Math.round(zone.offsetAt(instant) / MINUTE) * MINUTE;
  const wall = instant + offset;
  const day = Math.floor(wall / DAY);
  const rest = Math.floor(wall - day * DAY);
  if (Number.isNaN(rest)) return '';
  const hour = TWO_DIGITS[Math.floor(rest / HOUR)];
  const minute = TWO_DIGITS[Math.floor((rest % HOUR) / MINUTE)];
  const second = TWO_DIGITS[Math.floor((rest % MINUTE) / SECOND)];
  const millisecond = rest % SECOND;
  const fraction = millisecond === 0 ? '' : `.${String(millisecond).padStart(3, '0')}`;
  const ending = zone.name === 'UTC' ? 'Z' : cachedOffsetText(offset);
  return `${dayText(day)}T${hour}:${minute}:${second}${fraction}${ending}`;
}

/** The civil date of an instant, `2025-10-01`; empty text where the zone has no answer. */
export function formatDate(instant: Instant, zone: Zone): string {
  const wall = zone.wallAt(instant);
  return Number.isNaN(wall) ? '' : dayText(Math.floor(wall / DAY));
}

/** What the clocks show at an instant, `2025-10-01 00:30`; empty text where the zone has no answer. */
export function formatWallMinute(instant: Instant, zone: Zone): string {
  return formatWall(zone.wallAt(instant));
}

/** A wall time to the minute it lies in, `2025-10-01 00:30`; empty text for NaN. */
export function formatWall(wall: WallTime): string {
  const day = Math.floor(wall / DAY);
  const minutes = Math.floor((wall - day * DAY) / MINUTE);
  if (Number.isNaN(minutes)) return '';
  return `${dayText(day)} ${TWO_DIGITS[Math.floor(minutes / 60)]}:${TWO_DIGITS[minutes % 60]}`;
}

/**
 * A length of time in words, `45 s`, `1 h 10 min`, `3 d 4 h`: the two largest units, rounded to the
 * smaller of them. Below a minute to the millisecond. A day is 24 h here.
 *
 * @returns empty text for NaN and infinity
 */
export function formatDuration(duration: Milliseconds): string {
  if (!Number.isFinite(duration)) return '';
  if (duration < 0) return `-${formatDuration(-duration)}`;
  const whole = Math.round(duration);
  if (whole === 0) return '0 s';
  if (whole < SECOND) return `${whole} ms`;
  if (whole < MINUTE) return `${whole / SECOND} s`;
  const step = whole < HOUR ? SECOND : whole < DAY ? MINUTE : HOUR;
  const rounded = Math.round(whole / step) * step;
  const parts = [
    [Math.floor(rounded / DAY), 'd'],
    [Math.floor((rounded % DAY) / HOUR), 'h'],
    [Math.floor((rounded % HOUR) / MINUTE), 'min'],
    [Math.floor((rounded % MINUTE) / SECOND), 's'],
  ] as const;
  return parts
    .filter(([count]) => count > 0)
    .map(([count, unit]) => `${count} ${unit}`)
    .join(' ');
}

/** `2025-10-01` of a day counted from 1970-01-01. Stamps come in order, so the day before last is not kept. */
function dayText(day: number): string {
  if (day !== lastDay) {
    const { year, month, day: dayOfMonth } = civilFromDays(day);
    lastDay = day;
    lastDayText = `${String(year).padStart(4, '0')}-${TWO_DIGITS[month]}-${TWO_DIGITS[dayOfMonth]}`;
  }
  return lastDayText;
}

function cachedOffsetText(offset: Milliseconds): string {
  let text = offsetTexts.get(offset);
  if (text === undefined) {
    text = offsetText(offset);
    offsetTexts.set(offset, text);
  }
  return text;
}
