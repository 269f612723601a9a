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
  for (let row = 0; row < log.length; row++) {
    const value = values[row]!;
    if ((value < least || value > greatest) && isUsable(flag[row]!)) rows.push(row);
  }
  return rows;
}

/** The value of these rows that lies furthest outside. */
export function furthest(values: Float64Array, rows: readonly number[], [least, greatest]: Range): number {
  let worst = values[rows[0]!]!;
  const excess = (value: number) => Math.max(least - value, value - greatest);
  for (const row of rows) if (excess(values[row]!) > excess(worst)) worst = values[row]!;
  return worst;
}
