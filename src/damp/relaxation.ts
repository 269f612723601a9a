import type { Milliseconds } from '../units.js';

/**
 * A course that drifts along a straight line while an initial difference dies away:
 *
 *     value(t) = start + slope · t + bend · (exp(−t / timeConstant) − 1)
 *
 * It is the temperature of a mass under air that changes linearly, and that minus any straight line. Its
 * curvature has the sign of `bend` throughout, so it has at most one turning point and two zeros.
 * With `bend` 0 it is a straight line and the time constant does not matter.
 *
 * @param t time since the start [ms], 0 or more
 * @param slope per ms
 */
export function valueAt(
  t: Milliseconds,
  start: number,
  slope: number,
  bend: number,
  timeConstant: Milliseconds,
): number {
  // expm1 keeps the digits that exp(−t/τ) − 1 would lose for a heavy mass.
  return bend === 0 ? start + slope * t : start + slope * t + bend * Math.expm1(-t / timeConstant);
}

/** Where the course turns: lowest if `bend` is above 0, else highest. NaN if before the start or never. */
export function turningPoint(slope: number, bend: number, timeConstant: Milliseconds): Milliseconds {
  const left = (slope * timeConstant) / bend;
  return left > 0 && left < 1 ? -timeConstant * Math.log(left) : Number.NaN;
}

/**
 * The stretches of 0..`length` in which the course lies below zero, ends rounded to whole milliseconds.
 *
 * @param bounds receives starts and ends in turn; room for four
 * @returns how many bounds there are: 0, 2 or 4
 */
export function belowZero(
  start: number,
  slope: number,
  bend: number,
  timeConstant: Milliseconds,
  length: Milliseconds,
  bounds: Float64Array,
): number {
  const end = valueAt(length, start, slope, bend, timeConstant);
  const turn = bend === 0 ? Number.NaN : turningPoint(slope, bend, timeConstant);
  const turns = turn < length;
  const extreme = turns ? valueAt(turn, start, slope, bend, timeConstant) : end;

  let count = 0;
  if (start < 0) bounds[count++] = 0;
  if (start < 0 !== extreme < 0) {
    bounds[count++] = zeroBetween(0, turns ? turn : length, start, extreme, start, slope, bend, timeConstant);
  }
  if (extreme < 0 !== end < 0) {
    bounds[count++] = zeroBetween(turn, length, extreme, end, start, slope, bend, timeConstant);
  }
  if (end < 0) bounds[count++] = length;
  return count;
}

/** A last step shorter than this moves the rounded zero by a millisecond at most. */
const CLOSE_ENOUGH: Milliseconds = 0.01;
/** Bisection alone gets from three hours down to that in 30 steps. */
const STEPS = 60;

/**
 * The one zero between `low` and `high`, where the course has the values `first` and `last`: Newton from where the
 * chord has it, or bisection where that would leave the bracket.
 */
function zeroBetween(
  low: Milliseconds,
  high: Milliseconds,
  first: number,
  last: number,
  start: number,
  slope: number,
  bend: number,
  timeConstant: Milliseconds,
): Milliseconds {
  if (bend === 0) return Math.round(-start / slope);
  const falling = last < 0;
  let [before, after] = [low, high];
  let t = low + (high - low) * (first / (first - last));
  for (let step = 0; step < STEPS; step++) {
    const decay = Math.expm1(-t / timeConstant);
    const value = start + slope * t + bend * decay; // `valueAt`
    if (value < 0 === falling) after = t;
    else before = t;
    const gradient = slope - (bend / timeConstant) * (1 + decay);
    const newton = t - value / gradient;
    const next = newton >= before && newton <= after ? newton : (before + after) / 2;
    const moved = Math.abs(next - t);
    t = next;
    if (moved < CLOSE_ENOUGH) break;
  }
  return Math.round(t);
}
