import { sampled } from './robust.js';

/** Steps that loggers write: whole and half degrees, whole degrees Fahrenheit, tenths, and finer. */
const LATTICES = [1, 5 / 9, 0.5, 0.2, 0.1, 0.05, 0.01];
/** Rounding of what was written, and of the arithmetic from °F. */
const ROUNDING = 1e-4;
/** So many values must lie on a lattice: single repaired or foreign ones do not hide it. */
const SHARE = 0.95;

/**
 * The step in which values are written: the widest of the usual lattices on which nearly all of the
 * differences between neighbouring values lie.
 *
 * @param values in order of time
 * @param count how many of them
 * @returns step in the unit of the values, 0 where they are finer than 0.01, NaN where they never change
 */
export function resolutionOf(values: Float64Array, count: number): number {
  const steps = sampled(Math.max(0, count - 1), (place) => {
    const step = Math.abs(values[place + 1]! - values[place]!);
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
