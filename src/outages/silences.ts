import { HOUR, type Instant, type Milliseconds } from '../units.js';
import type { Arrivals } from './arrivals.js';
import { type Beats, MISSED_BEATS, type Run } from './beats.js';

/** The time that is looked at, half-open. */
export interface Watch {
  readonly from: Instant;
  readonly until: Instant;
  /** Whether it was asked for; else it goes from the first to the last sign of any logger. */
  readonly isAsked: boolean;
}

/** A time without beats. */
export interface Silence {
  /** Last beat before and first beat after; at an end of the watch without one, that end. */
  readonly from: Instant;
  readonly until: Instant;
  readonly missed: number;
  readonly before: Run | null;
  readonly after: Run | null;
}

/** The silences of the beats that lie in the watch, wholly or in part. */
export function beatSilences({ runs, cadence }: Beats, watch: Watch): Silence[] {
  const found: Silence[] = [];
  const take = (from: Instant, until: Instant, before: Run | null, after: Run | null) => {
    // at an open end no beat stands opposite
    const missed = Math.round((until - from) / cadence) - (before !== null && after !== null ? 1 : 0);
    const within = Math.min(until, watch.until) - Math.max(from, watch.from);
    if (missed >= MISSED_BEATS && within >= MISSED_BEATS * cadence) {
      found.push({ from, until, missed, before, after });
    }
  };
  const first = runs[0]!;
  const last = runs.at(-1)!;
  take(watch.from, first.from, null, first);
  for (let i = 1; i < runs.length; i++) take(runs[i - 1]!.until, runs[i]!.from, runs[i - 1]!, runs[i]!);
  take(last.until, watch.until, last, null);
  return found;
}

/** A reading that was due and did not come. */
export interface Due {
  readonly at: Instant;
  /** The row before it; -1 before the first. Those of one hole follow each other. */
  readonly row: number;
  readonly step: Milliseconds;
  /** Whether a line came in its place that cannot be read: lost, but no outage. */
  readonly torn: boolean;
}

/** Two neighbouring rows from so many cadences apart on have missed readings between them. */
const OPENS = 1.5;
/** A torn line may have had another written on behind it. */
const READINGS_A_LINE = 2;

/** The readings that were due in the watch and are not there. */
export function missedReadings({ time, cadence, torn, before, after }: Arrivals, watch: Watch): Due[] {
  if (cadence === null) return [];
  const dues: Due[] = [];
  const fill = (from: Instant, missed: number, step: Milliseconds, row: number, isTorn = false) => {
    for (let i = 1; i <= missed; i++) dues.push({ at: from + i * step, row, step, torn: isTorn });
  };
  const hole = (from: Instant, until: Instant, row: number) => {
    if (until - from < OPENS * cadence) return;
    const missed = Math.max(1, Math.round((until - from) / cadence) - 1);
    const isTorn = row >= 0 && missed <= READINGS_A_LINE * (torn[row] ?? 0);
    fill(from, missed, (until - from) / (missed + 1), row, isTorn);
  };
  const n = time.length;
  if (n === 0) {
    fill(watch.from - cadence, Math.round((watch.until - watch.from) / cadence), cadence, -1);
    return dues;
  }
  const first = time[0]!;
  const last = time[n - 1]!;
  if (before !== null) hole(before, first, -1);
  else {
    const missed = Math.round((first - watch.from) / cadence);
    if (missed > 0) fill(first - (missed + 1) * cadence, missed, cadence, -1);
  }
  for (let row = 1; row < n; row++) hole(time[row - 1]!, time[row]!, row - 1);
  if (after !== null) hole(last, after, n - 1);
  else fill(last, Math.ceil((watch.until - last) / cadence) - 1, cadence, n - 1);
  return dues.filter(({ at }) => at >= watch.from && at < watch.until);
}

/** Hours in which the radio lost beats one by one. */
export interface WeakStretch {
  readonly from: Instant;
  readonly until: Instant;
  readonly beats: number;
  readonly due: number;
  /** Beats in the worst of its hours, and those due in an hour. */
  readonly fewest: number;
  readonly dueAnHour: number;
}

/** An hour in which from a fifth to four fifths of the beats came is neither up nor down (project rule). */
const SOME = 0.2;
const MOST = 0.8;
/** A single long silence takes as many beats from an hour as a weak radio does, but in one piece. */
const LOSSES_AN_HOUR = 5;

/** Hours in a row of beats lost here and there. */
export function weakStretches({ hours, cadence }: Beats): WeakStretch[] {
  const due = HOUR / cadence;
  const weak = [...hours]
    .filter(([, { beats, losses }]) => losses >= LOSSES_AN_HOUR && beats >= SOME * due && beats < MOST * due)
    .sort(([a], [b]) => a - b);
  const stretches: { -readonly [Key in keyof WeakStretch]: WeakStretch[Key] }[] = [];
  for (const [hour, { beats }] of weak) {
    const last = stretches.at(-1);
    if (last !== undefined && last.until === hour * HOUR) {
      last.until += HOUR;
      last.beats += beats;
      last.due += due;
      last.fewest = Math.min(last.fewest, beats);
    } else {
      const [from, until] = [hour * HOUR, (hour + 1) * HOUR];
      stretches.push({ from, until, beats, due, fewest: beats, dueAnHour: due });
    }
  }
  return stretches;
}
