import type { TimeAxis } from '../../report/document.js';

/** A series with less in it: NaN marks where the line is broken. */
export interface Reduced {
  readonly time: Float64Array;
  readonly values: Float64Array;
}

/**
 * A long series cut down to what a picture of so many columns can show.
 *
 * Of every column the first, the lowest, the highest and the last value stay, each at its own time,
 * so that no extreme gets lost and the line enters and leaves a column where it did. Where values are
 * missing between two that stay, the line is broken between them: it never spans a gap.
 *
 * @param time ascending; what lies outside the axis is left out
 * @param values of the same length, NaN for missing
 * @param columns at least 1
 */
export function reduced(
  time: Float64Array,
  values: Float64Array,
  axis: Pick<TimeAxis, 'from' | 'until'>,
  columns: number,
): Reduced {
  const kept: number[] = [];
  const scale = columns / (axis.until - axis.from);
  let column = -1;
  let first = -1;
  let lowest = -1;
  let highest = -1;
  let last = -1;
  for (let row = 0; row < time.length; row++) {
    if (!(time[row]! >= axis.from && time[row]! <= axis.until) || Number.isNaN(values[row]!)) continue;
    const here = Math.floor((time[row]! - axis.from) * scale);
    if (here !== column) {
      keep(kept, first, lowest, highest, last);
      column = here;
      first = row;
      lowest = row;
      highest = row;
    }
    if (values[row]! < values[lowest]!) lowest = row;
    if (values[row]! > values[highest]!) highest = row;
    last = row;
  }
  keep(kept, first, lowest, highest, last);
  return withGaps(time, values, kept);
}

/** Keeps these rows of a column in order, each once; nothing of none (-1). */
function keep(kept: number[], first: number, lowest: number, highest: number, last: number): void {
  if (first < 0) return;
  const early = Math.min(lowest, highest);
  const late = Math.max(lowest, highest);
  kept.push(first);
  if (early > first) kept.push(early);
  if (late > early) kept.push(late);
  if (last > late) kept.push(last);
}

function withGaps(time: Float64Array, values: Float64Array, kept: readonly number[]): Reduced {
  const times: number[] = [];
  const shown: number[] = [];
  let row = kept[0] ?? 0;
  for (const next of kept) {
    while (row < next && !Number.isNaN(values[row]!)) row++;
    if (row < next) {
      times.push(time[row]!);
      shown.push(Number.NaN);
    }
    times.push(time[next]!);
    shown.push(values[next]!);
    row = next;
  }
  return { time: Float64Array.from(times), values: Float64Array.from(shown) };
}
