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

/** Whether two readings say the same; missing equals missing. */
export function sameValues({ temperature, humidity }: Log, a: number, b: number): boolean {
  return Object.is(temperature[a], temperature[b]) && Object.is(humidity[a], humidity[b]);
}

/** The first row of each different reading among those of one instant. */
export function differentRows(log: Log, { from, to }: SameInstant): number[] {
  const rows = [from];
  for (let row = from + 1; row < to; row++) {
    if (!rows.some((known) => sameValues(log, known, row))) rows.push(row);
  }
  return rows;
}
