import { type Pieces, rowAt } from '../log/pieces.js';
import { type Points, valueAt } from './points.js';
import { sampled } from './robust.js';
import { nextStep } from './steps.js';

/** Steps that loggers write: whole and half degrees, whole degrees Fahrenheit, tenths, and finer. */
const LATTICES = [1, 5 / 9, 0.5, 0.2, 0.1, 0.05, 0.01];
/** Rounding of what was written, and of the arithmetic from °F. */
const ROUNDING = 1e-4;
/** So many values must lie on a lattice: single repaired or foreign ones do not hide it. */
const SHARE = 0.95;

/** So many changes from one whole number to another are no chance where values have tenths (project rule). */
const WHOLE_CHANGES = 24;
/** Values with a fraction among whole ones: repaired and foreign ones, if they are so few or such a part. */
const FEW = { count: 3, share: 1 - SHARE };

/**
 * Where a log changes from finer steps to whole numbers or back, as after a change of its sensor or its program.
 *
 * @returns places at which another part begins, ascending; none where the log is written alike throughout
 */
export function stepChanges(points: Points): number[] {
  const { count } = points;
  const stretches = wholeStretches(points);
  if (stretches.length === 0) return [];
  const places: number[] = [];
  let known = 0; // as far as whole numbers, or something else, have been told of
  for (const { from, to } of [...stretches, { from: count, to: count }]) {
    const few = Math.max(FEW.count, FEW.share * (from - known));
    let odd = 0;
    for (let at = known; at < from && odd <= few; at++) if (!Number.isInteger(valueAt(points, at))) odd++;
    if (odd > few) places.push(known, from);
    known = to;
  }
  return places.filter((place) => place > 0 && place < count);
}

/** Stretches of whole numbers with so many changes; from one to another it is a wide step. */
function wholeStretches(points: Points): { from: number; to: number }[] {
  const { count } = points;
  const stretches: { from: number; to: number }[] = [];
  for (let at = nextStep(points, 1, 1), to = 0; at < count; at = nextStep(points, Math.max(at, to) + 1, 1)) {
    if (!Number.isInteger(valueAt(points, at))) continue;
    let from = at;
    while (from > to && Number.isInteger(valueAt(points, from - 1))) from--;
    let changes = 0;
    let before = valueAt(points, from);
    for (to = from + 1; to < count; to++) {
      const value = valueAt(points, to);
      if (!Number.isInteger(value)) break;
      if (value !== before) changes++;
      before = value;
    }
    if (changes >= WHOLE_CHANGES) stretches.push({ from, to });
  }
  return stretches;
}

/**
 * The step in which values are written: the widest of the usual lattices on which nearly all of the
 * differences between neighbouring values lie.
 *
 * @param values in order of time
 * @param count how many of them
 * @param rows the place of each in `values`; absent where they stand one after the other
 * @returns step in the unit of the values, 0 where they are finer than 0.01, NaN where they never change
 */
export function resolutionOf(values: Float64Array, count: number, rows?: Pieces): number {
  const steps = sampled(Math.max(0, count - 1), (place) => {
    const step = Math.abs(values[placeOf(place + 1, rows)]! - values[placeOf(place, rows)]!);
    return step < ROUNDING ? NaN : step;
  });
  if (steps.length === 0) return NaN;
  for (const lattice of LATTICES) {
    let fitting = 0;
    for (const step of steps)
      if (Math.abs(step / lattice - Math.round(step / lattice)) <= ROUNDING / lattice) fitting++;
    if (fitting > SHARE * steps.length) return lattice;
  }
  return 0;
}

const placeOf = (at: number, rows: Pieces | undefined) => (rows === undefined ? at : rowAt(rows, at));
