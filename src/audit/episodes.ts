import { HOUR, type Milliseconds } from '../units.js';
import { type AuditInput, partsOf } from './check.js';

/** Rows no further apart than this many cadences are one episode. */
const APART = 3;
/** Beyond so many episodes the list of them says less than their number. */
const MOST_EPISODES = 20;

/**
 * Rows of the same kind gathered into episodes: stretches of the log in which they follow each other
 * closely. Very many episodes become a single one, so that ten thousand bad values are one finding.
 *
 * @param rows ascending
 * @param time instants of the log [ms]
 */
export function episodesOf(
  rows: readonly number[],
  time: Float64Array,
  cadence: Milliseconds | null,
): number[][] {
  const apart = cadence === null ? HOUR : APART * cadence;
  const episodes: number[][] = [];
  let before = -Infinity;
  for (const row of rows) {
    if (time[row]! - before > apart) episodes.push([]);
    episodes.at(-1)!.push(row);
    before = time[row]!;
  }
  return episodes.length > MOST_EPISODES ? [[...rows]] : episodes;
}

/** The same of a check that learns: no episode reaches over an end of the rows asked for. */
export function episodesIn({ log, cadence, asked }: AuditInput, rows: readonly number[]): number[][] {
  return partsOf(rows, asked).flatMap((part) => episodesOf(part, log.time, cadence));
}

/** "once" is not said: `3 times` or nothing. */
export function times(count: number): string {
  return count === 1 ? '' : `, ${count} times`;
}

/** `1 value`, `2 values`. */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
