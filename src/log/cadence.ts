import { type Milliseconds, SECOND } from '../units.js';
import { nextOff } from './intervals.js';

/** Below this share of all intervals the commonest one is chance, and the middle one says more. */
const MODE_SHARE = 0.1;
/** So often an interval must be met to be common at all. */
const COMMON = 2;

/**
 * The nominal time between readings: the commonest interval, to the second.
 *
 * Intervals of zero (two readings of one instant) do not count. Where every interval is another (a clock
 * that wobbles by more than seconds), the median stands in, of two in the middle the shorter.
 *
 * @param time instants [ms], ascending
 * @returns cadence [ms], null with fewer than two different instants
 */
export function inferCadence(time: Float64Array): Milliseconds | null {
  const counts = new Map<number, number>();
  let intervals = 0;
  let last = -1;
  let run = 0; // intervals repeat: count runs of the same before asking the map
  for (let row = 1, next = row; row < time.length; row = next) {
    const step = time[row]! - time[row - 1]!;
    next = nextOff(time, row + 1, step, step);
    if (step <= 0) continue;
    const seconds = Math.max(1, Math.round(step / SECOND));
    intervals += next - row;
    if (seconds !== last) {
      if (run > 0) counts.set(last, (counts.get(last) ?? 0) + run);
      last = seconds;
      run = 0;
    }
    run += next - row;
  }
  if (intervals === 0) return null;
  counts.set(last, (counts.get(last) ?? 0) + run);
  let best = 0;
  let bestCount = 0;
  for (const [seconds, count] of counts) {
    if (count > bestCount || (count === bestCount && seconds < best)) [best, bestCount] = [seconds, count];
  }
  return (bestCount >= Math.max(COMMON, MODE_SHARE * intervals) ? best : middle(counts, intervals)) * SECOND;
}

/** The median of values by their counts; of two in the middle the smaller. */
function middle(counts: ReadonlyMap<number, number>, total: number): number {
  let below = 0;
  for (const [value, count] of [...counts].sort(([a], [b]) => a - b)) {
    below += count;
    if (2 * below >= total) return value;
  }
  return Number.NaN;
}
