import { inBlocks } from '../log/blocks.js';
import { nextGood } from '../log/bridging.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import { append, type Intervals } from './intervals.js';
import { mayBeSmaller, noteAt, noteBetween, ROUNDING, type SmallestMargins } from './margin.js';
import { belowZero } from './relaxation.js';
import type { SurfaceTemperature } from './surfaceTemperature.js';

/**
 * How far a surface lies above lines of deposit points, while both are known.
 *
 * It is looked at once for every figure, and nearly always the two ends of a step tell enough: so each look is
 * a plain loop over the rows, and only what a limit falls into is worked out, at leisure.
 */
export interface MarginCourse {
  readonly time: Float64Array;
  readonly surface: SurfaceTemperature;
  /** Deposit points as measured; every other line over this course has them at the same rows [°C]. */
  readonly points: Float64Array;
  /** Per row what lies between it and the next one with a deposit point. */
  readonly steps: Uint8Array;
  /** Per even step how far the surface strays at most from the straight line between its ends [K]. */
  readonly bulge: Float64Array;
}

/** Nothing is known. */
const APART = 0;
/** Both courses run undisturbed to the next row. */
const EVEN = 1;
/** Rows in between, a sunset or sunrise, or a model that has not settled. */
const UNEVEN = 2;

/** @param points deposit points [°C], NaN where missing */
export function marginCourse(
  time: Float64Array,
  surface: SurfaceTemperature,
  points: Float64Array,
  bridge: Milliseconds,
): MarginCourse {
  const steps = new Uint8Array(time.length);
  const bulge = new Float64Array(time.length);
  const course: MarginCourse = { time, surface, points, steps, bulge };
  inBlocks(time.length, (from, until) => lookBetween(course, bridge, from, until));
  return course;
}

/** Settles what lies between each of the rows [from, until) and the next one. */
function lookBetween(
  { time, surface, points, steps, bulge }: MarginCourse,
  bridge: Milliseconds,
  from: number,
  until: number,
): void {
  const { values, towards, timeConstant, settledFrom, stretch, nights } = surface;
  // Nearly all steps are one cadence long: what hangs on their length is worked out when that changes.
  let step: Milliseconds = Number.NaN;
  let share = Number.NaN;
  let i = nextGood(points, from);
  // sunsets and sunrises that lie behind
  let night = i < until ? countUpTo(nights, time[i]!) : 0;
  while (i < until) {
    const j = nextGood(points, i + 1);
    const length = j < points.length ? time[j]! - time[i]! : Number.POSITIVE_INFINITY;
    if (length <= bridge) {
      while (night < nights.length && nights[night]! <= time[i]!) night++;
      const dark = night < nights.length ? nights[night]! : Number.POSITIVE_INFINITY;
      const even =
        j === i + 1 &&
        stretch[i] === stretch[j] &&
        settledFrom[i]! <= time[i]! &&
        !Number.isNaN(values[j]!) &&
        dark > time[j]!;
      steps[i] = even ? EVEN : UNEVEN;
      if (timeConstant > 0) {
        if (length !== step) {
          step = length;
          share = length / timeConstant;
        }
        // A course whose second derivative is nowhere beyond b/τ² strays by (b/τ²) t²/8 at most from its chord;
        // here b = Ts − T + (ΔT/t) τ.
        const bend = share * (values[i]! - towards[i]!) + towards[j]! - towards[i]!;
        bulge[i] = (Math.abs(bend) * share) / 8;
      }
    }
    i = j;
  }
}

/** When both are known. */
export function knownTime(course: MarginCourse): Intervals {
  const { time, steps, points } = course;
  const known: Instant[] = [];
  for (let i = 0; i < steps.length; i++) {
    if (steps[i] === EVEN) {
      const start = i;
      while (steps[i + 1] === EVEN) i++;
      append(known, time[start]!, time[i + 1]!);
    } else if (steps[i] === UNEVEN) {
      for (const { settled, end } of piecesFrom(course, points, i)) append(known, settled, end);
    }
  }
  return known;
}

/** When they would be known, had the surface's model settled. */
export function unsettledTime(course: MarginCourse): Intervals {
  const { steps, points } = course;
  const unsettled: Instant[] = [];
  for (let i = steps.indexOf(UNEVEN); i >= 0; i = steps.indexOf(UNEVEN, i + 1)) {
    for (const { start, settled } of piecesFrom(course, points, i)) append(unsettled, start, settled);
  }
  return unsettled;
}

/**
 * When the surface is known to be less than each of some limits above a line, ends to the millisecond.
 *
 * @param line deposit points [°C], known where those of the course are
 * @param limits [K], the largest first
 */
export function timesBelow<const Limits extends readonly Kelvin[]>(
  course: MarginCourse,
  line: Float64Array,
  limits: Limits,
): { [Each in keyof Limits]: Intervals } {
  const { time } = course;
  const search: Search = {
    course,
    line,
    limits: Float64Array.from(limits),
    below: limits.map((): Instant[] => []),
    since: new Float64Array(limits.length),
    open: 0,
    bounds: new Float64Array(4),
  };
  for (let i = nextChange(search, 0); i < time.length; i = nextChange(search, i + 1)) takeStep(search, i);
  if (time.length > 0) closeRuns(search, 0, time[time.length - 1]!);
  return search.below as { [Each in keyof Limits]: Intervals };
}

interface Search {
  readonly course: MarginCourse;
  readonly line: Float64Array;
  /** The largest first. */
  readonly limits: Float64Array;
  /** What was found so far, a list for each limit. */
  readonly below: readonly Instant[][];
  /** For each of the first `open` limits: since when every step was wholly below it. */
  readonly since: Float64Array;
  open: number;
  readonly bounds: Float64Array;
}

/**
 * The first row from `from` on at which it is not as it was: the step after it wholly below the first `open` limits
 * and nowhere below the others. Small and without calls, so that the machine code for it is there at once.
 */
function nextChange({ course, line, limits, open }: Search, from: number): number {
  const { steps, bulge } = course;
  const { values } = course.surface;
  const next = open < limits.length ? limits[open]! : Number.NEGATIVE_INFINITY;
  const last = open > 0 ? limits[open - 1]! : Number.POSITIVE_INFINITY;
  let i = from;
  for (; i < steps.length; i++) {
    if (steps[i] !== EVEN) break;
    const before = values[i]! - line[i]!;
    const after = values[i + 1]! - line[i + 1]!;
    const stray = bulge[i]! + ROUNDING;
    if (!(Math.min(before, after) - stray > next && Math.max(before, after) + stray < last)) break;
  }
  return i;
}

/** Takes a step after which it may not be as it was. */
function takeStep(search: Search, i: number): void {
  const { course, line, limits } = search;
  const { steps, bulge, time } = course;
  const { values } = course.surface;
  if (steps[i] !== EVEN) {
    closeRuns(search, 0, time[i]!);
    if (steps[i] === UNEVEN) lookInPieces(search, i);
    return;
  }
  const before = values[i]! - line[i]!;
  const after = values[i + 1]! - line[i + 1]!;
  const stray = bulge[i]! + ROUNDING;
  let wholly = 0;
  while (wholly < limits.length && Math.max(before, after) + stray < limits[wholly]!) wholly++;
  let partly = wholly;
  while (partly < limits.length && !(Math.min(before, after) - stray > limits[partly]!)) partly++;
  crossLimits(search, i, wholly, partly);
}

/** Takes an even step that is wholly below the first so many limits, and perhaps in part below the next ones. */
function crossLimits(search: Search, i: number, wholly: number, partly: number): void {
  const { course, line, limits, below, since, bounds } = search;
  const { time } = course;
  const { values, towards, timeConstant } = course.surface;
  const start = time[i]!;
  closeRuns(search, wholly, start);
  for (; search.open < wholly; search.open++) since[search.open] = start;
  // The one piece of `piecesFrom`, without the making of it.
  const length = time[i + 1]! - start;
  const rise = towards[i + 1]! - towards[i]!;
  const slope = (rise - (line[i + 1]! - line[i]!)) / length;
  const bend = timeConstant > 0 ? values[i]! - towards[i]! + (rise / length) * timeConstant : 0;
  for (let k = wholly; k < partly; k++) {
    const count = belowZero(values[i]! - line[i]! - limits[k]!, slope, bend, timeConstant, length, bounds);
    for (let b = 0; b < count; b += 2) append(below[k]!, start + bounds[b]!, start + bounds[b + 1]!);
  }
}

/** Ends at `until` what is below limit number `from` and smaller ones. */
function closeRuns(search: Search, from: number, until: Instant): void {
  for (let k = from; k < search.open; k++) append(search.below[k]!, search.since[k]!, until);
  search.open = Math.min(search.open, from);
}

function lookInPieces({ course, line, limits, below, bounds }: Search, i: number): void {
  const { timeConstant } = course.surface;
  for (const { start, settled, end, value, slope, bend } of piecesFrom(course, line, i)) {
    for (let k = 0; k < limits.length; k++) {
      const count = belowZero(value - limits[k]!, slope, bend, timeConstant, end - start, bounds);
      for (let b = 0; b < count; b += 2) {
        append(below[k]!, Math.max(start + bounds[b]!, settled), start + bounds[b + 1]!);
      }
    }
  }
}

/** Notes the smallest margins, in the known time and at settled readings. */
export function noteMargins(course: MarginCourse, margin: SmallestMargins): void {
  const { time, points, steps, bulge } = course;
  const { values, timeConstant, settledFrom } = course.surface;
  for (let i = nextSmaller(course, margin, 0); i < time.length; i = nextSmaller(course, margin, i + 1)) {
    const at = values[i]! - points[i]!;
    if (steps[i] === EVEN) {
      const least = Math.min(at, values[i + 1]! - points[i + 1]!) - bulge[i]!;
      if (!mayBeSmaller(margin, time[i]!, time[i + 1]!, least)) continue;
    } else {
      // It may stand alone.
      if (time[i]! >= settledFrom[i]! && !Number.isNaN(at)) noteAt(margin, time[i]!, at);
      if (steps[i] === APART) continue;
    }
    for (const { start, settled, end, value, slope, bend } of piecesFrom(course, points, i)) {
      if (settled < end) noteBetween(margin, start, settled, end, value, slope, bend, timeConstant);
    }
  }
}

/** The first row from `from` on that may hold a smaller margin, or is not followed by an even step. As `nextChange`. */
function nextSmaller(
  { time, surface, points, steps, bulge }: MarginCourse,
  { ends, min, next }: SmallestMargins,
  from: number,
): number {
  const { values } = surface;
  const end = next < ends.length ? ends[next]! : Number.NEGATIVE_INFINITY;
  const smallest = next < ends.length ? min[next]! : Number.NaN;
  let i = from;
  for (; i < steps.length; i++) {
    if (steps[i] !== EVEN) break;
    const least = Math.min(values[i]! - points[i]!, values[i + 1]! - points[i + 1]!) - bulge[i]!;
    if (!(time[i + 1]! <= end && least > smallest)) break;
  }
  return i;
}

/** A piece of a margin's course, from `start` on as in `valueAt`; what is before `settled` does not count. */
interface Piece {
  readonly start: Instant;
  readonly settled: Instant;
  readonly end: Instant;
  readonly value: Kelvin;
  readonly slope: number;
  readonly bend: Kelvin;
}

/** The pieces between row `i` and the next one with a deposit point, to which it is joined. */
function piecesFrom({ time, surface, points }: MarginCourse, line: Float64Array, i: number): Piece[] {
  const { values, towards, timeConstant, settledFrom, stretch, nights, drop } = surface;
  const j = nextGood(points, i + 1);
  const fall = (line[j]! - line[i]!) / (time[j]! - time[i]!);
  const pieces: Piece[] = [];
  // The surface's temperature may be known in between, where no humidity was read.
  for (let from = nextGood(towards, i), until = 0; from < j; from = until) {
    until = nextGood(towards, from + 1);
    if (until > j) break;
    if (stretch[from] !== stretch[until]) continue;
    const start = time[from]!;
    const end = time[until]!;
    const warming = (towards[until]! - towards[from]!) / (end - start);
    const slope = warming - fall;
    const above = (at: Instant, temperature: number) => temperature - (line[i]! + fall * (at - time[i]!));
    if (timeConstant > 0) {
      const bend = values[from]! - towards[from]! + warming * timeConstant;
      const settled = Math.max(start, Math.min(end, settledFrom[from]!));
      pieces.push({ start, settled, end, value: above(start, values[from]!), slope, bend });
      continue;
    }
    let night = countUpTo(nights, start);
    for (let at = start; at < end; night++) {
      const next = night < nights.length ? Math.min(end, nights[night]!) : end;
      const temperature = towards[from]! + warming * (at - start) - (night % 2 === 1 ? drop : 0);
      pieces.push({ start: at, settled: at, end: next, value: above(at, temperature), slope, bend: 0 });
      at = next;
    }
  }
  return pieces;
}

/** How many of the instants, which ascend, are no later than this one. */
function countUpTo(instants: Float64Array, at: Instant): number {
  let [low, high] = [0, instants.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (instants[middle]! <= at) low = middle + 1;
    else high = middle;
  }
  return low;
}
