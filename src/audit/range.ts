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
  const rows = least <= lowest && greatest >= highest ? unusualRows(log, quantity) : outside(values, range);
  return rows.filter((row) => (values[row]! < least || values[row]! > greatest) && isUsable(flag[row]!));
}

/** Rows in which a quantity is just this. */
export function rowsHolding(log: Log, quantity: Measured, what: number): number[] {
  const values = valuesOf(log, quantity);
  const [least, greatest] = USUAL[quantity];
  if (what < least || what > greatest)
    return unusualRows(log, quantity).filter((row) => values[row] === what);
  const rows: number[] = [];
  for (let row = values.indexOf(what); row >= 0; row = values.indexOf(what, row + 1)) rows.push(row);
  return rows;
}

/** What nearly all values lie in; of humidities 0, which is no true one more often than not, is left out [°C, %]. */
const USUAL: Readonly<Record<Measured, Range>> = {
  air_temperature: [-40, 50],
  relative_humidity: [Number.MIN_VALUE, 100],
};

const unusual = new WeakMap<Log, Map<Measured, readonly number[]>>();

/** Rows with an unusual value: several checks look at them, and all rows are looked at but once. */
function unusualRows(log: Log, quantity: Measured): readonly number[] {
  const byQuantity = unusual.get(log) ?? new Map<Measured, readonly number[]>();
  unusual.set(log, byQuantity);
  const rows = byQuantity.get(quantity) ?? outside(valuesOf(log, quantity), USUAL[quantity]);
  byQuantity.set(quantity, rows);
  return rows;
}

function outside(values: Float64Array, [least, greatest]: Range): number[] {
  const rows: number[] = [];
  for (let row = nextOutside(values, 0, least, greatest); row < values.length; ) {
    rows.push(row);
    row = nextOutside(values, row + 1, least, greatest);
  }
  return rows;
}

function nextOutside(values: Float64Array, from: number, least: number, greatest: number): number {
  for (let row = from; row < values.length; row++)
    if (values[row]! < least || values[row]! > greatest) return row;
  return values.length;
}

/** The value of these rows that lies furthest outside. */
export function furthest(values: Float64Array, rows: readonly number[], [least, greatest]: Range): number {
  let worst = values[rows[0]!]!;
  const excess = (value: number) => Math.max(least - value, value - greatest);
  for (const row of rows) if (excess(values[row]!) > excess(worst)) worst = values[row]!;
  return worst;
}
