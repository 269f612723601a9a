import { isUsable } from '../log/flag.js';
import type { Flags, Log } from '../log/log.js';
import type { Accuracy } from '../log/sensor.js';
import { firstFrom } from '../log/span.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';

/**
 * No further off are neighbours looked for, the most that two readings are ever joined over: so a window with
 * as much around it decides as the whole log does.
 */
const REACH: Milliseconds = 3 * HOUR;

/**
 * Chooses among readings of one instant the one nearest to the straight line between the usable readings
 * before and after that instant; of equally near ones the coldest, then the driest, then the one with the
 * worse flags. Readings at instants with several different values say nothing about their neighbours.
 *
 * @returns for rows of one instant, all with as many usable values, the row that is to stay
 */
export function nearestIn(log: Log, flags: Flags, unit: Accuracy): (rows: readonly number[]) => number {
  const temperature = courseOf({ time: log.time, values: log.temperature, flags: flags.temperature });
  const humidity = courseOf({ time: log.time, values: log.humidity, flags: flags.humidity });
  return (rows) => {
    const at = log.time[rows[0]!]!;
    const [warmth, damp] = [temperature(at), humidity(at)];
    const distance = (row: number) =>
      off(log.temperature[row]!, flags.temperature[row]!, warmth, unit.temperature) +
      off(log.humidity[row]!, flags.humidity[row]!, damp, unit.humidity);
    const rank = (row: number) => [
      distance(row),
      log.temperature[row]!,
      log.humidity[row]!,
      -flags.temperature[row]!,
      -flags.humidity[row]!,
    ];
    return rows.reduce((best, row) => (isBefore(rank(row), rank(best)) ? row : best));
  };
}

/** NaN stands behind every number. */
function isBefore(a: readonly number[], b: readonly number[]): boolean {
  for (let i = 0; i < a.length; i++) {
    const [left, right] = [a[i]!, b[i]!].map((value) => (Number.isNaN(value) ? Infinity : value)) as [
      number,
      number,
    ];
    if (left !== right) return left < right;
  }
  return false;
}

function off(value: number, flag: number, from: number, unit: number): number {
  if (Number.isNaN(from) || Number.isNaN(value) || !isUsable(flag)) return 0;
  return Math.abs(value - from) / (unit > 0 ? unit : 1);
}

/** One quantity of a log. */
interface Column {
  readonly time: Float64Array;
  readonly values: Float64Array;
  readonly flags: Uint8Array;
}

/**
 * The line between the usable values around an instant: its value there; where there are usable
 * values on one side only, the nearest of them; or NaN. Values out of reach do not count.
 */
function courseOf(column: Column): (at: Instant) => number {
  const { time, values } = column;
  return (at) => {
    const here = firstFrom(time, at);
    const before = anchorBefore(column, here, at);
    const after = anchorBehind(column, here, at);
    if (before < 0) return after < 0 ? Number.NaN : values[after]!;
    if (after < 0) return values[before]!;
    const share = (at - time[before]!) / (time[after]! - time[before]!);
    return values[before]! + share * (values[after]! - values[before]!);
  };
}

// An anchor is a row of an instant at which all usable values are the same. -1 stands for none within reach.

function anchorBefore(column: Column, here: number, at: Instant): number {
  const { time } = column;
  for (let from = here, to = here; to > 0 && at - time[to - 1]! <= REACH; to = from) {
    while (from > 0 && time[from - 1] === time[to - 1]) from--;
    const anchor = anchorIn(column, from, to);
    if (anchor >= 0) return anchor;
  }
  return -1;
}

function anchorBehind(column: Column, here: number, at: Instant): number {
  const { time } = column;
  for (let from = here, to = here; from < time.length && time[from]! - at <= REACH; from = to) {
    while (to < time.length && time[to] === time[from]) to++;
    const anchor = time[from] === at ? -1 : anchorIn(column, from, to);
    if (anchor >= 0) return anchor;
  }
  return -1;
}

/** @param from, to the rows of one instant */
function anchorIn({ values, flags }: Column, from: number, to: number): number {
  let anchor = -1;
  for (let row = from; row < to; row++) {
    if (Number.isNaN(values[row]!) || !isUsable(flags[row]!)) continue;
    if (anchor >= 0 && values[row] !== values[anchor]) return -1;
    if (anchor < 0) anchor = row;
  }
  return anchor;
}
