import { nextOff } from '../log/intervals.js';
import type { Log } from '../log/log.js';
import { type Pieces, piecesOf, without } from '../log/pieces.js';

/** Rows [from, to) of a log that bear the same instant; more than one. */
export interface SameInstant {
  readonly from: number;
  readonly to: number;
}

/** The first rows of these and the rows behind their last, by turns. */
const bounds = new WeakMap<Log, Uint32Array>();

/** Looked for once for every log: several checks and the cleaning ask. */
export function* sameInstants(log: Log): Generator<SameInstant> {
  const known = bounds.get(log) ?? Uint32Array.from(boundsOf(log));
  bounds.set(log, known);
  for (let i = 0; i < known.length; i += 2) yield { from: known[i]!, to: known[i + 1]! };
}

function boundsOf({ time, length }: Log): number[] {
  const found: number[] = [];
  for (let to = 1; ; ) {
    const from = nextOff(time, to, Number.MIN_VALUE, Infinity) - 1;
    if (from + 1 >= length) return found;
    for (to = from + 2; to < length && time[to] === time[from]; ) to++;
    found.push(from, to);
  }
}

/** Whether two values are the same; missing equals missing, and -0 equals 0. */
export function isSame(a: number, b: number): boolean {
  return a === b || (Number.isNaN(a) && Number.isNaN(b));
}

/** The first row of each different reading among those of one instant. */
export function differentRows({ temperature, humidity }: Log, { from, to }: SameInstant): number[] {
  // nearly always there are two
  if (to === from + 2)
    return isSame(temperature[from]!, temperature[from + 1]!) && isSame(humidity[from]!, humidity[from + 1]!)
      ? [from]
      : [from, from + 1];
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

const clear = new WeakMap<Log, Pieces>();

/** The first row of each instant of which all readings say the same; made once for every log. */
export function clearRows(log: Log): Pieces {
  const before = clear.get(log);
  if (before !== undefined) return before;
  const out: number[] = [];
  for (const instant of sameInstants(log))
    out.push(differentRows(log, instant).length === 1 ? instant.from + 1 : instant.from, instant.to);
  const found = without(piecesOf(log.length === 0 ? [] : [0, log.length]), out);
  clear.set(log, found);
  return found;
}
