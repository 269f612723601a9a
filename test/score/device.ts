import { type Air, saturation } from './air.js';
import type { Random } from './random.js';

const MINUTE = 60_000;

/** How finely a sensor's numbers are written. */
export interface Grade {
  readonly name: 'fine' | 'coarse';
  /** Decimals of both quantities. */
  readonly decimals: number;
}

/** Coarse is a program that writes whole degrees and per cent. */
export const GRADES: readonly Grade[] = [
  { name: 'fine', decimals: 1 },
  { name: 'coarse', decimals: 0 },
];

/** One line of a log in the making. Faults change it, take it out, move it or put others behind it. */
export interface Row {
  /** When the reading was taken. */
  readonly at: number;
  /** What the clock that stamps it said. */
  stamp: number;
  temperature: number; // as it is written, NaN where a word stands instead
  humidity: number;
  temperatureText: string | null;
  humidityText: string | null;
  /** The whole line, where it is not made of the above. */
  raw: string | null;
  dropped: boolean;
  /** Where it stands in the file: rows are written in this order. */
  order: number;
  behind: Row[];
  /** Its line in the file, once that has been written; 0 before. */
  line: number;
}

/** The nature of one logger. */
export interface Device {
  readonly grade: Grade;
  readonly cadence: number; // ms
  /** Greatest humidity that it can say. */
  readonly rail: number;
  /** How late a stamp may come [ms]: stamps of a server wobble, those of the device do not. */
  readonly wobble: number;
  /** Share of reads that fail and are answered with the values before. */
  readonly repeats: number;
  /** Time that the work of the loop adds to every cadence [ms]. */
  readonly delay: number;
}

/** What a device writes of this air, from `start` on. @param first minute of the air at `start` */
export function readingsOf(random: Random, air: Air, device: Device, start: number, first: number): Row[] {
  const { cadence, grade, delay } = device;
  const phase = random.whole(0, cadence / 1000 - 1) * 1000;
  const warmer = 0.2 * random.normal();
  const moister = random.normal();
  const rows: Row[] = [];
  const end = start + (air.temperature.length - first - 1) * MINUTE;
  let before: Row | null = null;
  for (let at = start + phase; at < end; at += cadence + delay) {
    const minute = first + Math.floor((at - start) / MINUTE);
    const temperature = air.temperature[minute]! + warmer + 0.03 * random.normal();
    const relative = (100 * air.vapour[minute]!) / saturation(air.temperature[minute]!);
    const humidity = Math.min(device.rail, Math.max(0, relative + moister + 0.15 * random.normal()));
    const repeats: boolean = before !== null && random.chance(device.repeats);
    const stamp = at + Math.floor(random.unit() * device.wobble);
    const row: Row = rowOf(
      at,
      stamp,
      repeats ? before!.temperature : rounded(temperature, grade),
      repeats ? before!.humidity : Math.min(device.rail, rounded(humidity, grade)),
    );
    row.order = rows.length;
    rows.push(row);
    before = row;
  }
  return rows;
}

export function rowOf(at: number, stamp: number, temperature: number, humidity: number): Row {
  return {
    at,
    stamp,
    temperature,
    humidity,
    temperatureText: null,
    humidityText: null,
    raw: null,
    dropped: false,
    order: 0,
    behind: [],
    line: 0,
  };
}

export function rounded(value: number, { decimals }: Grade): number {
  return Math.round(value * 10 ** decimals) / 10 ** decimals;
}

/** A value as the device writes it; a fault may have given it more decimals. */
export function written(value: number, { decimals }: Grade): string {
  const text = value.toFixed(decimals);
  return Number(text) === value ? text.replace(/^-(0(\.0)?)$/, '$1') : String(Number(value.toFixed(4)));
}
