import fc from 'fast-check';

/** Numbers to three decimals, all as likely; fc.double would draw most of them next to 0. */
export function between(least: number, most: number): fc.Arbitrary<number> {
  return fc
    .integer({ min: Math.ceil(least * 1000), max: Math.floor(most * 1000) })
    .map((number) => number / 1000);
}

/** Ranges of any state of air that the program may meet. */
export const temperatures = between(-80, 100);
export const humidities = between(0, 100);
export const pressures = between(500, 1100);

/** The same random cases in every run. */
export const REPEATABLE = { seed: 20251026, numRuns: 1000 } as const;
