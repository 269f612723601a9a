import type { Milliseconds } from '../units.js';
import { firstNear } from './span.js';

/** In fewer rows than this looking at each is soon done. */
const WORTHWHILE = 10_000;
/** So many intervals are asked which is the usual one. */
const ASKED = 9;
/** Where more than this share of all intervals are others, a list of them saves nothing. */
const MOST = 1 / 8;

/** The rows of a column that come after another interval than nearly all, ascending. */
interface Unusual {
  readonly usual: Milliseconds;
  readonly rows: Uint32Array;
  /** Where among them is the one that will be asked for next, nearly always. */
  next: number;
}

const known = new WeakMap<Float64Array, Unusual | null>();

/**
 * The first row from `from` on, 1 or more, that comes sooner or later after the one before it than it should; the
 * number of rows where there is none. Most rows of most logs are passed over so, by whoever asks for what time: all of
 * them are looked at but once.
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
  const unusual = unusualOf(time);
  if (unusual === null || unusual.usual < shortest || unusual.usual > longest)
    return nextOfAll(time, from, shortest, longest);
  const { rows } = unusual;
  for (let next = firstNear(rows, from, unusual.next); next < rows.length; next++) {
    const row = rows[next]!;
    const interval = time[row]! - time[row - 1]!;
    if (interval >= shortest && interval <= longest) continue;
    unusual.next = next + 1;
    return row;
  }
  return time.length;
}

function nextOfAll(time: Float64Array, from: number, shortest: Milliseconds, longest: Milliseconds): number {
  for (let row = from; row < time.length; row++) {
    const interval = time[row]! - time[row - 1]!;
    if (interval < shortest || interval > longest) return row;
  }
  return time.length;
}

function unusualOf(time: Float64Array): Unusual | null {
  const { length } = time;
  if (length < WORTHWHILE) return null;
  const before = known.get(time);
  if (before !== undefined) return before;
  const usual = usualOf(time);
  const rows: number[] = [];
  const most = MOST * length;
  for (
    let row = nextOfAll(time, 1, usual, usual);
    row < length;
    row = nextOfAll(time, row + 1, usual, usual)
  ) {
    rows.push(row);
    if (rows.length > most) break;
  }
  const unusual = rows.length > most ? null : { usual, rows: Uint32Array.from(rows), next: 0 };
  known.set(time, unusual);
  return unusual;
}

/** An interval in the middle of some that lie all over the column: where nearly all are alike, it is like them. */
function usualOf(time: Float64Array): Milliseconds {
  const stride = Math.floor((time.length - 1) / ASKED);
  const intervals = Float64Array.from({ length: ASKED }, (_, i) => time[1 + i * stride]! - time[i * stride]!);
  return intervals.sort()[ASKED >> 1]!;
}
