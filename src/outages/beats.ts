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
  let folding: ReturnType<typeof foldAt> | null = null;

  function begin(): ReturnType<typeof foldAt> {
    const sorted = Float64Array.from(pilotTimes).sort();
    const cadence = declared ?? inferCadence(sorted) ?? USUAL_CADENCE;
    folding = foldAt(cadence, jitterOf(sorted, cadence));
    for (let i = 0; i < pilotTimes.length; i++) folding.take(pilotTimes[i]!, pilotSigns[i]!, pilotSkips[i]!);
    return folding;
  }

  return {
    take(time, restarted, skipped = 0) {
      if (folding !== null) {
        folding.take(time, restarted, skipped);
        return;
      }
      pilotTimes.push(time);
      pilotSigns.push(restarted);
      pilotSkips.push(skipped);
      if (pilotTimes.length === PILOT) begin();
    },
    result: () => (pilotTimes.length === 0 ? null : (folding ?? begin()).result()),
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

function foldAt(cadence: Milliseconds, jitter: Milliseconds) {
  const limit = (MISSED_BEATS + 0.5) * cadence;
  const tolerance = phaseTolerance(cadence, jitter);
  const closed: OpenRun[] = [];
  const restarts: QuickRestart[] = [];
  const hours = new Map<number, HourOfBeats>();
  let run: OpenRun | null = null;
  let shift: Shift | null = null;
  let hour: HourOfBeats = { beats: 0, losses: 0 };
  let hourNumber = NaN;

  function count(time: Instant, lost: boolean): void {
    const number = Math.floor(time / HOUR);
    if (number !== hourNumber) {
      hourNumber = number;
      hour = hours.get(number) ?? { beats: 0, losses: 0 };
      hours.set(number, hour);
    }
    hour.beats++;
    if (lost) hour.losses++;
  }

  function open(time: Instant, restarted: boolean | null, skipped: number): void {
    run = { from: time, until: time, beats: 1, due: 1, restarted, skipped };
    closed.push(run);
    shift = null;
    count(time, true);
  }

  /** Whether the beats have moved to another phase for good. */
  function watchPhase(time: Instant, step: Milliseconds): void {
    const by = step - Math.round(step / cadence) * cadence;
    if (shift === null) {
      if (Math.abs(by) > tolerance) shift = { since: time - step, at: time, confirmed: 0 };
    } else if (Math.abs(by) > tolerance) {
      shift = null; // it came back: one late line
    } else if (++shift.confirmed === CONFIRMED) {
      restarts.push({ since: shift.since, at: shift.at, sign: 'phase' });
      shift = null;
    }
  }

  return {
    take(time: Instant, restarted: boolean | null, skipped: number): void {
      if (run === null) {
        open(time, restarted, skipped);
        return;
      }
      if (time >= run.from && time <= run.until) return;
      const ahead = time > run.until;
      const step = ahead ? time - run.until : run.from - time;
      if (step >= limit) {
        // both tell of what lies before the later of the two
        if (!ahead) [run.restarted, run.skipped] = [restarted, skipped];
        open(time, ahead ? restarted : null, ahead ? skipped : 0);
        return;
      }
      const due = Math.max(1, Math.round(step / cadence));
      count(time, due > 1);
      run.beats++;
      run.due += due;
      const since = ahead ? run.until : time;
      const at = ahead ? time : run.from;
      if (ahead) run.until = time;
      else run.from = time;
      if (restarted === true) {
        restarts.push({ since, at, sign: 'mark' });
        shift = null;
      } else if (restarted === null && ahead) watchPhase(time, step);
    },
    result(): Beats {
      return { cadence, jitter, runs: joined(closed, limit, cadence), restarts, hours };
    },
  };
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
