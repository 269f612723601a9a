import type { Period } from '../calendar/period.js';
import type { Instant } from '../units.js';

/**
 * Running account, per period, of stretches of time that arrive in order. Stretches that touch are one.
 * Made by `tally`, fed by `add`, valid after `close`.
 */
export interface Tally {
  readonly periods: readonly Period[];
  /** Time of all stretches inside the period [ms]. */
  readonly time: Float64Array;
  /** How many stretches have time in the period. */
  readonly count: Uint32Array;
  /** The longest of them, cut at the period's ends [ms]. */
  readonly longest: Float64Array;
  /** The stretch that may still grow; NaN before the first. */
  from: Instant;
  until: Instant;
  /** The first period that may still gain time. */
  next: number;
}

/** @param periods in order of time, none overlapping another */
export function tally(periods: readonly Period[]): Tally {
  return {
    periods,
    time: new Float64Array(periods.length),
    count: new Uint32Array(periods.length),
    longest: new Float64Array(periods.length),
    from: Number.NaN,
    until: Number.NaN,
    next: 0,
  };
}

/** Adds the stretch [from, until), which starts no earlier than the ones before it; an empty one is nothing. */
export function add(account: Tally, from: Instant, until: Instant): void {
  if (!(until > from)) return;
  if (from <= account.until) {
    account.until = Math.max(account.until, until);
    return;
  }
  close(account);
  account.from = from;
  account.until = until;
}

/** Books the last stretch. */
export function close(account: Tally): void {
  const { periods, from, until } = account;
  while (account.next < periods.length && periods[account.next]!.end <= from) account.next++;
  for (let p = account.next; p < periods.length && periods[p]!.start < until; p++) {
    const time = Math.min(periods[p]!.end, until) - Math.max(periods[p]!.start, from);
    account.time[p]! += time;
    account.count[p]!++;
    account.longest[p] = Math.max(account.longest[p]!, time);
  }
}
