import fc from 'fast-check';
import type { Line } from '../audit/auditing.js';

/** Ordinary values, few of them so that neighbours agree and differ; codes; values no air can have; none. */
const temperature = fc.oneof(
  { arbitrary: fc.constantFrom(-0.5, 0, 4, 12, 20, 21, 21.5), weight: 8 },
  { arbitrary: fc.constantFrom(85, -0.0625, -999, -127, 70, 49, 52, -0, NaN), weight: 4 },
);
const humidity = fc.oneof(
  { arbitrary: fc.constantFrom(0, 40, 60, 61, 98), weight: 8 },
  { arbitrary: fc.constantFrom(-1, 255, 101, 104, 120, NaN), weight: 4 },
);
const carried = fc.constantFrom(0, 1, 2, 3, 4, 9);

/** A reading at one of few minutes, so that instants come again. */
const reading = {
  minute: fc.integer({ min: 0, max: 25 }).map((step) => 10 * step),
  temperature,
  humidity,
};
const bare = fc.record(reading);
const flagged = fc.record({ ...reading, flags: fc.tuple(carried, carried) });

/** Lines in any order, with flags of an earlier run on some of them or on none. */
export const randomLines: fc.Arbitrary<Line[]> = fc.oneof(
  fc.array(bare, { maxLength: 40 }),
  fc.array(fc.oneof(bare, flagged), { maxLength: 40 }),
);
