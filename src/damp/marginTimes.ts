import { BLOCK, inBlocks } from '../log/blocks.js';
import { nextGood } from '../log/bridging.js';
import type { Celsius, Instant, Kelvin, Milliseconds } from '../units.js';
import { append, type Intervals, noIntervals } from './intervals.js';
import { noteAt, noteBetween, ROUNDING, type SmallestMargins } from './margin.js';
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

/** Levels over one line that a surface is held against. */
export interface Levels {
  /** Deposit points by number [°C], known where those as measured are. */
  readonly line: Float64Array;
  /** How far above that they lie [K], the highest first. */
  readonly above: Float64Array;
}

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
  /** Per row of the block what lies between it and the next one with a deposit point. */
  readonly steps: Uint8Array;
  /** Per even step how far the surface strays at most from the straight line between its ends [K]. */
  readonly bulge: Float64Array;
  /** By number all levels, in steps, and the highest of them [°C]. */
  readonly limits: Int32Array;
  readonly highest: Float64Array;
  /** Per row, and the one behind the block, a bit for each level that it is below, then one for each it is above. */
  readonly sides: Uint16Array;
  /** Per row a code for how the step after it lies to the levels. */
  readonly codes: Uint16Array;
}

/** Nothing is known. */
const APART = 0;
/** Both courses run undisturbed to the next row. */
const EVEN = 1;
/** Rows in between, a sunset or sunrise, or a model that has not settled. */
const UNEVEN = 2;

/**
 * @param numbers per row, by which points and lines are looked up
 * @param points deposit points as measured [°C], NaN where there is none
 * @param lines with seven levels in all at most
 * @param margin takes the smallest margins over these points, in the known time and at settled readings
 */
export function marginTimes(
  time: Float64Array,
  surface: SurfaceTemperature,
  numbers: Uint32Array,
  points: Float64Array,
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
    points,
    bridge,
    levels,
    below: levels.map(noIntervals),
    known: noIntervals(),
    unsettled: noIntervals(),
    margin,
    open: 0,
    since: new Float64Array(levels.length),
    bounds: new Float64Array(4),
    steps: new Uint8Array(BLOCK),
    bulge: new Float64Array(BLOCK),
    ...limitsOf(levels, points.length),
    sides: new Uint16Array(BLOCK + 1),
    codes: new Uint16Array(BLOCK),
  };
  inBlocks(time.length, (from, until) => {
    lookBetween(course, from, until);
    const greatest = surface.timeConstant > 0 ? putBulges(course, from, until) : 0;
    markRows(course, greatest + ROUNDING, from, until);
    markSteps(course, until - from);
    findBelow(course, from, until);
    findKnown(course, from, until);
    noteMargins(course, from, until);
  });
  return course;
}

/** Settles what lies between each of the rows [from, until) and the next one. */
function lookBetween(course: Course, from: number, until: number): void {
  const { time, surface, steps } = course;
  const end = Math.min(until, time.length - 1);
  // nothing lies behind the last row
  if (end < until) steps[end - from] = APART;
  if (from >= end) return;
  if (isSteady(surface, time[from]!, time[end]!, from, end)) lookAtRows(course, from, end);
  else lookAtSurface(course, from, end);
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

function lookAtRows(course: Course, from: number, end: number): void {
  const { time, surface, numbers, points, bridge, steps } = course;
  const { values } = surface;
  let before = points[numbers[from]!]! + values[from]!;
  let start = time[from]!;
  for (let i = from; i < end; i++) {
    const after = points[numbers[i + 1]!]! + values[i + 1]!;
    const now = time[i + 1]!;
    if (now - start <= bridge && !Number.isNaN(before + after)) steps[i - from] = EVEN;
    else steps[i - from] = isJoined(course, i) ? UNEVEN : APART;
    before = after;
    start = now;
  }
}

function lookAtSurface(course: Course, from: number, end: number): void {
  const { time, surface, numbers, points, bridge, steps } = course;
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
    steps[i - from] = isEven ? EVEN : isJoined(course, i) ? UNEVEN : APART;
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

/**
 * A course whose second derivative is nowhere beyond b/τ² strays by (b/τ²) t²/8 at most from its chord; here
 * b = Ts − T + (ΔT/t) τ.
 *
 * @returns how far the surface strays at most from the straight line in any even step of the block [K]
 */
function putBulges({ time, surface, steps, bulge }: Course, from: number, until: number): Kelvin {
  const { values, towards, timeConstant } = surface;
  const end = Math.min(until, time.length - 1);
  let greatest = 0;
  for (let i = from; i < end; i++) {
    const share = (time[i + 1]! - time[i]!) / timeConstant;
    const bend = share * (values[i]! - towards[i]!) + towards[i + 1]! - towards[i]!;
    const most = (Math.abs(bend) * share) / 8;
    bulge[i - from] = most;
    if (most > greatest && steps[i - from] === EVEN) greatest = most;
  }
  return greatest;
}

/** In a `side`, bits for what a row is above stand this much further up than those for what it is below. */
const ABOVE = 7;

/**
 * Which side is looked up in integers of so many to a kelvin: their signs tell it without a branch, which for a surface
 * near to being wet nobody could foretell. What is closer than their steps counts as not clear.
 */
const STEPS_PER_KELVIN = 1 << 16;
/** What is further from 0 °C counts as if it were there, so that differences have a sign in 32 bits [K]. */
const FURTHEST: Kelvin = 4000;
/** What was cut off a surface's temperature and off a limit, and one to spare. */
const CUT_OFF = 3;

function inSteps(temperature: Celsius): number {
  return (Math.min(Math.max(temperature, -FURTHEST), FURTHEST) * STEPS_PER_KELVIN) | 0;
}

function limitsOf(levels: readonly Level[], numbers: number): Pick<Course, 'limits' | 'highest'> {
  const limits = new Int32Array(levels.length * numbers);
  const highest = new Float64Array(numbers).fill(Number.NEGATIVE_INFINITY);
  for (let k = 0; k < levels.length; k++) putLimits(limits, highest, levels.length, levels[k]!, k);
  return { limits, highest };
}

function putLimits(
  limits: Int32Array,
  highest: Float64Array,
  width: number,
  { line, above }: Level,
  k: number,
): void {
  for (let number = 0, at = k; number < highest.length; number++, at += width) {
    const limit = line[number]! + above;
    limits[at] = inSteps(limit);
    if (!(limit <= highest[number]!)) highest[number] = limit;
  }
}

/** Marks which levels the surface clearly lies below and above at the rows of the block and at the one behind it. */
function markRows(
  { time, surface: { values }, numbers, levels, limits, highest, sides }: Course,
  stray: Kelvin,
  from: number,
  until: number,
): void {
  const end = Math.min(until, time.length - 1);
  const count = levels.length;
  const aboveAll = ((1 << count) - 1) << ABOVE;
  const unclear = Math.ceil(Math.min(stray, 2 * FURTHEST) * STEPS_PER_KELVIN) + CUT_OFF;
  for (let row = from; row <= end; row++) {
    const value = values[row]!;
    const number = numbers[row]!;
    if (value - highest[number]! > stray) {
      // most surfaces are dry most of the time
      sides[row - from] = aboveAll;
      continue;
    }
    const first = number * count;
    const height = inSteps(value);
    let side = 0;
    for (let k = 0; k < count; k++) {
      const over = (height - limits[first + k]!) | 0;
      side |= (((over + unclear) >>> 31) << k) | (((unclear - over) >>> 31) << (k + ABOVE));
    }
    sides[row - from] = side;
  }
}

/**
 * The code of an even step has, from the lowest on, a bit for each level that it is below from end to end, and this
 * many further up one for each that it may cross. No step that is not even has the code of an even one.
 */
const CROSSED = 8;
const NOT_EVEN = 1 << 15;

function markSteps({ levels, steps, sides, codes }: Course, count: number): void {
  const all = (1 << levels.length) - 1;
  for (let i = 0; i < count; i++) {
    const both = sides[i]! & sides[i + 1]!;
    const below = both & all;
    codes[i] = steps[i] === EVEN ? below | ((all ^ (below | (both >> ABOVE))) << CROSSED) : NOT_EVEN;
  }
}

/** When both are known in the block. */
function findKnown(course: Course, from: number, until: number): void {
  const { time, steps, known } = course;
  for (let i = from; i < until; i++) {
    if (steps[i - from] === EVEN) {
      const start = i;
      while (i + 1 < until && steps[i + 1 - from] === EVEN) i++;
      append(known, time[start]!, time[i + 1]!);
    } else if (steps[i - from] === UNEVEN) addPieces(course, i);
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
  const { codes } = course;
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
    if ((code & (bit << CROSSED)) !== 0) cross(course, k, i);
  }
  if (code === NOT_EVEN && isJoined(course, i)) lookInPieces(course, i);
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
  const { time, numbers, points, steps, margin } = course;
  const { values, starts, timeConstant, settledFrom } = course.surface;
  for (let i = from; i < until; i++) {
    i = nextSmaller(course, i, from, until);
    if (i === until) return;
    if (steps[i - from] === EVEN) {
      if (isToldByStart(course, i, i - from)) continue;
    } else {
      // It may stand alone.
      const at = values[i]! - points[numbers[i]!]!;
      const isSettled = timeConstant === 0 || time[i]! >= settledFrom[stretchOf(starts, i)]!;
      if (isSettled && !Number.isNaN(at)) noteAt(margin, time[i]!, at);
      if (steps[i - from] === APART) continue;
    }
    for (const { start, settled, end, value, slope, bend } of piecesFrom(course, points, i)) {
      if (settled < end) noteBetween(margin, start, settled, end, value, slope, bend, timeConstant);
    }
  }
}

/** Whether the smallest margin in an even step can only be that at its start, which is noted then. */
function isToldByStart(course: Course, i: number, step: number): boolean {
  const { time, surface, numbers, points, bulge, margin } = course;
  const { values } = surface;
  const { starts, ends, min } = margin;
  const start = time[i]!;
  const end = time[i + 1]!;
  const at = values[i]! - points[numbers[i]!]!;
  const least = Math.min(at, values[i + 1]! - points[numbers[i + 1]!]!) - bulge[step]!;
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

/** The first row from `i` on that may hold a smaller margin, or is not followed by an even step. */
function nextSmaller(course: Course, row: number, from: number, until: number): number {
  const { time, surface, numbers, points, steps, bulge, margin } = course;
  const { ends, min, next } = margin;
  const { values } = surface;
  const end = next < ends.length ? ends[next]! : Number.NEGATIVE_INFINITY;
  const smallest = next < ends.length ? min[next]! : Number.NaN;
  let i = row;
  for (; i < until && steps[i - from] === EVEN; i++) {
    const limit = smallest + bulge[i - from]!;
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
