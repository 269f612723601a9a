import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { firstFrom, type Rows } from './span.js';

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

/**
 * The rows that tell of a stretch made of periods: those in it, and those around it that may be joined to one in it
 * or to each other across it.
 *
 * @param time instants, ascending
 * @param periods in order of time
 * @param bridge bridging limit [ms]
 */
export function rowsTelling(
  time: Float64Array,
  periods: readonly { readonly start: Instant; readonly end: Instant }[],
  bridge: Milliseconds,
): Rows {
  if (periods.length === 0) return { first: 0, end: 0 };
  return {
    first: firstFrom(time, periods[0]!.start - bridge),
    end: firstFrom(time, periods[periods.length - 1]!.end + bridge + 1),
  };
}
