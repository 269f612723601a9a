/** What a surface is exposed to: a row per reading, in order of time, NaN where a value is unknown. */
export interface SurfaceCourse {
  /** Instant [ms since 1970 UTC], ascending. */
  readonly time: Float64Array;
  /** Temperature of the surface [°C]. */
  readonly temperature: Float64Array;
  /** Relative humidity of the air that touches it, over liquid water [%]. */
  readonly humidity: Float64Array;
}

/** The first row from `row` on that carries both values; the number of rows where none follows. */
export function nextKnown({ time, temperature, humidity }: SurfaceCourse, row: number): number {
  let next = row;
  while (next < time.length && Number.isNaN(temperature[next]! + humidity[next]!)) next++;
  return next;
}
