import { gapsOf } from '../audit/gap.js';
import type { CleanLog } from '../log/log.js';
import { type Pace, pacesOf } from '../log/pace.js';
import { alongJoined } from '../period/joined.js';
import type { Instant, Milliseconds } from '../units.js';

/** How complete a log is between two instants. */
export interface LogCoverage {
  /** First and end of what is looked at: the window, else first and last reading; null for an empty log. */
  readonly from: Instant | null;
  readonly until: Instant | null;
  /** Readings due at the cadence, and those of them that came; null where there is no cadence to go by. */
  readonly expected: number | null;
  readonly observed: number | null;
  /** observed / expected, 0 for a log without readings. */
  readonly fraction: number | null;
  /** Time that no pair of neighbouring good readings of both quantities covers [ms]. */
  readonly unknown: Milliseconds | null;
}

/** Spans are half-open: one that ends with the last reading of a log ends so long after it. */
export const AFTER_LAST: Milliseconds = 1;

/**
 * @param log cleaned, in the window
 * @param course the same with the readings just outside the window
 * @param from start of the window, null where the log itself begins
 * @param limit end of the window, exclusive; null, or `AFTER_LAST`, where the log itself ends
 */
export function logCoverage(
  log: CleanLog,
  course: CleanLog,
  cadence: Milliseconds | null,
  bridge: Milliseconds,
  from: Instant | null,
  limit: Instant | null,
): LogCoverage {
  const last = log.length > 0 ? log.time[log.length - 1]! : null;
  const until = last !== null && limit === last + AFTER_LAST ? null : limit;
  const start = from ?? (log.length > 0 ? log.time[0]! : null);
  const end = until ?? last;
  if (start === null || end === null) {
    return { from: start, until: end, expected: null, observed: null, fraction: 0, unknown: null };
  }
  const { covered } = alongJoined(course.time, course.temperature, course.humidity, [{ start, end }], bridge);
  const unknown = Math.max(0, end - start - covered[0]!);
  if (cadence === null) {
    return {
      from: start,
      until: end,
      expected: null,
      observed: null,
      fraction: log.length > 0 ? null : 0,
      unknown,
    };
  }
  // a window is half-open; where the log itself ends, its last reading is one of those due
  const paces = pacesOf(log.time, cadence);
  const expected = Math.max(1, Math.round(slots(log, paces, start, end)) + (until === null ? 1 : 0));
  const missed = gapsOf(log.time, cadence, from, until).reduce((sum, gap) => sum + gap.missed, 0);
  const observed = Math.max(0, expected - missed);
  return { from: start, until: end, expected, observed, fraction: observed / expected, unknown };
}

/** Readings due between two instants: those of each stretch of the log at its own cadence. */
function slots({ time }: CleanLog, paces: readonly Pace[], start: Instant, end: Instant): number {
  return paces.reduce((sum, { first, cadence }, i) => {
    const from = i === 0 ? start : time[first]!;
    const next = paces[i + 1];
    const until = next === undefined ? end : time[next.first]!;
    return sum + (until - from) / cadence;
  }, 0);
}

/** First and end of the time to be told about: the window, else from the first reading to the last. */
export function spanOf(
  log: CleanLog,
  window: { readonly from: Instant | null; readonly until: Instant | null },
): { readonly from: Instant; readonly until: Instant } | null {
  const from = window.from ?? (log.length > 0 ? log.time[0]! : null);
  // the last reading itself belongs to the log
  const until = window.until ?? (log.length > 0 ? log.time[log.length - 1]! + AFTER_LAST : null);
  return from === null || until === null || until <= from ? null : { from, until };
}
