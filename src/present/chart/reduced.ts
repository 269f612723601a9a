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
  const close = () => {
    if (first < 0) return;
    const [early, late] = lowest < highest ? [lowest, highest] : [highest, lowest];
    for (const row of [first, early, late, last]) if (row !== kept.at(-1)) kept.push(row);
    first = -1;
  };
  for (let row = 0; row < time.length; row++) {
    const at = time[row]!;
    const value = values[row]!;
    if (at < axis.from || at > axis.until || Number.isNaN(value)) continue;
    const here = Math.floor((at - axis.from) * scale);
    if (here !== column) {
      close();
      column = here;
    }
    if (first < 0) {
      first = row;
      lowest = row;
      highest = row;
    }
    if (value < values[lowest]!) lowest = row;
    if (value > values[highest]!) highest = row;
    last = row;
  }
  close();
  return withGaps(time, values, kept);
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
