import { inBlocks } from '../log/blocks.js';
import { nextGood } from '../log/bridging.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import { append, type Intervals, noIntervals } from './intervals.js';
import { noteAt, noteBetween, ROUNDING, type SmallestMargins } from './margin.js';
import { type Levels, type MarginLook, marginLook } from './marginLook.js';
import { Code, Scale, Step } from './marginTerms.js';
import { belowZero } from './relaxation.js';
import { type SurfaceTemperature, stretchOf } from './surfaceTemperature.js';

/**
 * When a surface lies below levels above lines of deposit points, and when both are known.
 *
 * Nearly always the two ends of a step tell enough: so each look is a plain loop over a block of rows, and only what a
 * limit falls into is worked out, at leisure.
 */
export interface MarginTimes {
  /** An entry for each level, in order: when the surface is known to be below it, ends to the millisecond. */
  readonly below: readonly Intervals[];
  /** When both are known, and when they would be, had the surface's model settled. */
  readonly known: Intervals;
  readonly unsettled: Intervals;
}

/** A level over a line of deposit points. */
interface Level {
  readonly line: Float64Array;
  readonly above: Kelvin;
}

/** What is looked at, what was found so far, and what is known of the block of rows at hand. */
interface Course {
  readonly time: Float64Array;
  readonly surface: SurfaceTemperature;
  /** The number of the pair of values that each row carries: deposit points are kept by it. */
  readonly numbers: Uint32Array;
  readonly points: Float64Array;
  readonly bridge: Milliseconds;
  readonly levels: readonly Level[];
  readonly below: readonly Instant[][];
  readonly known: Instant[];
  readonly unsettled: Instant[];
  readonly margin: SmallestMargins;
  /** A bit for each level below which the last step was from end to end, and since when every step was. */
  open: number;
  readonly since: Float64Array;
  readonly bounds: Float64Array;
  /** Per row of the block what is told of the step after it. */
  readonly look: MarginLook;
}

/**
 * @param numbers per row, by which points and lines are looked up
 * @param lines four with seven levels at most, the highest of a line first; the first line is that of the deposit points
 *   as measured, NaN where there is none
 * @param margin takes the smallest margins over these points, in the known time and at settled readings
 */
export function marginTimes(
  time: Float64Array,
  surface: SurfaceTemperature,
  numbers: Uint32Array,
  lines: readonly Levels[],
  bridge: Milliseconds,
  margin: SmallestMargins,
): MarginTimes {
  const levels = lines.flatMap(({ line, above }) =>
    Array.from(above, (kelvins): Level => ({ line, above: kelvins })),
  );
  const course: Course = {
    time,
    surface,
    numbers,
    points: lines[0]!.line,
    bridge,
    levels,
    below: levels.map(noIntervals),
    known: noIntervals(),
    unsettled: noIntervals(),
    margin,
    open: 0,
    since: new Float64Array(levels.length),
    bounds: new Float64Array(4),
    look: marginLook(lines),
  };
  inBlocks(time.length, (from, until) => {
    lookBetween(course, from, until);
    findBelow(course, from, until);
    findKnown(course, from, until);
    noteMargins(course, from, until);
  });
  return course;
}

/** Looks at what lies between each of the rows [from, until) and the next one. */
function lookBetween(course: Course, from: number, until: number): void {
  const { time, surface, numbers, look, bridge, levels } = course;
  const end = Math.min(until, time.length - 1);
  // nothing lies behind the last row
  if (end < until) {
    look.steps[end - from] = Step.other;
    look.codes[end - from] = Code.notEven;
    look.least[end - from] = Scale.missing;
  }
  if (from >= end) return;
  look.time.set(time.subarray(from, end + 1));
  look.surface.set(surface.values.subarray(from, end + 1));
  look.towards.set(surface.towards.subarray(from, end + 1));
  look.numbers.set(numbers.subarray(from, end + 1));
  const steady = isSteady(surface, time[from]!, time[end]!, from, end);
  if (!steady) lookAtSurface(course, from, end);
  look.look(end - from, steady ? bridge : -1, surface.timeConstant, levels.length, ROUNDING);
}

/** Whether a surface goes on undisturbed from one row to another: nothing is left to look at but the readings. */
function isSteady(
  { timeConstant, starts, settledFrom, nights }: SurfaceTemperature,
  first: Instant,
  last: Instant,
  from: number,
  end: number,
): boolean {
  const stretch = stretchOf(starts, from);
  return (
    stretch === stretchOf(starts, end) &&
    (timeConstant === 0 || settledFrom[stretch]! <= first) &&
    countUpTo(nights, first) === countUpTo(nights, last)
  );
}

/** Finds the even steps where the surface does not go on undisturbed. */
function lookAtSurface(course: Course, from: number, end: number): void {
  const { time, surface, numbers, points, bridge, look } = course;
  const { steps } = look;
  const { values, timeConstant, settledFrom, starts, nights } = surface;
  // sunsets and sunrises that lie behind, and the next one
  let night = countUpTo(nights, time[from]!);
  let dark = night < nights.length ? nights[night]! : Number.POSITIVE_INFINITY;
  // the same of starts
  let stretch = stretchOf(starts, from);
  let start = stretch < starts.length ? starts[stretch]! : Number.POSITIVE_INFINITY;
  let isKnown = !Number.isNaN(points[numbers[from]!]! + values[from]!);
  for (let i = from; i < end; i++) {
    while (dark <= time[i]!) dark = ++night < nights.length ? nights[night]! : Number.POSITIVE_INFINITY;
    while (start <= i) start = ++stretch < starts.length ? starts[stretch]! : Number.POSITIVE_INFINITY;
    const wasKnown = isKnown;
    isKnown = !Number.isNaN(points[numbers[i + 1]!]! + values[i + 1]!);
    const isEven =
      wasKnown &&
      isKnown &&
      time[i + 1]! - time[i]! <= bridge &&
      dark > time[i + 1]! &&
      start > i + 1 &&
      (timeConstant === 0 || settledFrom[stretch]! <= time[i]!);
    steps[i - from] = isEven ? Step.even : Step.other;
  }
}

/** Whether row `i` and the next one with a deposit point are joined. */
function isJoined(course: Course, i: number): boolean {
  const { time, numbers, points, bridge } = course;
  if (Number.isNaN(points[numbers[i]!]!)) return false;
  const j = nextWithPoint(course, i + 1);
  return j < time.length && time[j]! - time[i]! <= bridge;
}

/** The first row from `row` on that has a deposit point; the number of rows where none follows. */
function nextWithPoint({ numbers, points }: Course, row: number): number {
  let next = row;
  while (next < numbers.length && Number.isNaN(points[numbers[next]!]!)) next++;
  return next;
}

/** When both are known in the block. */
function findKnown(course: Course, from: number, until: number): void {
  const { time, look, known } = course;
  const steps = look.steps.subarray(0, until - from);
  for (let i = from; i < until; i++) {
    const next = steps.indexOf(Step.other, i - from);
    const end = next < 0 ? until : from + next;
    if (end > i) append(known, time[i]!, time[end]!);
    if (end < until && isJoined(course, end)) addPieces(course, end);
    i = end;
  }
}

function addPieces(course: Course, i: number): void {
  for (const { start, settled, end } of piecesFrom(course, course.points, i)) {
    append(course.unsettled, start, settled);
    append(course.known, settled, end);
  }
}

/** When the surface is below its levels in the block. */
function findBelow(course: Course, from: number, until: number): void {
  const { codes } = course.look;
  for (let i = from; i < until; i++) {
    i = nextOther(codes, course.open, i - from, until - from) + from;
    if (i < until) takeStep(course, i, codes[i - from]!);
  }
}

/** The first of the codes [from, until) that is another. */
function nextOther(codes: Uint16Array, code: number, from: number, until: number): number {
  let i = from;
  while (i < until && codes[i] === code) i++;
  return i;
}

/** Takes a step that is not as the one before it. */
function takeStep(course: Course, i: number, code: number): void {
  for (let k = 0; k < course.levels.length; k++) {
    const bit = 1 << k;
    if (((code ^ course.open) & bit) !== 0) turn(course, k, i);
    if ((code & (bit << Code.crossed)) !== 0) cross(course, k, i);
  }
  if (code === Code.notEven && isJoined(course, i)) lookInPieces(course, i);
}

/** Begins or ends at row `i` what is below a level. */
function turn(course: Course, k: number, i: number): void {
  const { time, below, since } = course;
  course.open ^= 1 << k;
  if ((course.open & (1 << k)) !== 0) since[k] = time[i]!;
  else append(below[k]!, since[k]!, time[i]!);
}

/** Takes an even step that may be below a level in part. */
function cross(course: Course, k: number, i: number): void {
  const { time, levels, numbers, below, bounds } = course;
  const { values, towards, timeConstant } = course.surface;
  const { line, above } = levels[k]!;
  const from = line[numbers[i]!]!;
  // The one piece of `piecesFrom`, without the making of it.
  const start = time[i]!;
  const length = time[i + 1]! - start;
  const rise = towards[i + 1]! - towards[i]!;
  const slope = (rise - (line[numbers[i + 1]!]! - from)) / length;
  const bend = timeConstant > 0 ? values[i]! - towards[i]! + (rise / length) * timeConstant : 0;
  const count = belowZero(values[i]! - from - above, slope, bend, timeConstant, length, bounds);
  for (let b = 0; b < count; b += 2) append(below[k]!, start + bounds[b]!, start + bounds[b + 1]!);
}

function lookInPieces(course: Course, i: number): void {
  const { levels, below, bounds } = course;
  const { timeConstant } = course.surface;
  let pieces: readonly Piece[] = [];
  for (let k = 0; k < levels.length; k++) {
    const { line, above } = levels[k]!;
    if (k === 0 || line !== levels[k - 1]!.line) pieces = piecesFrom(course, line, i);
    for (const { start, settled, end, value, slope, bend } of pieces) {
      const count = belowZero(value - above, slope, bend, timeConstant, end - start, bounds);
      for (let b = 0; b < count; b += 2) {
        append(below[k]!, Math.max(start + bounds[b]!, settled), start + bounds[b + 1]!);
      }
    }
  }
}

/** Notes the smallest margins of the block. */
function noteMargins(course: Course, from: number, until: number): void {
  const { time, numbers, points, look, margin } = course;
  const { values, starts, timeConstant, settledFrom } = course.surface;
  for (let i = from; i < until; i++) {
    i = nextSmaller(course, i, from, until);
    if (i === until) return;
    if (look.steps[i - from] === Step.even) {
      if (isToldByStart(course, i, look.least[i - from]! / Scale.perKelvin)) continue;
    } else {
      // It may stand alone.
      const at = values[i]! - points[numbers[i]!]!;
      const isSettled = timeConstant === 0 || time[i]! >= settledFrom[stretchOf(starts, i)]!;
      if (isSettled && !Number.isNaN(at)) noteAt(margin, time[i]!, at);
      if (!isJoined(course, i)) continue;
    }
    for (const { start, settled, end, value, slope, bend } of piecesFrom(course, points, i)) {
      if (settled < end) noteBetween(margin, start, settled, end, value, slope, bend, timeConstant);
    }
  }
}

/**
 * Whether the smallest margin in an even step can only be that at its start, which is noted then.
 *
 * @param least that the margin can be [K]
 */
function isToldByStart(course: Course, i: number, least: Kelvin): boolean {
  const { time, surface, numbers, points, margin } = course;
  const { values } = surface;
  const { starts, ends, min } = margin;
  const start = time[i]!;
  const end = time[i + 1]!;
  const at = values[i]! - points[numbers[i]!]!;
  let p = margin.next;
  while (p < ends.length && ends[p]! <= start) p++;
  margin.next = p;
  if (p === ends.length || (end <= ends[p]! && least > min[p]!)) return true;
  if (mayTurn(course, i) || ends[p]! <= end || starts[p]! > start) return false;
  // its end is the start of the next step
  noteAt(margin, start, at);
  return true;
}

/** Whether the margin may have a lowest point within an even step: see `turningPoint`, and ln x <= x - 1. */
function mayTurn({ time, surface, numbers, points }: Course, i: number): boolean {
  const { values, towards, timeConstant } = surface;
  if (timeConstant === 0) return false;
  const length = time[i + 1]! - time[i]!;
  const rise = towards[i + 1]! - towards[i]!;
  const bend = values[i]! - towards[i]! + (rise / length) * timeConstant;
  const left = (((rise - points[numbers[i + 1]!]! + points[numbers[i]!]!) / length) * timeConstant) / bend;
  return bend > 0 && left < 1 && left > 1 - length / timeConstant;
}

/** The first row from `row` on that may hold a smaller margin, or is not followed by an even step. */
function nextSmaller({ time, look, margin }: Course, row: number, from: number, until: number): number {
  const { least } = look;
  const { ends, min, next } = margin;
  const end = next < ends.length ? ends[next]! : Number.NEGATIVE_INFINITY;
  const smallest = next < ends.length ? min[next]! * Scale.perKelvin : Number.NaN;
  let i = row;
  while (i < until && least[i - from]! > smallest && time[i + 1]! <= end) i++;
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
function piecesFrom(course: Course, line: Float64Array, i: number): Piece[] {
  const { time, surface, numbers } = course;
  const { values, towards, timeConstant, settledFrom, starts, nights, drop } = surface;
  const j = nextWithPoint(course, i + 1);
  const point = line[numbers[i]!]!;
  const fall = (line[numbers[j]!]! - point) / (time[j]! - time[i]!);
  const pieces: Piece[] = [];
  // The surface's temperature may be known in between, where no humidity was read.
  for (let from = nextGood(towards, i), until = 0; from < j; from = until) {
    until = nextGood(towards, from + 1);
    if (until > j) break;
    const stretch = stretchOf(starts, from);
    if (stretch !== stretchOf(starts, until)) continue;
    const start = time[from]!;
    const end = time[until]!;
    const warming = (towards[until]! - towards[from]!) / (end - start);
    const slope = warming - fall;
    const above = (at: Instant, temperature: number) => temperature - (point + fall * (at - time[i]!));
    if (timeConstant > 0) {
      const bend = values[from]! - towards[from]! + warming * timeConstant;
      const settled = Math.max(start, Math.min(end, settledFrom[stretch]!));
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
