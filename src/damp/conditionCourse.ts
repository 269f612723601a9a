import { nextGood } from '../log/bridging.js';
import type { Instant, Milliseconds } from '../units.js';
import type { Comparison } from './condition.js';
import { append, type Intervals, noIntervals } from './intervals.js';
import { belowZero, valueAt } from './relaxation.js';
import { type SurfaceTemperature, stretchOf } from './surfaceTemperature.js';

/**
 * Something that changes with time, where it is known: pieces in order, a row each. Within a piece it runs as
 * `valueAt` of relaxation.ts says, from `value` at `start` on.
 */
export interface Course {
  length: number;
  readonly start: Float64Array;
  readonly end: Float64Array;
  readonly value: Float64Array;
  /** Per ms. */
  readonly slope: Float64Array;
  readonly bend: Float64Array;
  /** Of all bends [ms]; 0 where there are none. */
  readonly timeConstant: Milliseconds;
}

/** Straight lines between neighbouring good values no further apart than `bridge` [ms]. */
export function lineCourse(time: Float64Array, values: Float64Array, bridge: Milliseconds): Course {
  const course = emptyCourse(time.length, 0);
  let i = nextGood(values, 0);
  while (i < values.length) {
    const j = nextGood(values, i + 1);
    if (j < values.length && time[j]! - time[i]! <= bridge) {
      const slope = (values[j]! - values[i]!) / (time[j]! - time[i]!);
      put(course, time[i]!, time[j]!, values[i]!, slope, 0);
    }
    i = j;
  }
  return course;
}

/** The temperature of a surface [°C], off by `error` [K], where its model has settled. */
export function surfaceCourse(
  time: Float64Array,
  surface: SurfaceTemperature,
  bridge: Milliseconds,
  error: number,
): Course {
  const { values, towards, timeConstant, settledFrom, starts, nights, drop } = surface;
  const course = emptyCourse(time.length + nights.length, timeConstant);
  let night = 0; // sunsets and sunrises that lie behind
  let i = nextGood(towards, 0);
  while (i < towards.length) {
    const j = nextGood(towards, i + 1);
    const start = time[i]!;
    const end = j < towards.length ? time[j]! : Number.POSITIVE_INFINITY;
    const stretch = stretchOf(starts, i);
    if (end - start <= bridge && stretch === stretchOf(starts, j)) {
      const slope = (towards[j]! - towards[i]!) / (end - start);
      if (timeConstant > 0) {
        const bend = values[i]! - towards[i]! + slope * timeConstant;
        const settled = Math.max(0, settledFrom[stretch]! - start);
        const value = settled === 0 ? values[i]! : valueAt(settled, values[i]!, slope, bend, timeConstant);
        put(course, start + settled, end, value + error, slope, bend * Math.exp(-settled / timeConstant));
      } else {
        for (let at = start; at < end; ) {
          while (night < nights.length && nights[night]! <= at) night++;
          const next = Math.min(end, nights[night] ?? end);
          const value = towards[i]! + slope * (at - start) - (night % 2 === 1 ? drop : 0);
          put(course, at, next, value + error, slope, 0);
          at = next;
        }
      }
    }
    i = j;
  }
  return course;
}

/** The difference of two courses, where both are known. Their time constants are one, or one of them is 0. */
export function minus(one: Course, other: Course): Course {
  const course = emptyCourse(one.length + other.length, Math.max(one.timeConstant, other.timeConstant));
  let i = 0;
  let j = 0;
  while (i < one.length && j < other.length) {
    const start = Math.max(one.start[i]!, other.start[j]!);
    const end = Math.min(one.end[i]!, other.end[j]!);
    if (start < end) {
      const value = valueIn(one, i, start) - valueIn(other, j, start);
      const bend = bendIn(one, i, start) - bendIn(other, j, start);
      put(course, start, end, value, one.slope[i]! - other.slope[j]!, bend);
    }
    if (one.end[i]! <= other.end[j]!) i++;
    else j++;
  }
  return course;
}

/** When a course is known. */
export function knownTime({ length, start, end }: Course): Intervals {
  const known = noIntervals();
  for (let i = 0; i < length; i++) append(known, start[i]!, end[i]!);
  return known;
}

/**
 * What is nearer to a limit than this lies on it, so that rounding does not decide whether a surface at exactly
 * 3 K is good enough; no sensor shows as little.
 */
const HAIR = 1e-9;

/** When a course compares with the limit as asked, ends to the millisecond. */
export function timeThatHolds(course: Course, comparison: Comparison, limit: number): Intervals {
  const { length, start, end, value, slope, bend, timeConstant } = course;
  const sign = comparison.startsWith('<') ? 1 : -1;
  const hair = comparison.endsWith('=') ? -HAIR : HAIR;
  const bounds = new Float64Array(4);
  const held = noIntervals();
  for (let i = 0; i < length; i++) {
    const above = sign * (value[i]! - limit) + hair;
    const span = end[i]! - start[i]!;
    const count = belowZero(above, sign * slope[i]!, sign * bend[i]!, timeConstant, span, bounds);
    for (let b = 0; b < count; b += 2) append(held, start[i]! + bounds[b]!, start[i]! + bounds[b + 1]!);
  }
  return held;
}

function emptyCourse(room: number, timeConstant: Milliseconds): Course {
  return {
    length: 0,
    start: new Float64Array(room),
    end: new Float64Array(room),
    value: new Float64Array(room),
    slope: new Float64Array(room),
    bend: new Float64Array(room),
    timeConstant,
  };
}

function put(course: Course, start: Instant, end: Instant, value: number, slope: number, bend: number): void {
  if (!(start < end)) return;
  const row = course.length++;
  course.start[row] = start;
  course.end[row] = end;
  course.value[row] = value;
  course.slope[row] = slope;
  course.bend[row] = bend;
}

// Most courses that are taken from each other have the same pieces: then nothing needs to be computed.

function valueIn({ start, value, slope, bend, timeConstant }: Course, row: number, at: Instant): number {
  if (at === start[row]) return value[row]!;
  return valueAt(at - start[row]!, value[row]!, slope[row]!, bend[row]!, timeConstant);
}

function bendIn({ start, bend, timeConstant }: Course, row: number, at: Instant): number {
  if (bend[row] === 0 || at === start[row]) return bend[row]!;
  return bend[row]! * Math.exp(-(at - start[row]!) / timeConstant);
}
