import { Flag, isUsable } from '../log/flag.js';
import { flagsOf, type Log, type Measured, valuesOf } from '../log/log.js';
import type { AuditInput, Mark } from './check.js';
import { isSame } from './sameInstant.js';

/** Values of a quantity in order of time, one per instant: what can be compared with what stands beside it. */
export interface Points {
  readonly quantity: Measured;
  readonly count: number;
  /** The row of each. */
  readonly rows: Uint32Array;
  readonly time: Float64Array;
  readonly value: Float64Array;
  /** The other quantity of the same reading, NaN where it cannot be used. */
  readonly partner: Float64Array;
}

/**
 * The usable values of a log. Readings of one instant that say the same count once; of those that differ none is
 * taken, since which of them is true is another check's question.
 *
 * @param worst values with a worse flag than this are left out
 */
export function pointsOf(input: AuditInput, quantity: Measured, worst: Flag = Flag.questionable): Points {
  const byWish = known.get(input) ?? new Map<string, Points>();
  known.set(input, byWish);
  const wish = `${quantity} ${worst}`;
  const points = byWish.get(wish) ?? gathered(input, quantity, worst);
  byWish.set(wish, points);
  return points;
}

/** What was gathered before: checks follow each other on the same input as long as none of them sets a flag. */
const known = new WeakMap<AuditInput, Map<string, Points>>();

function gathered({ log, flags }: AuditInput, quantity: Measured, worst: Flag): Points {
  const other = otherThan(quantity);
  const values = valuesOf(log, quantity);
  const partners = valuesOf(log, other);
  const flag = flagsOf(flags, quantity);
  const partnerFlag = flagsOf(flags, other);
  const { time, length } = log;
  const rows = new Uint32Array(length);
  let count = 0;
  let all = true; // whether the partner of every point can be used
  for (let row = 0; row < length; row++) {
    const instant = time[row]!;
    if (row + 1 < length && time[row + 1] === instant) {
      const first = row;
      let alike = true;
      for (; row + 1 < length && time[row + 1] === instant; row++)
        alike &&= isSame(values[first]!, values[row + 1]!) && isSame(partners[first]!, partners[row + 1]!);
      if (!alike) continue;
      if (!isGood(values[first]!, flag[first]!, worst)) continue;
      if (partnerFlag[first]! > Flag.questionable) all = false;
      rows[count++] = first;
      continue;
    }
    if (!isGood(values[row]!, flag[row]!, worst)) continue;
    if (partnerFlag[row]! > Flag.questionable) all = false;
    rows[count++] = row;
  }
  if (count === length && all) return { quantity, count, rows, time, value: values, partner: partners };
  const points = {
    quantity,
    count,
    rows,
    time: new Float64Array(count),
    value: new Float64Array(count),
    partner: new Float64Array(count),
  };
  for (let at = 0; at < count; at++) {
    const row = rows[at]!;
    points.time[at] = time[row]!;
    points.value[at] = values[row]!;
    points.partner[at] = isUsable(partnerFlag[row]!) ? partners[row]! : NaN;
  }
  return points;
}

/** Of the flags, those for bad and missing are the greatest. */
function isGood(value: number, flag: number, worst: Flag): boolean {
  return !Number.isNaN(value) && flag <= worst;
}

export function otherThan(quantity: Measured): Measured {
  return quantity === 'air_temperature' ? 'relative_humidity' : 'air_temperature';
}

/** The points before each of these places, and after the last of them. */
export function pointsApart(points: Points, places: readonly number[]): Points[] {
  if (places.length === 0) return [points];
  const { quantity, count, rows, time, value, partner } = points;
  return [0, ...places].map((from, i) => {
    const to = places[i] ?? count;
    return {
      quantity,
      count: to - from,
      rows: rows.subarray(from, to),
      time: time.subarray(from, to),
      value: value.subarray(from, to),
      partner: partner.subarray(from, to),
    };
  });
}

/** The rows of these points, and those that repeat them. */
export function rowsAt({ rows }: Points, log: Log, places: Iterable<number>): number[] {
  const all: number[] = [];
  for (const place of places) {
    let row = rows[place]!;
    const instant = log.time[row];
    for (; log.time[row] === instant; row++) all.push(row);
  }
  return all;
}

/** How many instants these rows have, ascending: readings of one instant count once. */
export function instantsOf(rows: readonly number[], { time }: Log): number {
  return rows.reduce((count, row, i) => (i > 0 && time[row] === time[rows[i - 1]!] ? count : count + 1), 0);
}

/**
 * Marks against these rows, but for the values that came with a flag: what is compared with the rest of
 * the log looks different once the log is cleaned, and a log that is cleaned again must stay as it is.
 */
export function judgement(log: Log, quantity: Measured, rows: readonly number[], flag: Flag): Mark {
  const carried = log.inputFlags === null ? null : flagsOf(log.inputFlags, quantity);
  return { quantity, rows: carried === null ? rows : rows.filter((row) => carried[row] === 0), flag };
}

/** Value at an instant on the straight line between two points. */
export function lineAt(time: Float64Array, values: Float64Array, a: number, b: number, at: number): number {
  const t0 = time[a]!;
  return values[a]! + ((values[b]! - values[a]!) * (time[at]! - t0)) / (time[b]! - t0);
}
