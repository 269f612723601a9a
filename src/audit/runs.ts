import { isUsable } from '../log/flag.js';
import type { Milliseconds } from '../units.js';
import type { Points } from './points.js';

/** Neighbouring points without a change, from the first to the last of them. */
export interface Run {
  readonly first: number;
  readonly last: number;
}

export interface Runs {
  /** The stretches of at least as many points as were asked for. */
  readonly long: readonly Run[];
  /**
   * The length [points] that only one stretch in a hundred exceeds, single points among them, and none but the three longest:
   * what is too long is not what is usual. 0 where there are no more than three.
   */
  readonly usual: number;
}

/** So many of the longest stretches do not count as usual. */
const APART = 3;
const SHARE = 0.99;

/**
 * Stretches in which nothing changes.
 *
 * @param least fewest points of a stretch to be listed
 * @param reach points further apart than this are of two stretches [ms]
 * @param both whether the other quantity must stay, too, and be known
 */
export function runsOf(points: Points, least: number, reach: Milliseconds, both: boolean): Runs {
  const { count, rows, times, values, partners, partnerFlags } = points;
  const byLength = new Uint32Array(count + 1);
  const long: Run[] = [];
  let total = 0;
  let first = 0;
  let before = rows[0] ?? 0;
  for (let at = 1; at <= count; at++) {
    if (at < count) {
      const row = rows[at]!;
      const isSame =
        values[row] === values[before] &&
        times[row]! - times[before]! <= reach &&
        (!both ||
          (partners[row] === partners[before] &&
            isUsable(partnerFlags[row]!) &&
            isUsable(partnerFlags[before]!)));
      before = row;
      if (isSame) continue;
    }
    const length = at - first;
    byLength[length]!++;
    total++;
    if (length >= least) long.push({ first, last: at - 1 });
    first = at;
  }
  return { long, usual: usualOf(byLength, total) };
}

function usualOf(byLength: Uint32Array, total: number): number {
  const rank = Math.min(Math.floor(SHARE * total), total - 1 - APART);
  if (rank < 0) return 0;
  let below = 0;
  for (let length = 1; length < byLength.length; length++) {
    below += byLength[length]!;
    if (below > rank) return length;
  }
  return 0;
}
