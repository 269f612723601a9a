import { inferCadence } from '../log/cadence.js';
import { HOUR, type Instant, type Milliseconds, SECOND } from '../units.js';

/** So many beats in a row must be missed to be a silence; fewer are chance (project rule). */
export const MISSED_BEATS = 3;
/** Beats that settle cadence and jitter before any are folded; nothing else is ever stored. */
const PILOT = 500;
/** Where no beat says otherwise: the commonest cadence of heartbeats (common practice, no source). */
const USUAL_CADENCE: Milliseconds = 60 * SECOND;

/** A stretch of beats without a silence in it. */
export interface Run {
  /** Its first and last beat. */
  readonly from: Instant;
  readonly until: Instant;
  readonly beats: number;
  /** Beats that were due from the first to the last. */
  readonly due: number;
  /** Whether the logger started anew just before the first beat, by its own word; null where it does not say. */
  readonly restarted: boolean | null;
  /** Numbers of rows missing in the input between the run before and this one. */
  readonly skipped: number;
}

/** A start of the logger with too few beats missed for a silence. */
export interface QuickRestart {
  /** The last beat before, and the first after. */
  readonly since: Instant;
  readonly at: Instant;
  /** Told by the logger itself, or by the second of the minute at which it beats. */
  readonly sign: 'mark' | 'phase';
}

/** What an hour of the epoch held: beats, and how often some were missed in between. */
export interface HourOfBeats {
  beats: number;
  losses: number;
}

/** The heartbeats of one logger, folded. */
export interface Beats {
  readonly cadence: Milliseconds;
  /** Spread of the time between beats to either side, without losses: what a phase can be told by. */
  readonly jitter: Milliseconds;
  /** In order of time, a silence between any two. */
  readonly runs: readonly Run[];
  readonly restarts: readonly QuickRestart[];
  /** By hours since 1970. */
  readonly hours: ReadonlyMap<number, HourOfBeats>;
}

interface OpenRun {
  from: Instant;
  until: Instant;
  beats: number;
  due: number;
  restarted: boolean | null;
  skipped: number;
}

/** A beat at another second of the minute than expected, until the next ones show whether it stays so. */
interface Shift {
  readonly since: Instant;
  readonly at: Instant;
  confirmed: number;
}
/** Beats that must keep to a new phase. */
const CONFIRMED = 3;

export interface BeatFolder {
  take(time: Instant, restarted: boolean | null, skipped?: number): void;
  /** Null without a beat. */
  result(): Beats | null;
}

/**
 * Folds heartbeats into stretches as they pass.
 *
 * Beats may come in order of time, in reverse order, or in blocks; overlapping blocks count once.
 *
 * @param declared time between beats where it is known, else found from the first 500
 */
export function beatFolder(declared: Milliseconds | null): BeatFolder {
  const pilotTimes: Instant[] = [];
  const pilotSigns: (boolean | null)[] = [];
  const pilotSkips: number[] = [];
  let folding: Folding | null = null;

  function begin(): Folding {
    const sorted = Float64Array.from(pilotTimes).sort();
    const cadence = declared ?? inferCadence(sorted) ?? USUAL_CADENCE;
    folding = foldingAt(cadence, jitterOf(sorted, cadence));
    for (let i = 0; i < pilotTimes.length; i++) fold(folding, pilotTimes[i]!, pilotSigns[i]!, pilotSkips[i]!);
    return folding;
  }

  return {
    take(time, restarted, skipped = 0) {
      if (folding !== null) {
        fold(folding, time, restarted, skipped);
        return;
      }
      pilotTimes.push(time);
      pilotSigns.push(restarted);
      pilotSkips.push(skipped);
      if (pilotTimes.length === PILOT) begin();
    },
    result: () => (pilotTimes.length === 0 ? null : folded(folding ?? begin())),
  };
}

/** Median distance of single steps from the cadence. */
function jitterOf(sorted: Float64Array, cadence: Milliseconds): Milliseconds {
  const off: number[] = [];
  for (let i = 1; i < sorted.length; i++) {
    const distance = Math.abs(sorted[i]! - sorted[i - 1]! - cadence);
    if (distance < cadence / 2) off.push(distance);
  }
  off.sort((a, b) => a - b);
  return off[off.length >> 1] ?? 0;
}

/** Steps differ by no more than this from a whole number of cadences while the logger runs on. */
export function phaseTolerance(cadence: Milliseconds, jitter: Milliseconds): Milliseconds {
  // stamps of whole seconds differ by up to one at either end
  const needed = Math.max(2.5 * SECOND, 6 * jitter);
  // beyond a quarter of the cadence too many restarts would fall into it by chance
  return needed > cadence / 4 ? Infinity : needed;
}

/** What is known of a logger's beats so far; `fold` adds one. */
interface Folding {
  readonly cadence: Milliseconds;
  readonly jitter: Milliseconds;
  /** Steps of this length or longer are silences. */
  readonly limit: Milliseconds;
  readonly tolerance: Milliseconds;
  readonly runs: OpenRun[];
  readonly restarts: QuickRestart[];
  readonly hours: Map<number, HourOfBeats>;
  run: OpenRun | null;
  shift: Shift | null;
  hour: HourOfBeats;
  hourNumber: number;
}

function foldingAt(cadence: Milliseconds, jitter: Milliseconds): Folding {
  return {
    cadence,
    jitter,
    limit: (MISSED_BEATS + 0.5) * cadence,
    tolerance: phaseTolerance(cadence, jitter),
    runs: [],
    restarts: [],
    hours: new Map(),
    run: null,
    shift: null,
    hour: { beats: 0, losses: 0 },
    hourNumber: -Infinity,
  };
}

function fold(folding: Folding, time: Instant, restarted: boolean | null, skipped: number): void {
  const { run } = folding;
  if (run === null) {
    open(folding, time, restarted, skipped);
    return;
  }
  const step = time - run.until;
  // nearly every beat is the next one
  if (!(step > 0 && step < folding.limit)) {
    foldAside(folding, run, time, restarted, skipped);
    return;
  }
  goOn(folding, run, time, step);
  if (restarted === true) restart(folding, run.until, time);
  else if (restarted === null) watchPhase(folding, time, step);
  run.until = time;
}

/** A beat that lies before others, among them, or behind a silence. */
function foldAside(
  folding: Folding,
  run: OpenRun,
  time: Instant,
  restarted: boolean | null,
  skipped: number,
): void {
  if (time >= run.from && time <= run.until) return;
  const ahead = time > run.until;
  const step = ahead ? time - run.until : run.from - time;
  if (step >= folding.limit) {
    // both tell of what lies before the later of the two
    if (!ahead) [run.restarted, run.skipped] = [restarted, skipped];
    open(folding, time, ahead ? restarted : null, ahead ? skipped : 0);
    return;
  }
  goOn(folding, run, time, step);
  if (restarted === true) restart(folding, time, run.from);
  run.from = time;
}

/** Counts a beat at a step from the run that it belongs to. */
function goOn(folding: Folding, run: OpenRun, time: Instant, step: Milliseconds): void {
  const due = Math.max(1, Math.round(step / folding.cadence));
  count(folding, time, due > 1);
  run.beats++;
  run.due += due;
}

function restart(folding: Folding, since: Instant, at: Instant): void {
  folding.restarts.push({ since, at, sign: 'mark' });
  folding.shift = null;
}

function open(folding: Folding, time: Instant, restarted: boolean | null, skipped: number): void {
  folding.run = { from: time, until: time, beats: 1, due: 1, restarted, skipped };
  folding.runs.push(folding.run);
  folding.shift = null;
  count(folding, time, true);
}

function count(folding: Folding, time: Instant, lost: boolean): void {
  const number = Math.floor(time / HOUR);
  if (number !== folding.hourNumber) turnTo(folding, number);
  folding.hour.beats++;
  if (lost) folding.hour.losses++;
}

function turnTo(folding: Folding, number: number): void {
  const hour = folding.hours.get(number) ?? { beats: 0, losses: 0 };
  folding.hours.set(number, hour);
  folding.hour = hour;
  folding.hourNumber = number;
}

/** Whether the beats have moved to another phase for good. */
function watchPhase(folding: Folding, time: Instant, step: Milliseconds): void {
  const { cadence, shift } = folding;
  const strays = Math.abs(step - Math.round(step / cadence) * cadence) > folding.tolerance;
  if (shift === null) {
    if (strays) folding.shift = { since: time - step, at: time, confirmed: 0 };
  } else if (strays) {
    folding.shift = null; // it came back: one late line
  } else if (++shift.confirmed === CONFIRMED) {
    folding.restarts.push({ since: shift.since, at: shift.at, sign: 'phase' });
    folding.shift = null;
  }
}

function folded({ cadence, jitter, limit, runs, restarts, hours }: Folding): Beats {
  return { cadence, jitter, runs: joined(runs, limit, cadence), restarts, hours };
}

/** Runs in order of time; those of overlapping or adjoining blocks of the input become one. */
function joined(runs: readonly OpenRun[], limit: Milliseconds, cadence: Milliseconds): Run[] {
  const all: OpenRun[] = [];
  for (const run of runs.toSorted((a, b) => a.from - b.from)) {
    const last = all.at(-1);
    if (last === undefined || run.from - last.until >= limit) {
      all.push({ ...run });
      continue;
    }
    last.until = Math.max(last.until, run.until);
    last.due = Math.round((last.until - last.from) / cadence) + 1;
    last.beats = Math.min(last.due, last.beats + run.beats);
  }
  return all;
}
