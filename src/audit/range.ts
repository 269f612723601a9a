import { isUsable } from '../log/flag.js';
import { flagsOf, type Log, type Measured, valuesOf } from '../log/log.js';
import type { Range } from '../log/sensor.js';
import type { AuditInput } from './check.js';

export const QUANTITIES: readonly Measured[] = ['air_temperature', 'relative_humidity'];

/** As a message says it. */
export function nameOf(quantity: Measured): string {
  return quantity === 'air_temperature' ? 'temperature' : 'humidity';
}

export function unitOf(quantity: Measured): string {
  return quantity === 'air_temperature' ? '°C' : '%';
}

/** Rows with a value that is usable so far and lies outside [least, greatest]. */
export function rowsOutside({ log, flags }: AuditInput, quantity: Measured, range: Range): number[] {
  const [least, greatest] = range;
  const values = valuesOf(log, quantity);
  const flag = flagsOf(flags, quantity);
  const [lowest, highest] = USUAL[quantity];
  return rowsIn(
    least <= lowest && greatest >= highest ? unusualRows(log, quantity) : notWithin(values, range),
    (row) => (values[row]! < least || values[row]! > greatest) && isUsable(flag[row]!),
  );
}

/** Rows in which a quantity is just this. */
export function rowsHolding(log: Log, quantity: Measured, what: number): number[] {
  const values = valuesOf(log, quantity);
  const [least, greatest] = USUAL[quantity];
  if (what < least || what > greatest)
    return rowsIn(unusualRows(log, quantity), (row) => values[row] === what);
  const rows: number[] = [];
  for (let row = values.indexOf(what); row >= 0; row = values.indexOf(what, row + 1)) rows.push(row);
  return rows;
}

/** Rows without a value. */
export function rowsWithout(log: Log, quantity: Measured): number[] {
  const values = valuesOf(log, quantity);
  return rowsIn(unusualRows(log, quantity), (row) => Number.isNaN(values[row]!));
}

/** What nearly all values lie in; of humidities 0, which is no true one more often than not, is left out [°C, %]. */
const USUAL: Readonly<Record<Measured, Range>> = {
  air_temperature: [-40, 50],
  relative_humidity: [Number.MIN_VALUE, 100],
};

/** Stretches of rows: the first of each and the one behind its last, by turns, ascending. */
type Stretches = readonly number[];

const unusual = new WeakMap<Log, Map<Measured, Stretches>>();

/** Rows with an unusual value or none: whoever looks for such finds them here, and all rows are looked at but once. */
function unusualRows(log: Log, quantity: Measured): Stretches {
  const byQuantity = unusual.get(log) ?? new Map<Measured, Stretches>();
  unusual.set(log, byQuantity);
  const rows = byQuantity.get(quantity) ?? notWithin(valuesOf(log, quantity), USUAL[quantity]);
  byQuantity.set(quantity, rows);
  return rows;
}

function notWithin(values: Float64Array, [least, greatest]: Range): number[] {
  const stretches: number[] = [];
  for (let to = 0; ; ) {
    const from = nextNotWithin(values, to, least, greatest);
    if (from === values.length) return stretches;
    to = from + 1;
    while (to < values.length && !(values[to]! >= least && values[to]! <= greatest)) to++;
    stretches.push(from, to);
  }
}

function nextNotWithin(values: Float64Array, from: number, least: number, greatest: number): number {
  for (let row = from; row < values.length; row++)
    if (!(values[row]! >= least && values[row]! <= greatest)) return row;
  return values.length;
}

function rowsIn(stretches: Stretches, isMeant: (row: number) => boolean): number[] {
  const rows: number[] = [];
  for (let i = 0; i < stretches.length; i += 2)
    for (let row = stretches[i]!; row < stretches[i + 1]!; row++) if (isMeant(row)) rows.push(row);
  return rows;
}

/** The value of these rows that lies furthest outside. */
export function furthest(values: Float64Array, rows: readonly number[], [least, greatest]: Range): number {
  let worst = values[rows[0]!]!;
  const excess = (value: number) => Math.max(least - value, value - greatest);
  for (const row of rows) if (excess(values[row]!) > excess(worst)) worst = values[row]!;
  return worst;
}
