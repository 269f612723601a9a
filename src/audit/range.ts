import { isUsable } from '../log/flag.js';
import { flagsOf, type Measured, valuesOf } from '../log/log.js';
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
export function rowsOutside(
  { log, flags }: AuditInput,
  quantity: Measured,
  [least, greatest]: Range,
): number[] {
  const values = valuesOf(log, quantity);
  const flag = flagsOf(flags, quantity);
  const rows: number[] = [];
  for (let row = nextOutside(values, 0, least, greatest); row < values.length; ) {
    if (isUsable(flag[row]!)) rows.push(row);
    row = nextOutside(values, row + 1, least, greatest);
  }
  return rows;
}

function nextOutside(values: Float64Array, from: number, least: number, greatest: number): number {
  for (let row = from; row < values.length; row++)
    if (values[row]! < least || values[row]! > greatest) return row;
  return values.length;
}

/** Rows in which a column holds just this. */
export function rowsHolding(column: Float64Array | Uint8Array, what: number): number[] {
  const rows: number[] = [];
  for (let row = column.indexOf(what); row >= 0; row = column.indexOf(what, row + 1)) rows.push(row);
  return rows;
}

/** The value of these rows that lies furthest outside. */
export function furthest(values: Float64Array, rows: readonly number[], [least, greatest]: Range): number {
  let worst = values[rows[0]!]!;
  const excess = (value: number) => Math.max(least - value, value - greatest);
  for (const row of rows) if (excess(values[row]!) > excess(worst)) worst = values[row]!;
  return worst;
}
