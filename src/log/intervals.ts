import type { Milliseconds } from '../units.js';

/**
 * The first row from `from` on, 1 or more, that comes sooner or later after the one before it than it should; the
 * number of rows where there is none. Most rows of most logs are passed over so, by whoever asks for what time.
 *
 * @param time instants [ms], ascending
 * @param shortest interval that is passed over [ms]
 * @param longest and the longest
 */
export function nextOff(
  time: Float64Array,
  from: number,
  shortest: Milliseconds,
  longest: Milliseconds,
): number {
  for (let row = from; row < time.length; row++) {
    const interval = time[row]! - time[row - 1]!;
    if (interval < shortest || interval > longest) return row;
  }
  return time.length;
}
