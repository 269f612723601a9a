import type { Period } from '../calendar/period.js';
import type { Instant, Milliseconds } from '../units.js';
import type { Held } from './conditionHeld.js';
import { both, type Intervals, lasting, tallied } from './intervals.js';

/** An unbroken stretch in which the conditions held, as measured, for long enough. */
export interface Spell {
  readonly start: Instant;
  readonly end: Instant;
  /** Time in it of stretches that last long enough for every error within the accuracy [ms]. */
  readonly certain: Milliseconds;
  /** How long the stretch around it is that holds for some error within the accuracy [ms]. */
  readonly possible: Milliseconds;
  /** Unknown time lies before or behind it, so it lasted at least so long. */
  readonly boundedByUnknown: boolean;
}

/** Time in spells within a period. `expected + without + unknown` is its length, to the millisecond. */
export interface SpellTime {
  readonly period: Period;
  /** In stretches that last long enough for every error within the accuracy [ms]. */
  readonly certain: Milliseconds;
  /** In stretches that last long enough as measured [ms]. */
  readonly expected: Milliseconds;
  /** In stretches that last long enough for some error within the accuracy [ms]. */
  readonly possible: Milliseconds;
  /** Known not to be part of a spell, as measured [ms]. */
  readonly without: Milliseconds;
  readonly unknown: Milliseconds;
}

export interface Spells {
  readonly spells: readonly Spell[];
  readonly all: SpellTime;
  /** The days, cut at the ends of the window. A spell over midnight counts in both, for what lies in each. */
  readonly days: readonly SpellTime[];
}

/**
 * The spells of a window. They are cut at its ends and broken by unknown time; those that are then shorter than
 * `least` are left out, in the three readings of certain, expected and possible alike.
 *
 * @param days civil days that cover the window, in order of time
 * @param least [ms], 0 or more
 */
export function spellsOf(held: Held, window: Period, days: readonly Period[], least: Milliseconds): Spells {
  const longEnough = (intervals: Intervals) => lasting(within(intervals, window), least);
  const times: Times = {
    known: within(held.known, window),
    certain: longEnough(held.certain),
    expected: longEnough(held.expected),
    possible: longEnough(held.possible),
  };
  const cutDays = days.map(({ start, end }) => ({
    start: Math.max(start, window.start),
    end: Math.min(end, window.end),
  }));
  return {
    spells: spellsIn(times, held.known),
    all: timeIn([window], times)[0]!,
    days: timeIn(cutDays, times),
  };
}

/** `Held` within the window, but for `known` only what lasts long enough. */
type Times = Held;

function spellsIn({ certain, expected, possible }: Times, knownAtAll: Intervals): Spell[] {
  const spells = periodsOf(expected);
  const certainly = tallied(spells, certain).time;
  const possibly = around(spells, possible);
  const seen = around(spells, knownAtAll);
  return spells.map(({ start, end }, i) => ({
    start,
    end,
    certain: certainly[i]!,
    possible: possibly[i]!.end - possibly[i]!.start,
    boundedByUnknown: seen[i]!.start === start || seen[i]!.end === end,
  }));
}

function timeIn(periods: readonly Period[], times: Times): SpellTime[] {
  const known = tallied(periods, times.known).time;
  const certain = tallied(periods, times.certain).time;
  const expected = tallied(periods, times.expected).time;
  const possible = tallied(periods, times.possible).time;
  return periods.map((period, p) => ({
    period,
    certain: certain[p]!,
    expected: expected[p]!,
    possible: possible[p]!,
    without: known[p]! - expected[p]!,
    unknown: period.end - period.start - known[p]!,
  }));
}

/** The stretch that each of the periods lies in, in order as they are. */
function around(periods: readonly Period[], intervals: Intervals): Period[] {
  let next = 0;
  return periods.map(({ end }) => {
    while (intervals[next + 1]! < end) next += 2;
    return { start: intervals[next]!, end: intervals[next + 1]! };
  });
}

function within(intervals: Intervals, { start, end }: Period): Intervals {
  return both(intervals, [start, end]);
}

function periodsOf(intervals: Intervals): Period[] {
  return Array.from({ length: intervals.length / 2 }, (_, i) => ({
    start: intervals[2 * i]!,
    end: intervals[2 * i + 1]!,
  }));
}
