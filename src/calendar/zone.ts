import { InputError } from '../errors.js';
import { DAY, HOUR, type Instant, MINUTE, type Milliseconds, type WallTime } from '../units.js';
import { civilFromDays, daysFromCivil, FIRST_YEAR, LAST_YEAR } from './civil.js';
import { nearest } from './nearest.js';
import { platformSpelling, type Stretch, stretchesOf } from './transitions.js';

/** Wall times that no clock showed because it was put forward. */
export interface Skip {
  /** When it was put forward. */
  readonly at: Instant;
  /** The first wall time skipped. */
  readonly from: WallTime;
  /** The wall time shown at `at`. */
  readonly until: WallTime;
}

/**
 * What the clocks of a place show. Instants and wall times must lie in the years 1583 to 9999;
 * the answer is NaN (or null) for others and for NaN.
 */
export interface Zone {
  /** `Europe/London`, `UTC` or `+01:00`. */
  readonly name: string;
  /** What the clocks show minus UTC, positive to the east. */
  offsetAt(instant: Instant): Milliseconds;
  wallAt(instant: Instant): WallTime;
  /** The earliest instant at which the clocks show `wall`; NaN if they skip it. */
  firstInstant(wall: WallTime): Instant;
  /** The latest such instant: another one only where the clocks were put back over `wall`. */
  lastInstant(wall: WallTime): Instant;
  /** The jump over `wall`; null where the clocks do show it. */
  skippedAt(wall: WallTime): Skip | null;
  /** The first instant after `from`, up to and with `until`, at which the offset changes; null if it does not. */
  changeBetween(from: Instant, until: Instant): Instant | null;
}

/** The first instant at which the clocks show `wall`, or, where they skip it, the instant of the jump. */
export function instantFrom(wall: WallTime, zone: Zone): Instant {
  const shown = zone.firstInstant(wall);
  return Number.isNaN(shown) ? (zone.skippedAt(wall)?.at ?? NaN) : shown;
}

/** The instants that zones answer for. */
const FIRST_INSTANT: Instant = daysFromCivil(FIRST_YEAR, 1, 1) * DAY;
const END_INSTANT: Instant = daysFromCivil(LAST_YEAR + 1, 1, 1) * DAY;

export const UTC: Zone = fixedZone('UTC', 0);

/** Other names of UTC in the IANA data, for which platforms differ in what they make of them. */
const UTC_NAMES = /^(z|(etc\/)?(utc|uct|zulu|universal))$/i;

const zones = new Map<string, Zone>();

/**
 * The zone of a name.
 *
 * @param name an IANA name in any case, `UTC`, `Z`, or an offset such as `+01:00`, `-0330`, `+1`. A name
 *   that the platform knows by another spelling (`Europe/Kyiv`) is kept as it was written.
 * @throws InputError for any other name
 */
export function zoneNamed(name: string): Zone {
  const offset = parseOffset(name);
  if (UTC_NAMES.test(name) || offset === 0) return UTC;
  if (!Number.isNaN(offset)) return fixedZone(offsetText(offset), offset);
  const resolved = resolve(name);
  if (resolved === null) throw unknownZone(name);
  const spelt = resolved.toLowerCase() === name.toLowerCase() ? resolved : name;
  let zone = zones.get(spelt);
  if (zone === undefined) {
    zone = tabledZone(spelt, stretchesOf(spelt));
    zones.set(spelt, zone);
  }
  return zone;
}

/** The zone that the system is set to; UTC where it is set to none, or to one that is not known. */
export function systemZone(): Zone {
  const name: string | undefined = new Intl.DateTimeFormat().resolvedOptions().timeZone;
  return name === undefined || resolve(name) === null || name === 'Etc/Unknown' ? UTC : zoneNamed(name);
}

/**
 * An offset from UTC as it is written after a time.
 *
 * @param text `+01:00`, `-0330`, `+1`; up to 23:59 (RFC 3339)
 * @returns NaN for anything else
 */
export function parseOffset(text: string): Milliseconds {
  const found = /^([+-])(\d{1,2})(?::?([0-5]\d))?$/.exec(text);
  if (found === null) return NaN;
  const [, sign, hours, minutes = '0'] = found;
  if (Number(hours) > 23) return NaN;
  const size = Number(hours) * HOUR + Number(minutes) * MINUTE;
  return sign === '-' ? 0 - size : size; // a plain minus would make -0 of -00:00
}

/** An offset as RFC 3339 writes it, `+01:00`, to the nearest minute. */
export function offsetText(offset: Milliseconds): string {
  const minutes = Math.round(Math.abs(offset) / MINUTE);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${offset < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

/** The platform's name for a zone, null where it knows none. */
function resolve(name: string): string | null {
  const listed = platformSpelling(name);
  if (listed !== undefined) return listed;
  try {
    return new Intl.DateTimeFormat('en-US', { timeZone: name }).resolvedOptions().timeZone;
  } catch {
    return null;
  }
}

function unknownZone(name: string): InputError {
  const near = nearest(name, [...Intl.supportedValuesOf('timeZone'), 'UTC']);
  const advice =
    near.length > 0
      ? `did you mean ${near.join(' or ')}?`
      : 'write an IANA name such as Europe/London, or UTC, or an offset such as +01:00';
  return new InputError('there is no time zone of this name', { text: name }, advice);
}

function isAnswered(instant: Instant): boolean {
  return instant >= FIRST_INSTANT && instant < END_INSTANT;
}

function fixedZone(name: string, offset: Milliseconds): Zone {
  const offsetAt = (instant: Instant) => (isAnswered(instant) ? offset : NaN);
  const instantOf = (wall: WallTime) => wall - offsetAt(wall - offset);
  return {
    name,
    offsetAt,
    wallAt: (instant) => (instant + offsetAt(instant)) as WallTime,
    firstInstant: instantOf,
    lastInstant: instantOf,
    skippedAt: () => null,
    changeBetween: () => null,
  };
}

/**
 * A zone by its table of stretches, made year by year as they are asked for. The stretch used last is
 * remembered, so that questions in order of time cost two comparisons and an addition.
 */
function tabledZone(name: string, stretchesIn: (year: number) => readonly Stretch[]): Zone {
  const years = new Map<number, readonly Stretch[]>();
  let last: Stretch = { from: NaN, until: NaN, offset: NaN };

  function stretchAt(instant: Instant): Stretch | undefined {
    if (instant >= last.from && instant < last.until) return last;
    if (!isAnswered(instant)) return undefined;
    const { year } = civilFromDays(Math.floor(instant / DAY));
    let stretches = years.get(year);
    if (stretches === undefined) {
      stretches = stretchesIn(year);
      years.set(year, stretches);
    }
    const found = stretches.find((stretch) => instant < stretch.until);
    if (found !== undefined) last = found;
    return found;
  }

  /** All stretches that touch [from, until]. */
  function stretchesBetween(from: Instant, until: Instant): Stretch[] {
    const found: Stretch[] = [];
    for (let at = from; at <= until; ) {
      const stretch = stretchAt(at);
      if (stretch === undefined) break;
      found.push(stretch);
      at = stretch.until;
    }
    return found;
  }

  // No offset reaches 24 h: whoever shows a wall time does so within a day of it, read as UTC.
  const around = (wall: WallTime) => stretchesBetween(wall - DAY, wall + DAY);
  /** Whether the stretch used last is the only one that can show `wall`. */
  const isPlain = (wall: WallTime) => wall - DAY >= last.from && wall + DAY < last.until;
  const shows = (wall: WallTime) => (stretch: Stretch) =>
    wall - stretch.offset >= stretch.from && wall - stretch.offset < stretch.until;

  function offsetAt(instant: Instant): Milliseconds {
    if (instant >= last.from && instant < last.until) return last.offset;
    return stretchAt(instant)?.offset ?? NaN;
  }

  return {
    name,
    offsetAt,
    wallAt: (instant) => (instant + offsetAt(instant)) as WallTime,
    firstInstant(wall) {
      if (isPlain(wall)) return wall - last.offset;
      return wall - (around(wall).find(shows(wall))?.offset ?? NaN);
    },
    lastInstant(wall) {
      if (isPlain(wall)) return wall - last.offset;
      return wall - (around(wall).findLast(shows(wall))?.offset ?? NaN);
    },
    skippedAt(wall) {
      const stretches = around(wall);
      for (let i = 1; i < stretches.length; i++) {
        const before = stretches[i - 1]!;
        const after = stretches[i]!;
        const from = (before.until + before.offset) as WallTime;
        const until = (after.from + after.offset) as WallTime;
        if (wall >= from && wall < until) return { at: after.from, from, until };
      }
      return null;
    },
    changeBetween(from, until) {
      const [first, ...later] = stretchesBetween(from, until);
      return later.find((stretch) => stretch.offset !== first?.offset)?.from ?? null;
    },
  };
}
