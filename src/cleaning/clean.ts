import type { Audit } from '../audit/audit.js';
import { differentRows, sameInstants } from '../audit/sameInstant.js';
import { Flag, isUsable } from '../log/flag.js';
import { type Flags, type Log, pick, take } from '../log/log.js';
import { type Deviation, nearest } from './nearest.js';

/** What becomes of values with flag 4. Values that stand for "missing" (flag 9) are always blanked. */
export type BadPolicy = 'blank' | 'keep';

/** A log with one reading per instant, a flag for every value, and blanks (NaN) where a value was taken out. */
export interface Cleaned {
  readonly log: Log;
  readonly flags: Flags;
  /** Rows of the audited log that are kept, ascending. */
  readonly kept: Uint32Array;
  /** Readings left out because another of the same instant was kept. */
  readonly dropped: readonly Dropped[];
}

export interface Dropped {
  readonly row: number;
  /** The row that was kept in its place. */
  readonly for: number;
  /** Whether it says something else than the one that was kept. */
  readonly conflicting: boolean;
}

/**
 * Cleans a log by what its audit found: one reading per instant, bad and stand-in values blanked, every
 * value flagged. What is questionable stays, with its flag.
 *
 * Of readings that say the same, the first stays. Of readings of one instant that differ, the one with the
 * most usable values stays; of several such the one nearest to the straight line between the readings around
 * it, in units of the sensor's accuracy; of several such the coldest, then the driest. None of this depends
 * on the order of the input.
 */
export function clean(audit: Audit, accuracy: Deviation, bad: BadPolicy = 'blank'): Cleaned {
  const { log } = audit;
  const dropped = droppedRows(audit, accuracy);
  const kept = remaining(log.length, dropped);
  const picked = dropped.length === 0 ? log : pick(log, kept);
  const flags: Flags =
    dropped.length === 0
      ? audit.flags
      : {
          temperature: take(audit.flags.temperature, kept, new Uint8Array(kept.length)),
          humidity: take(audit.flags.humidity, kept, new Uint8Array(kept.length)),
        };
  return {
    log: {
      ...picked,
      temperature: blanked(picked.temperature, flags.temperature, bad),
      humidity: blanked(picked.humidity, flags.humidity, bad),
    },
    flags,
    kept,
    dropped,
  };
}

function droppedRows({ log, flags }: Audit, accuracy: Deviation): Dropped[] {
  const dropped: Dropped[] = [];
  for (const instant of sameInstants(log)) {
    const different = differentRows(log, instant);
    const winner = different.length === 1 ? different[0]! : preferred(log, flags, different, accuracy);
    for (let row = instant.from; row < instant.to; row++) {
      if (row === winner) continue;
      const conflicting =
        !Object.is(log.temperature[row], log.temperature[winner]) ||
        !Object.is(log.humidity[row], log.humidity[winner]);
      dropped.push({ row, for: winner, conflicting });
    }
  }
  return dropped;
}

function preferred(log: Log, flags: Flags, rows: readonly number[], accuracy: Deviation): number {
  const usable = (row: number) =>
    Number(isUsable(flags.temperature[row]!)) + Number(isUsable(flags.humidity[row]!));
  const most = Math.max(...rows.map(usable));
  return nearest(
    log,
    flags,
    rows.filter((row) => usable(row) === most),
    accuracy,
  );
}

function remaining(length: number, dropped: readonly Dropped[]): Uint32Array {
  const kept = new Uint32Array(length - dropped.length);
  let at = 0;
  let next = 0;
  for (let row = 0; row < length; row++) {
    if (next < dropped.length && dropped[next]!.row === row) next++;
    else kept[at++] = row;
  }
  return kept;
}

function blanked(values: Float64Array, flags: Uint8Array, bad: BadPolicy): Float64Array {
  const drops = (flag: number) => flag === Flag.missing || (bad === 'blank' && flag === Flag.bad);
  if (!flags.some((flag, row) => drops(flag) && !Number.isNaN(values[row]))) return values;
  return values.map((value, row) => (drops(flags[row]!) ? NaN : value));
}
