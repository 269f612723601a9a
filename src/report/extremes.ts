import type { Audit } from '../audit/audit.js';
import type { Cleaned } from '../cleaning/clean.js';
import type { CheckName } from '../log/finding.js';
import { Flag } from '../log/flag.js';
import { rowAt } from '../log/pieces.js';
import type { PeriodSummary } from '../period/summary.js';
import type { Celsius, Instant } from '../units.js';

/** The warmest or coldest reading, and whether it can be believed. */
export interface Extreme {
  readonly value: Celsius;
  readonly at: Instant;
  /** Checks that speak against it, but not so strongly that it was taken out. */
  readonly doubts: readonly CheckName[];
  /** The readings before and after it [°C]; NaN where there is none. */
  readonly before: Celsius;
  readonly after: Celsius;
  /** The most extreme of the values beyond it that were taken out; null where none was. */
  readonly beyond: SetAside | null;
}

/** A value that a check spoke against, so that it counts no longer. */
export interface SetAside {
  readonly value: Celsius;
  readonly at: Instant;
  readonly check: CheckName;
}

export interface Extremes {
  readonly coldest: Extreme | null;
  readonly warmest: Extreme | null;
}

/** How far the extremes of a summary of this log can be believed. */
export function extremesOf(
  audit: Audit,
  cleaned: Cleaned,
  { airTemperature: { min, minTime, max, maxTime } }: Pick<PeriodSummary, 'airTemperature'>,
): Extremes {
  return {
    coldest: minTime === null ? null : extreme(audit, cleaned, min, minTime, -1),
    warmest: maxTime === null ? null : extreme(audit, cleaned, max, maxTime, 1),
  };
}

/** @param sign 1 for the warmest, −1 for the coldest */
function extreme(
  audit: Audit,
  { log, kept }: Cleaned,
  value: Celsius,
  at: Instant,
  sign: 1 | -1,
): Extreme | null {
  const row = log.time.indexOf(at);
  if (row < 0) return null; // a reading just outside, at the very edge
  return {
    value,
    at,
    doubts: accusers(audit, rowAt(kept, row)),
    before: neighbour(log.temperature, row, -1),
    after: neighbour(log.temperature, row, 1),
    beyond: beyond(audit, value, sign),
  };
}

function accusers({ marks }: Audit, row: number): CheckName[] {
  const checks = marks
    .filter(({ mark }) => mark.quantity === 'air_temperature' && Array.from(mark.rows).includes(row))
    .map(({ check }) => check);
  return [...new Set(checks)];
}

function neighbour(values: Float64Array, row: number, step: 1 | -1): Celsius {
  let i = row + step;
  while (i >= 0 && i < values.length && Number.isNaN(values[i]!)) i += step;
  return values[i] ?? NaN;
}

function beyond(audit: Audit, limit: Celsius, sign: 1 | -1): SetAside | null {
  const { time, temperature } = audit.log;
  let found: number | null = null;
  for (let row = 0; row < temperature.length; row++) {
    if (audit.flags.temperature[row] !== Flag.bad) continue;
    const least = found === null ? limit : temperature[found]!;
    if (sign * (temperature[row]! - least) > 0) found = row;
  }
  if (found === null) return null;
  const [check] = accusers(audit, found);
  return check === undefined ? null : { value: temperature[found]!, at: time[found]!, check };
}
