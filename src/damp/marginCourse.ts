import { inBlocks } from '../log/blocks.js';
import { nextGood } from '../log/bridging.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import { append, type Intervals, noIntervals } from './intervals.js';
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
  /** The number of the pair of values that each row carries: deposit points are kept by it. */
  readonly numbers: Uint32Array;
  /** Deposit points as measured [°C], NaN where there is none; every other line has them for the same numbers. */
  readonly points: Float64Array;
  /** Per row what lies between it and the next one with a deposit point. */
  readonly steps: Uint8Array;
  /** Per even step how far the surface strays at most from the straight line between its ends [K]. */
  readonly bulge: Float64Array;
  /** What it is held against, and per row a code for how the step after it lies to that. */
  readonly levels: readonly Level[];
  readonly codes: Uint16Array;
}

/** Levels over one line that a surface is held against. */
export interface Levels {
  /** Deposit points by number [°C], known where those of the course are. */
  readonly line: Float64Array;
  /** How far above that they lie [K], the highest first. */
  readonly above: Float64Array;
}

interface Level {
  readonly line: Float64Array;
  readonly above: Kelvin;
}

/** Nothing is known. */
const APART = 0;
/** Both courses run undisturbed to the next row. */
const EVEN = 1;
/** Rows in between, a sunset or sunrise, or a model that has not settled. */
const UNEVEN = 2;

/**
 * @param numbers, points deposit points: see `MarginCourse`
 * @param lines with seven levels in all at most
 */
export function marginCourse(
  time: Float64Array,
  surface: SurfaceTemperature,
  numbers: Uint32Array,
  points: Float64Array,
  lines: readonly Levels[],
  bridge: Milliseconds,
): MarginCourse {
  const rows = time.length;
  const levels = lines.flatMap(({ line, above }) =>
    Array.from(above, (kelvins): Level => ({ line, above: kelvins })),
  );
  const course: MarginCourse = {
    time,
    surface,
    numbers,
    points,
    steps: new Uint8Array(rows),
    bulge: new Float64Array(rows),
    levels,
    codes: new Uint16Array(rows),
  };
  inBlocks(rows, (from, until) => {
    lookBetween(course, bridge, from, until);
    if (surface.timeConstant > 0) putBulges(course, from, until);
    let first = 0;
    for (const { line, above } of lines) {
      markBelow(course, line, above, first, from, until);
      first += above.length;
    }
    markUneven(course, from, until);
  });
  return course;
}

/** Settles what lies between each of the rows [from, until) and the next one. */
function lookBetween(course: MarginCourse, bridge: Milliseconds, from: number, until: number): void {
  const { time, surface, numbers, points, steps } = course;
  const { values, timeConstant, settledFrom, stretch, nights } = surface;
  const end = Math.min(until, time.length - 1); // nothing lies behind the last row
  if (from >= end) return;
  // sunsets and sunrises that lie behind, and the next one
  let night = countUpTo(nights, time[from]!);
  let dark = night < nights.length ? nights[night]! : Number.POSITIVE_INFINITY;
  let isKnown = !Number.isNaN(points[numbers[from]!]! + values[from]!);
  for (let i = from; i < end; i++) {
    while (dark <= time[i]!) dark = ++night < nights.length ? nights[night]! : Number.POSITIVE_INFINITY;
    const wasKnown = isKnown;
    isKnown = !Number.isNaN(points[numbers[i + 1]!]! + values[i + 1]!);
    const isEven =
      wasKnown &&
      isKnown &&
      time[i + 1]! - time[i]! <= bridge &&
      dark > time[i + 1]! &&
      stretch[i] === stretch[i + 1] &&
      (timeConstant === 0 || settledFrom[stretch[i]!]! <= time[i]!);
    if (isEven) steps[i] = EVEN;
    else if (isJoined(course, bridge, i)) steps[i] = UNEVEN;
  }
}

/** Whether row `i` and the next one with a deposit point are joined. */
function isJoined(course: MarginCourse, bridge: Milliseconds, i: number): boolean {
  const { time, numbers, points } = course;
  if (Number.isNaN(points[numbers[i]!]!)) return false;
  const j = nextWithPoint(course, i + 1);
  return j < time.length && time[j]! - time[i]! <= bridge;
}

/** The first row from `row` on that has a deposit point; the number of rows where none follows. */
function nextWithPoint({ numbers, points }: Pick<MarginCourse, 'numbers' | 'points'>, row: number): number {
  let next = row;
  while (next < numbers.length && Number.isNaN(points[numbers[next]!]!)) next++;
  return next;
}

/**
 * A course whose second derivative is nowhere beyond b/τ² strays by (b/τ²) t²/8 at most from its chord; here
 * b = Ts − T + (ΔT/t) τ.
 */
function putBulges({ time, surface, bulge }: MarginCourse, from: number, until: number): void {
  const { values, towards, timeConstant } = surface;
  const end = Math.min(until, time.length - 1);
  for (let i = from; i < end; i++) {
    const share = (time[i + 1]! - time[i]!) / timeConstant;
    const bend = share * (values[i]! - towards[i]!) + towards[i + 1]! - towards[i]!;
    bulge[i] = (Math.abs(bend) * share) / 8;
  }
}

/**
 * The code of an even step has, from the lowest on, a bit for each level that it is below from end to end, and this
 * many further up one for each that it may cross. No step that is not even has the code of an even one.
 */
const CROSSED = 8;
const NOT_EVEN = 1 << 15;

function markUneven({ steps, codes }: MarginCourse, from: number, until: number): void {
  for (let i = from; i < until; i++) if (steps[i] !== EVEN) codes[i] = NOT_EVEN;
}

/** Marks which levels of a line the steps after the rows [from, until) lie below or may cross. */
function markBelow(
  { surface: { values }, numbers, bulge, codes }: MarginCourse,
  line: Float64Array,
  above: Float64Array,
  first: number,
  from: number,
  until: number,
): void {
  const end = Math.min(until, codes.length - 1); // no step follows the last row
  let before = from < end ? values[from]! - line[numbers[from]!]! : 0;
  // The levels that the last clear step lay between: nearly always the next one does too.
  let lower = Number.POSITIVE_INFINITY;
  let upper = Number.NEGATIVE_INFINITY;
  let code = 0;
  for (let i = from; i < end; i++) {
    const after = values[i + 1]! - line[numbers[i + 1]!]!;
    const stray = bulge[i]! + ROUNDING;
    // Four comparisons take half the time of the lesser and the greater of the two.
    const low = lower + stray;
    const high = upper - stray;
    if (!(before > low && after > low && before < high && after < high)) {
      const wholly = countAbove(above, Math.max(before, after) + stray);
      const partly = countAbove(above, Math.min(before, after) - stray);
      code = (bits(wholly) | ((bits(partly) ^ bits(wholly)) << CROSSED)) << first;
      upper = wholly > 0 ? above[wholly - 1]! : Number.POSITIVE_INFINITY;
      lower = partly < above.length ? above[partly]! : Number.NEGATIVE_INFINITY;
      if (partly > wholly) upper = Number.NEGATIVE_INFINITY;
    }
    codes[i]! |= code;
    before = after;
  }
}

/** How many levels, the highest first, lie above a margin; all of them where it is unknown. */
function countAbove(above: Float64Array, margin: Kelvin): number {
  let count = 0;
  while (count < above.length && !(above[count]! <= margin)) count++;
  return count;
}

/** So many bits from the lowest on. */
function bits(count: number): number {
  return (1 << count) - 1;
}

/** When both are known, and when they would be, had the surface's model settled. */
export function knownTimes(course: MarginCourse): {
  readonly known: Intervals;
  readonly unsettled: Intervals;
} {
  const { time, steps } = course;
  const known = noIntervals();
  const unsettled = noIntervals();
  for (let i = 0; i < steps.length; i++) {
    if (steps[i] === EVEN) {
      const start = i;
      while (steps[i + 1] === EVEN) i++;
      append(known, time[start]!, time[i + 1]!);
    } else if (steps[i] === UNEVEN) addPieces(course, i, known, unsettled);
  }
  return { known, unsettled };
}

function addPieces(course: MarginCourse, i: number, known: Instant[], unsettled: Instant[]): void {
  for (const { start, settled, end } of piecesFrom(course, course.points, i)) {
    append(unsettled, start, settled);
    append(known, settled, end);
  }
}

/**
 * When the surface is known to be below each of its levels, ends to the millisecond.
 *
 * @returns an entry for each level, in order
 */
export function timesBelow(course: MarginCourse): readonly Intervals[] {
  const { time, levels, codes } = course;
  const search: Search = {
    course,
    below: levels.map(noIntervals),
    since: new Float64Array(levels.length),
    open: 0,
    bounds: new Float64Array(4),
  };
  for (let i = nextOther(codes, 0, 0); i < time.length; i = nextOther(codes, search.open, i + 1)) {
    takeStep(search, i);
  }
  return search.below;
}

/** The first row from `from` on whose code is another. */
function nextOther(codes: Uint16Array, code: number, from: number): number {
  let i = from;
  while (i < codes.length && codes[i] === code) i++;
  return i;
}

interface Search {
  readonly course: MarginCourse;
  /** What was found so far, a list for each level. */
  readonly below: readonly Instant[][];
  /** A bit for each level below which the last step was from end to end, and since when every step was. */
  open: number;
  readonly since: Float64Array;
  readonly bounds: Float64Array;
}

/** Takes a step that is not as the one before it. */
function takeStep(search: Search, i: number): void {
  const { steps, levels, codes } = search.course;
  const code = codes[i]!;
  for (let k = 0; k < levels.length; k++) {
    const bit = 1 << k;
    if (((code ^ search.open) & bit) !== 0) turn(search, k, i);
    if ((code & (bit << CROSSED)) !== 0) cross(search, k, i);
  }
  if (steps[i] === UNEVEN) lookInPieces(search, i);
}

/** Begins or ends at row `i` what is below a level. */
function turn(search: Search, k: number, i: number): void {
  const { course, below, since } = search;
  const at = course.time[i]!;
  search.open ^= 1 << k;
  if ((search.open & (1 << k)) !== 0) since[k] = at;
  else append(below[k]!, since[k]!, at);
}

/** Takes an even step that may be below a level in part. */
function cross({ course, below, bounds }: Search, k: number, i: number): void {
  const { time, levels, numbers } = course;
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

function lookInPieces({ course, below, bounds }: Search, i: number): void {
  const { levels } = course;
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

/** Notes the smallest margins, in the known time and at settled readings. */
export function noteMargins(course: MarginCourse, margin: SmallestMargins): void {
  const { time, numbers, points, steps, bulge } = course;
  const { values, stretch, timeConstant, settledFrom } = course.surface;
  for (let i = nextSmaller(course, margin, 0); i < time.length; i = nextSmaller(course, margin, i + 1)) {
    const at = values[i]! - points[numbers[i]!]!;
    if (steps[i] === EVEN) {
      const least = Math.min(at, values[i + 1]! - points[numbers[i + 1]!]!) - bulge[i]!;
      if (!mayBeSmaller(margin, time[i]!, time[i + 1]!, least)) continue;
    } else {
      // It may stand alone.
      const isSettled = timeConstant === 0 || time[i]! >= settledFrom[stretch[i]!]!;
      if (isSettled && !Number.isNaN(at)) noteAt(margin, time[i]!, at);
      if (steps[i] === APART) continue;
    }
    for (const { start, settled, end, value, slope, bend } of piecesFrom(course, points, i)) {
      if (settled < end) noteBetween(margin, start, settled, end, value, slope, bend, timeConstant);
    }
  }
}

/** The first row from `from` on that may hold a smaller margin, or is not followed by an even step. */
function nextSmaller(
  { time, surface, numbers, points, steps, bulge }: MarginCourse,
  { ends, min, next }: SmallestMargins,
  from: number,
): number {
  const { values } = surface;
  const end = next < ends.length ? ends[next]! : Number.NEGATIVE_INFINITY;
  const smallest = next < ends.length ? min[next]! : Number.NaN;
  let i = from;
  for (; i < steps.length && steps[i] === EVEN; i++) {
    const limit = smallest + bulge[i]!;
    const before = values[i]! - points[numbers[i]!]!;
    const after = values[i + 1]! - points[numbers[i + 1]!]!;
    if (!(before > limit && after > limit && time[i + 1]! <= end)) break;
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
function piecesFrom(course: MarginCourse, line: Float64Array, i: number): Piece[] {
  const { time, surface, numbers } = course;
  const { values, towards, timeConstant, settledFrom, stretch, nights, drop } = surface;
  const j = nextWithPoint(course, i + 1);
  const point = line[numbers[i]!]!;
  const fall = (line[numbers[j]!]! - point) / (time[j]! - time[i]!);
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
    const above = (at: Instant, temperature: number) => temperature - (point + fall * (at - time[i]!));
    if (timeConstant > 0) {
      const bend = values[from]! - towards[from]! + warming * timeConstant;
      const settled = Math.max(start, Math.min(end, settledFrom[stretch[from]!]!));
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
