import { DAY, type Instant, type Milliseconds } from '../units.js';
import type { ByteText } from './encoding.js';
import type { Series } from './series.js';
import { FIRST_YEAR, LAST_YEAR } from './stamp.js';

/**
 * Where clocks begin that were never set, of those within the years that are read at all: common zeros of clock
 * chips and of the counts of network time and of 32 bit seconds (1970, 1980, 1900 and 2106 lie outside; all from
 * memory).
 */
const ZEROS: readonly Instant[] = [
  Date.UTC(2000, 0, 1),
  Date.UTC(2036, 1, 7, 6, 28, 16),
  Date.UTC(2038, 0, 19, 3, 14, 8),
];
/** A stamp in local time may lie in front of the zero. */
const BEFORE_ZERO: Milliseconds = DAY;
/** A logger does not run longer without its clock being set, or somebody would have seen it (project rule). */
const AFTER_ZERO: Milliseconds = 30 * DAY;
/** A step of this size within a file is a fault of the clock, or a pause of the whole log (project rule). */
const FAR: Milliseconds = 365 * DAY;
/** A stretch far outside the others is a slip of the clock only where it is as small a share of all lines. */
const SMALL = 0.05;
/** No more lines are kept verbatim than this, so a log with a long pause in it costs no memory. */
const MOST_HELD = 10_000;

export const UNSET_METHOD =
  `Stamps before ${FIRST_YEAR} or after ${LAST_YEAR}; stamps of up to ${AFTER_ZERO / DAY} days after a common zero of ` +
  `clocks (in ${ZEROS.map((zero) => new Date(zero).getUTCFullYear()).join(', ')}) that lie more than ` +
  `${FAR / DAY} days from the lines around them; and stamps as far outside all others, on up to ${100 * SMALL} % of ` +
  'the lines of a file, with others on both sides.';

/** Lines of one logger that may have to be rejected when the whole input is known. */
export interface HeldLines {
  /** As they stand in the input, by number. */
  readonly raw: Map<number, ByteText>;
  /** Time of the last line from which the clock did not step far away, NaN before the first. */
  steady: Instant;
}

/** Whether the line of this time may turn out to be one of an unset clock. */
export function isSuspect(held: HeldLines, time: Instant): boolean {
  if (isNearZero(time)) return held.raw.size < MOST_HELD;
  if (Math.abs(time - held.steady) > FAR) return held.raw.size < MOST_HELD;
  held.steady = time;
  return false;
}

/** Times between the first zero and the second, which nearly all readings have. */
const CALM_FROM: Instant = ZEROS[0]! + AFTER_ZERO;
const CALM_UNTIL: Instant = ZEROS[1]! - BEFORE_ZERO;

/** Whether this line is surely none of those; false, with nothing changed, leaves the question to `isSuspect`. */
export function goesOn(held: HeldLines, time: Instant): boolean {
  if (!(time >= CALM_FROM && time < CALM_UNTIL)) return false;
  if (!(Math.abs(time - held.steady) <= FAR)) return held.raw.size >= MOST_HELD;
  held.steady = time;
  return true;
}

/** How many of these lines, from the first on, are surely none of those. */
export function goOn(held: HeldLines, times: Float64Array, count: number): number {
  let line = 0;
  while (line < count && goesOn(held, times[line]!)) line++;
  return line;
}

function isNearZero(time: Instant): boolean {
  for (const zero of ZEROS) if (time >= zero - BEFORE_ZERO && time < zero + AFTER_ZERO) return true;
  return false;
}

/** Rows [from, to) of a series with no far step among them. */
export interface Group {
  readonly from: number;
  readonly to: number;
  readonly earliest: Instant;
  readonly latest: Instant;
}

/**
 * The groups of rows that were stamped by a clock that was not set, in order of input.
 *
 * @param series in order of input
 */
export function unsetGroups(series: Series): Group[] {
  const groups = groupsOf(series);
  if (groups.length < 2) return [];
  const unset = new Set(groups.filter((group) => isUptime(group) && 2 * size(group) < series.length));
  const others = groups.filter((group) => !unset.has(group));
  const body = others.filter((group) => size(group) > SMALL * series.length);
  const earliest = body.reduce((least, group) => Math.min(least, group.earliest), Infinity);
  const latest = body.reduce((most, group) => Math.max(most, group.latest), -Infinity);
  const last = groups.length - 1;
  return groups.filter((group, i) => {
    if (unset.has(group)) return true;
    if (body.length === 0 || body.includes(group) || i === 0 || i === last) return false;
    return group.latest < earliest - FAR || group.earliest > latest + FAR;
  });
}

function size({ from, to }: Group): number {
  return to - from;
}

function isUptime({ earliest, latest }: Group): boolean {
  return ZEROS.some((zero) => earliest >= zero - BEFORE_ZERO && latest < zero + AFTER_ZERO);
}

function groupsOf({ time, length }: Series): Group[] {
  const groups: Group[] = [];
  for (let from = 0; from < length; ) {
    let earliest = time[from]!;
    let latest = earliest;
    let to = from + 1;
    for (; to < length && Math.abs(time[to]! - time[to - 1]!) <= FAR; to++) {
      if (time[to]! < earliest) earliest = time[to]!;
      if (time[to]! > latest) latest = time[to]!;
    }
    groups.push({ from, to, earliest, latest });
    from = to;
  }
  return groups;
}
