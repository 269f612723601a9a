import { formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import type { Change } from '../cleaning/changes.js';
import type { Cleaned } from '../cleaning/clean.js';
import { rounded } from '../figures.js';
import type { AirModel } from '../psychrometry/airModel.js';
import type { Quantity } from '../psychrometry/quantities.js';
import type { Celsius, Hectopascal, Percent } from '../units.js';

/** The first columns of the cleaned file; a contract, and what the reader knows its own files by. */
const COLUMNS = [
  'time',
  'logger',
  'air_temperature_degC',
  'relative_humidity_pct',
  'air_temperature_flag',
  'relative_humidity_flag',
] as const;

export const CHANGE_COLUMNS = ['source', 'line', 'field', 'before', 'after', 'reason'] as const;

/** Quantities to be added to each reading, and the air that they are computed for. */
export interface Derived {
  readonly quantities: readonly Quantity[];
  readonly pressure: Hectopascal;
  readonly model: AirModel;
}

export function cleanedColumns({ quantities }: Derived): string[] {
  return [...COLUMNS, ...quantities.map((quantity) => quantity.column)];
}

/** The readings of the logs, one log after the other, in order of time. NaN where there is no value. */
export function* cleanedRows(
  logs: readonly Pick<Cleaned, 'log' | 'flags'>[],
  zone: Zone,
  derived: Derived,
): Generator<(string | number)[]> {
  const values = new Float64Array(derived.quantities.length);
  for (const { log, flags } of logs) {
    for (let row = 0; row < log.length; row++) {
      const temperature = log.temperature[row]!;
      const humidity = log.humidity[row]!;
      deriveInto(values, temperature, humidity, derived);
      yield [
        formatInstant(log.time[row]!, zone),
        log.logger,
        temperature,
        humidity,
        flags.temperature[row]!,
        flags.humidity[row]!,
        ...values,
      ];
    }
  }
}

/** Writes what is derived from a temperature [°C] and a humidity [%] into `values`, rounded; NaN where it is not defined. */
export function deriveInto(
  values: Float64Array,
  temperature: Celsius,
  humidity: Percent,
  { quantities, pressure, model }: Derived,
): void {
  for (let i = 0; i < quantities.length; i++) {
    const quantity = quantities[i]!;
    values[i] = rounded(quantity.of(temperature, humidity, pressure, model), quantity.decimals);
  }
}

export function cleanedDocument(
  columns: readonly string[],
  rows: Iterable<readonly (string | number)[]>,
  zone: Zone,
): object {
  return { format: 'dewledger/clean', version: 1, zone: zone.name, columns, rows: [...rows] };
}

export function* changeRows(changes: Iterable<Change>): Generator<(string | number)[]> {
  for (const { source, line, field, before, after, reason } of changes) {
    yield [source, line, field, before, after, reason];
  }
}
