import { linesOf } from '../../src/log/lines.js';
import type { Log } from '../../src/log/log.js';
import { HOUR, MINUTE } from '../../src/units.js';

export type Row = readonly [time: number, temperature: number, humidity: number];

/** A cleaned log of the given rows. */
export function logOf(rows: readonly Row[]): Log {
  return {
    logger: 'sail-loft',
    sources: ['sail-loft.csv'],
    length: rows.length,
    time: Float64Array.from(rows, ([time]) => time),
    temperature: Float64Array.from(rows, ([, temperature]) => temperature),
    humidity: Float64Array.from(rows, ([, , humidity]) => humidity),
    lines: linesOf(rows.map((_, row) => row + 2)),
    source: new Uint16Array(rows.length),
    inputFlags: null,
  };
}

/** A log with a reading every `cadence` from `from` up to and with `until`. */
export function sampled(
  from: number,
  until: number,
  cadence: number,
  air: (time: number) => readonly [temperature: number, humidity: number],
): Log {
  const rows: Row[] = [];
  for (let time = from; time <= until; time += cadence) rows.push([time, ...air(time)]);
  return logOf(rows);
}

export const hours = (count: number) => count * HOUR;
export const minutes = (count: number) => count * MINUTE;

/** Periods that end where the next one starts. */
export function tiles(...bounds: number[]): { start: number; end: number }[] {
  return bounds.slice(1).map((end, i) => ({ start: bounds[i]!, end }));
}
