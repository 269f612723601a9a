/** More values than this say nothing more about a spread: every so many-th is looked at. */
const SAMPLE = 20_000;

/** Fewer values than this do not tell what is usual of them (own estimate). */
export const LEAST_HABITS = 24;

/** The median absolute deviation of a normal distribution times this is its standard deviation. */
const NORMAL = 1.4826;

/**
 * The value below which this share of the sorted values lies (nearest rank).
 *
 * @param sorted ascending
 * @param share 0 to 1
 * @returns NaN of no values
 */
export function quantile(sorted: ArrayLike<number>, share: number): number {
  if (sorted.length === 0) return NaN;
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))]!;
}

/** Spread of values that stray around zero to either side, told by their sizes; outliers hardly move it. */
export function spreadOf(sortedSizes: ArrayLike<number>): number {
  return NORMAL * quantile(sortedSizes, 0.5);
}

/** Median of some values in any order, NaN among them left out; NaN of none. */
export function medianOf(values: Iterable<number>): number {
  return quantile(
    Float64Array.from(values)
      .filter((value) => !Number.isNaN(value))
      .sort(),
    0.5,
  );
}

/** How far apart the places stand that are looked at of so many: some 20,000 of them, spread evenly. */
export function strideOver(count: number): number {
  return Math.max(1, Math.floor(count / SAMPLE));
}

/** Values of `of` at up to 20,000 places spread evenly over 0 to count - 1, in their order; NaN is left out. */
export function sampled(count: number, of: (place: number) => number): Float64Array {
  const stride = strideOver(count);
  const values = new Float64Array(Math.max(0, Math.ceil(count / stride)));
  let n = 0;
  for (let place = 0; place < count; place += stride) {
    const value = of(place);
    if (!Number.isNaN(value)) values[n++] = value;
  }
  return values.subarray(0, n);
}
