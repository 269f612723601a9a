import { nextOff } from '../log/intervals.js';
import type { Log } from '../log/log.js';

/** Rows [from, to) of a log that bear the same instant; more than one. */
export interface SameInstant {
  readonly from: number;
  readonly to: number;
}

export function* sameInstants({ time, length }: Log): Generator<SameInstant> {
  for (let to = 1; ; ) {
    const from = nextOff(time, to, Number.MIN_VALUE, Infinity) - 1;
    if (from + 1 >= length) return;
    for (to = from + 2; to < length && time[to] === time[from]; ) to++;
    yield { from, to };
  }
}

/** Whether two values are the same; missing equals missing, and -0 equals 0. */
export function isSame(a: number, b: number): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

/** The first row of each different reading among those of one instant. */
export function differentRows({ temperature, humidity }: Log, { from, to }: SameInstant): number[] {
  const known = new Map<number, Set<number>>(); // humidities by temperature: a stopped clock may have thousands
  const rows: number[] = [];
  for (let row = from; row < to; row++) {
    const humidities = known.get(temperature[row]!) ?? new Set();
    if (humidities.has(humidity[row]!)) continue;
    known.set(temperature[row]!, humidities.add(humidity[row]!));
    rows.push(row);
  }
  return rows;
}

const clear = new WeakMap<Log, Uint32Array>();

/** The first row of each instant of which all readings say the same; made once for every log, and not to be written to. */
export function clearRows(log: Log): Uint32Array {
  const before = clear.get(log);
  if (before !== undefined) return before;
  const rows = new Uint32Array(log.length);
  let count = 0;
  let next = 0;
  for (const instant of sameInstants(log)) {
    count = putRows(rows, count, next, instant.from);
    if (differentRows(log, instant).length === 1) rows[count++] = instant.from;
    next = instant.to;
  }
  count = putRows(rows, count, next, log.length);
  const found = rows.subarray(0, count);
  clear.set(log, found);
  return found;
}

function putRows(rows: Uint32Array, count: number, from: number, until: number): number {
  let at = count;
  for (let row = from; row < until; row++) rows[at++] = row;
  return at;
}
