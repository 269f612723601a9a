import { Flag, worseThan } from '../log/flag.js';
import { flagsOf, valuesOf } from '../log/log.js';
import { type Check, findingOn } from './check.js';
import { counted, episodesIn } from './episodes.js';
import { nameOf, QUANTITIES } from './range.js';

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
      const values = valuesOf(log, quantity);
      const flag = flagsOf(flags, quantity);
      const missing = worseThan(flag, Flag.bad);
      const rows: number[] = [];
      for (let i = 0; i < missing.length; i += 2)
        for (let row = missing[i]!; row < missing[i + 1]!; row++)
          // the input may have called a value missing that is there
          if (Number.isNaN(values[row]!)) rows.push(row);
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
