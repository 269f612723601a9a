import type { Period } from '../calendar/period.js';
import type { Instant, Milliseconds } from '../units.js';
import { alongJoined, type JoinedTime } from './joined.js';

/** Extremes and integral of one column of values, an entry per period. */
export interface ColumnSummary extends JoinedTime {
  /** Smallest and largest of the readings, and when each was first met; NaN where there is none. */
  readonly min: Float64Array;
  readonly minTime: Float64Array;
  readonly max: Float64Array;
  readonly maxTime: Float64Array;
  /** Integral over the known time inside the period [value × ms]. */
  readonly integral: Float64Array;
}

/**
 * Extremes come from the readings themselves, the integral from the straight lines between joined ones, cut at the
 * periods' ends.
 *
 * @param time instants [ms], ascending
 * @param values a value per instant, NaN where missing
 * @param periods in order of time, none overlapping another
 * @param bridge bridging limit [ms]
 */
export function summariseColumn(
  time: Float64Array,
  values: Float64Array,
  periods: readonly Period[],
  bridge: Milliseconds,
): ColumnSummary {
  const nothing = () => new Float64Array(periods.length).fill(Number.NaN);
  const [min, minTime, max, maxTime] = [nothing(), nothing(), nothing(), nothing()];
  const integral = new Float64Array(periods.length);
  const found = new Float64Array(3);
  const { readings, covered, longestHole } = alongJoined(time, values, values, periods, bridge, {
    run(first, last, p) {
      walk(time, values, first, last, found);
      note(min, minTime, p, values, time, found[LEAST]!, -1);
      note(max, maxTime, p, values, time, found[MOST]!, 1);
      integral[p]! += found[AREA]!;
    },
    step(before, after, start, end, p) {
      integral[p]! += areaUnder(values[before]!, values[after]!, time[before]!, time[after]!, start, end);
    },
  });
  return { readings, covered, longestHole, min, minTime, max, maxTime, integral };
}

/** The integral from `start` to `end` under the straight line between two values and their instants. */
export function areaUnder(
  before: number,
  after: number,
  from: Instant,
  until: Instant,
  start: Instant,
  end: Instant,
): number {
  return (before + ((after - before) / (until - from)) * ((start + end) / 2 - from)) * (end - start);
}

/** Where `walk` leaves the rows of the extremes, and the integral. */
const LEAST = 0;
const MOST = 1;
const AREA = 2;

/** The first of the smallest and of the largest values in the rows [first, last], and the integral over them. */
function walk(
  time: Float64Array,
  values: Float64Array,
  first: number,
  last: number,
  found: Float64Array,
): void {
  let least = first;
  let most = first;
  let before = values[first]!;
  let min = before;
  let max = before;
  let twice = 0;
  for (let row = first + 1; row <= last; row++) {
    const value = values[row]!;
    twice += (before + value) * (time[row]! - time[row - 1]!);
    if (value < min) {
      min = value;
      least = row;
    } else if (value > max) {
      max = value;
      most = row;
    }
    before = value;
  }
  found[LEAST] = least;
  found[MOST] = most;
  found[AREA] = twice / 2;
}

/** Takes the value of a row where none was met so far in the period that lies as far in this direction. */
function note(
  extreme: Float64Array,
  met: Float64Array,
  p: number,
  values: Float64Array,
  time: Float64Array,
  row: number,
  direction: -1 | 1,
): void {
  // written so that the first value, compared with NaN, is taken
  if (direction * values[row]! <= direction * extreme[p]!) return;
  extreme[p] = values[row]!;
  met[p] = time[row]!;
}
