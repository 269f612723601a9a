import type { Flagged } from '../audit/audit.js';
import { submissionsOf } from '../audit/repeatSubmission.js';
import { differentRows, isSame, type SameInstant, sameInstants } from '../audit/sameInstant.js';
import { Flag, isUsable, worseThan } from '../log/flag.js';
import {
  type CleanLog,
  cleanPart,
  type Flags,
  keepFlags,
  keepOnly,
  type Log,
  pick,
  pickFlags,
} from '../log/log.js';
import { type Pieces, partOfPieces, piecesOf, placeFrom, without } from '../log/pieces.js';
import type { Accuracy } from '../log/sensor.js';
import type { Rows } from '../log/span.js';
import { nearestIn } from './nearest.js';

/** What becomes of values with flag 4. Values that stand for "missing" (flag 9) are always blanked. */
export type BadPolicy = 'blank' | 'keep';

/** A log with one reading per instant, sent once, a flag for every value, and blanks (NaN) where a value was taken out. */
export interface Cleaned {
  readonly log: CleanLog;
  readonly flags: Flags;
  /** Rows of the flagged log that are kept, ascending. */
  readonly kept: Pieces;
  /** Readings left out because another of the same instant was kept, or the same reading of just before. */
  readonly dropped: readonly Dropped[];
}

export interface Dropped {
  readonly row: number;
  /** The row that was kept in its place; before the log's first where a part of the log is looked at. */
  readonly for: number;
  /** Whether it says something else than the one that was kept. */
  readonly conflicting: boolean;
}

/**
 * Cleans a log by what its audit found: one reading per instant and none that was sent again, bad and stand-in values blanked, every
 * value flagged. What is questionable stays, with its flag.
 *
 * Of readings that say the same, the first stays. Of readings of one instant that differ, the one with the
 * most usable values stays; of several such the one nearest to the straight line between the readings around
 * it, in units of the sensor's accuracy; of several such the coldest, then the driest, then the one that
 * carries the worse flags. What stays does not depend on the order of the input.
 *
 * @param inPlace whether the cleaned log takes the memory of the flagged one, whose columns are worth nothing then
 */
export function clean(
  flagged: Flagged,
  accuracy: Accuracy,
  bad: BadPolicy = 'blank',
  inPlace = false,
): Cleaned {
  const { log } = flagged;
  const dropped = droppedRows(flagged, accuracy);
  const all = piecesOf(log.length === 0 ? [] : [0, log.length]);
  const out: number[] = [];
  for (const { row } of dropped) out.push(row, row + 1);
  const kept = without(all, out);
  const [picked, flags] =
    kept === all
      ? [cleanPart(log, 0, log.length), flagged.flags]
      : inPlace
        ? [keepOnly(log, kept), keepFlags(flagged.flags, kept)]
        : [pick(log, kept), pickFlags(flagged.flags, kept)];
  const isOurs = inPlace || kept !== all;
  return {
    log: {
      ...picked,
      temperature: blanked(picked.temperature, flags.temperature, bad, isOurs),
      humidity: blanked(picked.humidity, flags.humidity, bad, isOurs),
    },
    flags,
    kept,
    dropped,
  };
}

/** What cleaning made of these rows, counted from the first of them. */
export function partOfCleaned(cleaned: Cleaned, { first, end }: Rows): Cleaned {
  const { log, flags, kept, dropped } = cleaned;
  const from = placeFrom(kept, first);
  const to = placeFrom(kept, end);
  const inPart = dropped.filter(({ row }) => row >= first && row < end);
  if (first === 0 && to === kept.count && inPart.length === dropped.length) return cleaned;
  return {
    log: cleanPart(log, from, to),
    flags: { temperature: flags.temperature.subarray(from, to), humidity: flags.humidity.subarray(from, to) },
    kept: partOfPieces(kept, from, to, first),
    dropped: inPart.map((each) => ({ ...each, row: each.row - first, for: each.for - first })),
  };
}

function droppedRows(flagged: Flagged, accuracy: Accuracy): Dropped[] {
  const { log, flags } = flagged;
  const dropped: Dropped[] = [];
  const repeats = repeatsOf(flagged);
  let nearest: ReturnType<typeof nearestIn> | null = null; // most logs never need it
  for (const instant of sameInstants(log)) {
    if (repeats.has(instant.from)) continue;
    const rows = candidates(log, instant);
    if (rows.length > 1) nearest ??= nearestIn(log, flags, accuracy);
    const winner = nearest === null || rows.length === 1 ? rows[0]! : nearest(withMostValues(flags, rows));
    for (let row = instant.from; row < instant.to; row++) {
      if (row === winner) continue;
      const conflicting =
        !isSame(log.temperature[row]!, log.temperature[winner]!) ||
        !isSame(log.humidity[row]!, log.humidity[winner]!);
      dropped.push({ row, for: winner, conflicting });
    }
  }
  if (repeats.size === 0) return dropped;
  const kept = new Map(dropped.map((each) => [each.row, each.for]));
  for (const [row, first] of repeats)
    dropped.push({ row, for: kept.get(first) ?? first, conflicting: false });
  return dropped.sort((a, b) => a.row - b.row);
}

/** Rows that hold a reading sent again, and the first row that holds it, where the audit was to look for them. */
function repeatsOf({ log, cadence, skipped }: Flagged): ReadonlyMap<number, number> {
  const repeats = new Map<number, number>();
  if (skipped.has('repeat_submission')) return repeats;
  for (const { first, again, end } of submissionsOf(log, cadence)) {
    for (let row = again; row < end; row++) repeats.set(row, first);
  }
  return repeats;
}

/** Readings that say the same are alike, unless the input gave them flags of their own. */
function candidates(log: Log, instant: SameInstant): number[] {
  if (log.inputFlags === null) return differentRows(log, instant);
  return Array.from({ length: instant.to - instant.from }, (_, i) => instant.from + i);
}

function withMostValues(flags: Flags, rows: readonly number[]): number[] {
  const usable = (row: number) =>
    Number(isUsable(flags.temperature[row]!)) + Number(isUsable(flags.humidity[row]!));
  const most = rows.reduce((count, row) => Math.max(count, usable(row)), 0);
  return rows.filter((row) => usable(row) === most);
}

/** @param isOurs whether the values may be written to */
function blanked(values: Float64Array, flags: Uint8Array, bad: BadPolicy, isOurs: boolean): Float64Array {
  const out = worseThan(flags, bad === 'keep' ? Flag.bad : Flag.questionable);
  let left = isOurs ? values : null;
  for (let i = 0; i < out.length; i += 2) {
    for (let row = out[i]!; row < out[i + 1]!; row++) {
      if (Number.isNaN(values[row]!)) continue;
      left ??= values.slice();
      left[row] = Number.NaN;
    }
  }
  return left ?? values;
}
