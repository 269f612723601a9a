import { isUsable } from '../log/flag.js';
import type { Flags, Log } from '../log/log.js';
import type { Accuracy } from '../log/sensor.js';
import { HOUR, type Milliseconds } from '../units.js';

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
  const temperature = courseOf(log.time, log.temperature, flags.temperature);
  const humidity = courseOf(log.time, log.humidity, flags.humidity);
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

/**
 * The line between the usable values around an instant: its value there; where there are usable
 * values on one side only, the nearest of them; or NaN. Values out of reach do not count.
 */
function courseOf(time: Float64Array, values: Float64Array, flags: Uint8Array): (at: number) => number {
  const anchors = anchorsOf(time, values, flags);
  const { length } = anchors;
  return (at) => {
    let low = 0; // the first anchor not before the instant
    let high = length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (time[anchors[middle]!]! < at) low = middle + 1;
      else high = middle;
    }
    const within = (anchor: number | undefined) =>
      anchor !== undefined && Math.abs(time[anchor]! - at) <= REACH ? anchor : undefined;
    const before = within(anchors[low - 1]);
    const after = within(anchors[low < length && time[anchors[low]!] === at ? low + 1 : low]);
    if (before === undefined) return after === undefined ? NaN : values[after]!;
    if (after === undefined) return values[before]!;
    const share = (at - time[before]!) / (time[after]! - time[before]!);
    return values[before]! + share * (values[after]! - values[before]!);
  };
}

/** One row for each instant of which the usable values are all the same. */
function anchorsOf(time: Float64Array, values: Float64Array, flags: Uint8Array): Uint32Array {
  const anchors = new Uint32Array(values.length);
  let count = 0;
  for (let from = 0; from < values.length; ) {
    let anchor = -1;
    let several = false;
    let to = from;
    for (; time[to] === time[from]; to++) {
      if (Number.isNaN(values[to]) || !isUsable(flags[to]!)) continue;
      if (anchor < 0) anchor = to;
      else if (values[to] !== values[anchor]) several = true;
    }
    if (anchor >= 0 && !several) anchors[count++] = anchor;
    from = to;
  }
  return anchors.subarray(0, count);
}
