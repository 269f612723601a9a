import { InputError } from '../errors.js';
import type { Instant } from '../units.js';
import { minusDuration, parseDuration } from './duration.js';
import { parseMoment } from './moment.js';
import { type Period, periodsCovering } from './period.js';
import { formatDate } from './print.js';
import type { Zone } from './zone.js';

/** The time that is looked at, `from` included, `until` not; null where it is open. */
export interface Window {
  readonly from: Instant | null;
  readonly until: Instant | null;
}

/** The options that set a window, as they were written. */
export interface WindowOptions {
  readonly since?: string | undefined;
  readonly until?: string | undefined;
  readonly last?: string | undefined;
  readonly day?: string | undefined;
}

/**
 * The window that `--since`, `--until`, `--last` and `--day` ask for; open on both sides without them.
 *
 * `--day` is the civil day in the zone, of 23, 24 or 25 h where the clocks are changed: a date, `today`
 * or `yesterday`, the day that ended when today began. `--last` ends now. A date for `--until` means
 * the start of that day, which is then not in the window.
 *
 * @param now the present; asked only for `--last`, `today` and `yesterday`
 * @throws InputError for what cannot be read, for options that contradict each other, for an empty window
 */
export function windowFrom(options: WindowOptions, zone: Zone, now: () => Instant): Window {
  const { since, until, last, day } = options;
  if (day !== undefined) {
    refuse('--day', { '--last': last, '--since': since, '--until': until });
    const { start, end } = civilDay(day, zone, now);
    return { from: start, until: end };
  }
  if (last !== undefined) {
    refuse('--last', { '--since': since, '--until': until });
    return lastWindow(last, zone, now());
  }
  const from = since === undefined ? null : parseMoment(since, zone);
  const end = until === undefined ? null : parseMoment(until, zone);
  if (from !== null && end !== null && end <= from) {
    throw new InputError(
      '--until is not later than --since, so nothing lies between',
      { text: `${since} to ${until}` },
      '--until is not itself in the window; for a whole day use --day DATE',
    );
  }
  return { from, until: end };
}

function refuse(option: string, others: Readonly<Record<string, string | undefined>>): void {
  for (const [other, value] of Object.entries(others)) {
    if (value === undefined) continue;
    throw new InputError(`${option} cannot be used together with ${other}`, {}, 'give only one of them');
  }
}

function lastWindow(text: string, zone: Zone, now: Instant): Window {
  const from = minusDuration(now, parseDuration(text), zone);
  if (Number.isNaN(from)) throw new InputError('--last reaches too far back', { text }, 'use --since DATE');
  if (from >= now) throw new InputError('--last has no length', { text }, 'write P1D for a day');
  return { from, until: now };
}

function civilDay(text: string, zone: Zone, now: () => Instant): Period {
  if (text === 'today') return dayOf(now(), zone);
  if (text === 'yesterday') return dayOf(dayOf(now(), zone).start - 1, zone);
  if (!/^\d{4}-\d\d-\d\d$/.test(text)) {
    throw new InputError('--day takes a date', { text }, 'write 2025-10-01, today or yesterday');
  }
  const day = dayOf(parseMoment(text, zone), zone);
  if (formatDate(day.start, zone) !== text) {
    throw new InputError(`the clocks of ${zone.name} skipped this day`, { text });
  }
  return day;
}

function dayOf(instant: Instant, zone: Zone): Period {
  return periodsCovering('day', instant, instant, zone)[0]!;
}
