import type { Rejection, RejectReason } from '../log/account.js';
import { lineAt } from '../log/lines.js';
import type { Instant } from '../units.js';
import type { Series } from './series.js';

/** Lines rejected for one reason with no reading among them. */
export interface RejectRun {
  count: number;
  readonly firstLine: number;
  lastLine: number;
  /** The first of them, as people read it. */
  readonly example: string;
  readonly detail: string | null;
  /** Lines of the input that had become readings before. */
  readonly accepted: number;
}

export type RejectRuns = Map<RejectReason, RejectRun[]>;

/** Adds lines to the run that they go on with, or as a run of their own. */
export function addReject(
  runs: RejectRuns,
  reason: RejectReason,
  accepted: number,
  { line, lines }: { readonly line: number; readonly lines: number },
  said: () => Pick<RejectRun, 'example' | 'detail'>,
): void {
  let list = runs.get(reason);
  if (list === undefined) {
    list = [];
    runs.set(reason, list);
  }
  const last = line + lines - 1;
  const before = list.at(-1);
  if (before === undefined || before.accepted !== accepted) {
    list.push({ count: lines, firstLine: line, lastLine: last, accepted, ...said() });
  } else {
    before.count += lines;
    before.lastLine = last;
  }
}

export function rejectedLines(runs: RejectRuns): number {
  let sum = 0;
  for (const list of runs.values()) for (const { count } of list) sum += count;
  return sum;
}

/**
 * The rejected lines of a window, those of one reason together.
 *
 * A rejected line has no time of its own. It lies where the reading before it in its source lies, the one after
 * it where there is none before; in any window where the source has no reading at all.
 *
 * @param among the readings that stand in the source with them, placed in time
 * @param newestFirst whether the source runs from the newest reading to the oldest
 */
export function rejectionsIn(
  window: { readonly from: Instant | null; readonly until: Instant | null },
  source: string,
  runs: RejectRuns,
  among: readonly Series[],
  newestFirst: boolean,
): Rejection[] {
  const from = window.from ?? -Infinity;
  const until = window.until ?? Infinity;
  const rejections: Rejection[] = [];
  for (const [reason, list] of runs) {
    const inside = list
      .map((run) => ({ run, place: neighbours(among, run.firstLine, newestFirst) }))
      .filter(({ place: [before, after] }) => isWithin(before ?? after, from, until));
    const first = inside[0];
    const last = inside.at(-1);
    if (first === undefined || last === undefined) continue;
    // in a source that runs backwards the last line is the earliest in time
    const [earliest, latest] = newestFirst ? [last, first] : [first, last];
    rejections.push({
      source,
      reason,
      count: inside.reduce((sum, { run }) => sum + run.count, 0),
      firstLine: first.run.firstLine,
      lastLine: last.run.lastLine,
      example: first.run.example,
      detail: first.run.detail,
      ...inOrder(earliest.place[0], latest.place[1]),
    });
  }
  return rejections;
}

function isWithin(place: Instant | null, from: Instant, until: Instant): boolean {
  return place === null || (place >= from && place < until);
}

/** Lines that stand out of order may have a later reading in front of them than behind. */
function inOrder(from: Instant | null, until: Instant | null): Pick<Rejection, 'from' | 'until'> {
  return from !== null && until !== null && from > until ? { from: until, until: from } : { from, until };
}

/** The instants of the readings nearest to a line in its source: before it in time, after it. */
function neighbours(
  among: readonly Series[],
  line: number,
  newestFirst: boolean,
): [before: Instant | null, after: Instant | null] {
  let above = 0;
  let below = Infinity;
  let timeAbove: Instant | null = null;
  let timeBelow: Instant | null = null;
  for (const series of among) {
    const { length } = series;
    if (length === 0) continue;
    const { lines } = series;
    const isReversed = lineAt(lines, 0) > lineAt(lines, length - 1);
    const at = rowsAbove(series, line, isReversed);
    const rowAbove = isReversed ? length - at : at - 1;
    const rowBelow = isReversed ? length - at - 1 : at;
    if (at > 0 && lineAt(lines, rowAbove) > above) {
      above = lineAt(lines, rowAbove);
      timeAbove = series.time[rowAbove]!;
    }
    if (at < length && lineAt(lines, rowBelow) < below) {
      below = lineAt(lines, rowBelow);
      timeBelow = series.time[rowBelow]!;
    }
  }
  return newestFirst ? [timeBelow, timeAbove] : [timeAbove, timeBelow];
}

/** How many rows of a series stand above a line, the rows being in order of lines or in the reverse of it. */
function rowsAbove({ lines, length }: Series, limit: number, isReversed: boolean): number {
  let low = 0;
  let high = length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (lineAt(lines, isReversed ? length - 1 - middle : middle) < limit) low = middle + 1;
    else high = middle;
  }
  return low;
}
