import type { Measured } from '../log/log.js';
import type { Range } from '../log/sensor.js';
import type { LimitInForce } from './check.js';
import { limitsText, NOTHING_STATED, type OwnLimits, tableFor } from './limits.js';
import { nameOf, QUANTITIES, unitOf } from './range.js';

/** The key of a range of a quantity ends so. */
export const RANGE_UNITS = { air_temperature: 'degC', relative_humidity: 'pct' } as const;

/** The ranges of both quantities, as limits that a site can state under a table of its file. */
export function rangesInForce(
  ranges: { readonly airTemperature: Range | null; readonly relativeHumidity: Range | null },
  defaults: { readonly airTemperature: Range | null; readonly relativeHumidity: Range | null },
  key: (quantity: Measured) => string,
): LimitInForce[] {
  return QUANTITIES.map((quantity) => {
    const name = quantity === 'air_temperature' ? 'airTemperature' : 'relativeHumidity';
    const range = ranges[name] ?? defaults[name];
    return {
      limit: nameOf(quantity),
      value: range === null ? 'none stated' : `${range.join(' to ')} ${unitOf(quantity)}`,
      isStated: ranges[name] !== null && `${ranges[name]}` !== `${defaults[name]}`,
      key: key(quantity),
    };
  });
}

/** The limits of a check of changes, by quantity. */
export function changesInForce(
  kind: 'spike' | 'step',
  table: string,
  ownLimits: OwnLimits = NOTHING_STATED,
): LimitInForce[] {
  return QUANTITIES.map((quantity) => ({
    limit: nameOf(quantity),
    value: limitsText(kind, quantity, ownLimits),
    isStated: tableFor(kind, quantity, ownLimits) !== tableFor(kind, quantity),
    key: `limits.${table}.${quantity}_${quantity === 'air_temperature' ? 'K' : 'pct'}`,
  }));
}
