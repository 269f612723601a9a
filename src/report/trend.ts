/** The course of one column of a table, for a line of marks under it. */
export interface Trend {
  readonly name: string;
  /** A value for each row; NaN is unknown. */
  readonly values: readonly number[];
  /** Places after the point, as in the column. */
  readonly decimals: number;
}
