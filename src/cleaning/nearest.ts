import { isUsable } from '../log/flag.js';
import type { Flags, Log } from '../log/log.js';
import type { Kelvin, Percent } from '../units.js';

/** What counts as one unit of deviation. */
export interface Deviation {
  readonly temperature: Kelvin;
  readonly humidity: Percent;
}

/**
 * Of readings of one instant, the one nearest to the straight line between the usable readings before and
 * after that instant; of equally near ones the coldest, then the driest.
 *
 * @param rows rows of one instant, all with as many usable values
 */
export function nearest(log: Log, flags: Flags, rows: readonly number[], unit: Deviation): number {
  const first = rows[0]!;
  const temperature = expected(log.time, log.temperature, flags.temperature, first);
  const humidity = expected(log.time, log.humidity, flags.humidity, first);
  const distance = (row: number) =>
    off(log.temperature[row]!, flags.temperature[row]!, temperature, unit.temperature) +
    off(log.humidity[row]!, flags.humidity[row]!, humidity, unit.humidity);
  const rank = (row: number) => [distance(row), log.temperature[row]!, log.humidity[row]!];
  return rows.reduce((best, row) => (isBefore(rank(row), rank(best)) ? row : best));
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

/** The value on the line between the usable values around the instant of `row`; the only one; or NaN. */
function expected(time: Float64Array, values: Float64Array, flags: Uint8Array, row: number): number {
  const at = time[row]!;
  const good = (other: number) => isUsable(flags[other]!) && !Number.isNaN(values[other]);
  let before = row;
  while (before >= 0 && (time[before] === at || !good(before))) before--;
  let after = row;
  while (after < time.length && (time[after] === at || !good(after))) after++;
  if (before < 0) return after < time.length ? values[after]! : NaN;
  if (after >= time.length) return values[before]!;
  const share = (at - time[before]!) / (time[after]! - time[before]!);
  return values[before]! + share * (values[after]! - values[before]!);
}
