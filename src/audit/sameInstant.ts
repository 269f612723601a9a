import type { Log } from '../log/log.js';

/** Rows [from, to) of a log that bear the same instant; more than one. */
export interface SameInstant {
  readonly from: number;
  readonly to: number;
}

export function* sameInstants({ time, length }: Log): Generator<SameInstant> {
  for (let from = 0; from + 1 < length; ) {
    let to = from + 1;
    while (to < length && time[to] === time[from]) to++;
    if (to - from > 1) yield { from, to };
    from = to;
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
