import { Flag } from '../log/flag.js';
import { flagsOf } from '../log/log.js';
import { type Check, findingOn } from './check.js';
import { counted, episodesIn } from './episodes.js';
import { nameOf, QUANTITIES, rowsWithout } from './range.js';

/** So many missing values in one episode are a sensor that is not read, not a lost word on the wire. */
const LASTING = 6;

/** Readings that came without one of their values. */
export const missingValue: Check = {
  name: 'missing_value',
  looksFor: 'readings that came without a temperature or a humidity',
  method: 'Empty cells and words for "no value" (NULL, \\N, nan, NA, -- and the like).',
  source: 'flag 9 of IOC Manuals and Guides 54, volume 3; the list of words is common practice, no source',
  advice:
    'the device was up and its sensor was not read: look at plug and wire, then at the supply of the sensor',
  learns: true,
  *run(input) {
    const { log, flags } = input;
    for (const quantity of QUANTITIES) {
      const flag = flagsOf(flags, quantity);
      // the input may have called a value bad that is not there
      const rows = rowsWithout(log, quantity).filter((row) => flag[row] === Flag.missing);
      for (const episode of episodesIn(input, rows)) {
        yield {
          finding: findingOn(log, episode, {
            check: 'missing_value',
            severity: episode.length >= LASTING ? 'warning' : 'note',
            quantity,
            message: `${counted(episode.length, 'reading')} without a ${nameOf(quantity)}`,
          }),
          marks: [{ quantity, rows: episode, flag: Flag.missing }],
        };
      }
    }
  },
};
