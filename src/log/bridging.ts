import { HOUR, type Milliseconds } from '../units.js';

/** Longest time over which two readings are joined by a straight line unless told otherwise. */
const CEILING: Milliseconds = 3 * HOUR;
const CADENCES = 2;

/**
 * The bridging limit: how far two neighbouring good readings may lie apart for the time
 * between them to count as known. Longer stretches are unknown time.
 *
 * @param cadence nominal time between readings [ms], null where the log has none
 * @returns limit [ms]: twice the cadence, never over 3 h (project rule)
 */
export function bridgingLimit(cadence: Milliseconds | null): Milliseconds {
  return cadence === null ? CEILING : Math.min(CADENCES * cadence, CEILING);
}

/**
 * The first row from `row` on that carries a value. Unusable readings between two good ones are
 * passed over, so the good ones are neighbours.
 *
 * @returns row number; `values.length` where no further value follows
 */
export function nextGood(values: Float64Array, row: number): number {
  let next = row;
  while (next < values.length && Number.isNaN(values[next]!)) next++;
  return next;
}
