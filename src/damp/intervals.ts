import type { Period } from '../calendar/period.js';
import { add, close, type Tally, tally } from '../period/stretches.js';
import type { Instant, Milliseconds } from '../units.js';

/** Stretches of time in order, none touching the next: starts and ends in turn [ms since 1970 UTC]. */
export type Intervals = readonly Instant[];

/** None yet. What is appended are doubles: machine code for an array that is to hold them fits it from the start. */
export function noIntervals(): Instant[] {
  const none = [Number.NaN];
  none.pop();
  return none;
}

/** Adds [from, until), which starts no earlier than the last stretch; what touches becomes one, empty is nothing. */
export function append(intervals: Instant[], from: Instant, until: Instant): void {
  if (!(until > from)) return;
  const last = intervals.length - 1;
  if (last > 0 && from <= intervals[last]!) intervals[last] = Math.max(intervals[last]!, until);
  else intervals.push(from, until);
}

/** The time that lies in one and in the other. */
export function both(one: Intervals, other: Intervals): Intervals {
  const shared = noIntervals();
  let i = 0;
  let j = 0;
  while (i < one.length && j < other.length) {
    append(shared, Math.max(one[i]!, other[j]!), Math.min(one[i + 1]!, other[j + 1]!));
    if (one[i + 1]! <= other[j + 1]!) i += 2;
    else j += 2;
  }
  return shared;
}

/** The time that lies in one or the other. */
export function either(one: Intervals, other: Intervals): Intervals {
  const joined = noIntervals();
  let i = 0;
  let j = 0;
  while (i < one.length || j < other.length) {
    if (j >= other.length || one[i]! <= other[j]!) {
      append(joined, one[i]!, one[i + 1]!);
      i += 2;
    } else {
      append(joined, other[j]!, other[j + 1]!);
      j += 2;
    }
  }
  return joined;
}

/** The stretches that last so long or longer. */
export function lasting(intervals: Intervals, least: Milliseconds): Intervals {
  return intervals.filter((_, bound) => {
    const start = bound - (bound % 2);
    return intervals[start + 1]! - intervals[start]! >= least;
  });
}

/**
 * How much of each period lies in the stretches.
 *
 * @param periods in order of time, none overlapping another
 */
export function tallied(periods: readonly Period[], intervals: Intervals): Tally {
  const account = tally(periods);
  for (let i = 0; i < intervals.length; i += 2) add(account, intervals[i]!, intervals[i + 1]!);
  close(account);
  return account;
}
