// biome-ignore-all lint/suspicious/noConstEnum: they are put in as numbers, also by the compiler of `pairLook.as.ts`

/** What `pairLook.ts` and `pairLook.as.ts` say to each other. */

/** A memory by place of all pairs in tenths that usual air may have. It takes 4 MB, of which a log touches a part. */
export const enum Place {
  /** Steps in which most sensors tell: a tenth of a kelvin and of a percent. */
  stepsPerUnit = 10,
  /** More than air has [°C, %]. */
  coldest = -40,
  hottest = 60,
  dampest = 104,
  /** Places in a row: those of one temperature. */
  row = 1041,
  rows = 1001,
  count = 1042041,
}

/** What is found of a reading: one more than the place of its pair, or this. */
export const enum Found {
  /** It lacks either value. */
  nothing = 0,
  /** Its pair has no place. */
  alone = 4294967295,
}

/** Tables whose areas are summed at once. */
export const enum Most {
  tables = 8,
}
