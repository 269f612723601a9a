import { formatDuration } from '../calendar/print.js';
import { nextOff } from '../log/intervals.js';
import type { Log } from '../log/log.js';
import { MINUTE, type Milliseconds, SECOND } from '../units.js';
import { type Check, findingOn, partsOf } from './check.js';
import { counted, episodesIn } from './episodes.js';

/** A reading is sent again within this share of a cadence, and within this time (quality rule for near duplicates). */
const WITHIN_SHARE = 0.25;
const WITHIN: Milliseconds = 30 * SECOND;
/** After a longer silence, in cadences, readings that were held back come close together: they are no repeats. */
const AFTER_SILENCE = 1.5;
/**
 * Close readings that differ, for each that does not: more of them, and the log has close readings for another
 * reason, such as two devices under one name, of which some are equal by chance (project rule).
 */
const MOST_DIFFERENT = 0.25;
/** With a shorter cadence two equal readings may be two readings. */
const CLEAR_CADENCE: Milliseconds = 2 * MINUTE;

/** Rows [first, end) of one reading that was sent several times, at instants that are not all the same. */
export interface Submissions {
  readonly first: number;
  /** The first row of a later instant; those before it are of one instant. */
  readonly again: number;
  readonly end: number;
}

/**
 * Readings that were sent again and stamped anew, by their rows.
 *
 * Readings that carry flags of an earlier run are left as they are: that run has seen them among others.
 *
 * @param cadence nominal time between readings [ms], null where the log has none: then nothing can be said
 */
export function submissionsOf(log: Log, cadence: Milliseconds | null): Submissions[] {
  if (cadence === null) return [];
  const { time, temperature, humidity, length } = log;
  const limit = Math.min(WITHIN_SHARE * cadence, WITHIN);
  const found: Submissions[] = [];
  let different = 0;
  let equal = 0;
  for (let close = nextOff(time, 1, limit, Infinity); close < length; ) {
    const first = close - 1;
    let end = close + 1;
    while (end < length && time[end]! - time[end - 1]! < limit) end++;
    close = nextOff(time, end + 1, limit, Infinity);
    const held = first > 0 && time[first]! - time[first - 1]! > AFTER_SILENCE * cadence;
    const lasts = time[end - 1]! - time[first]!;
    if (held || lasts <= 0 || lasts >= limit) continue;
    let again = first + 1;
    while (time[again] === time[first]) again++;
    if (isOneReading(temperature, humidity, first, end)) {
      equal++;
      if (!carriesFlags(log, again, end)) found.push({ first, again, end });
    } else different++;
  }
  return different <= MOST_DIFFERENT * equal ? found : [];
}

/** Whether all rows say the same. A missing value says nothing, so it equals nothing. */
function isOneReading(
  temperature: Float64Array,
  humidity: Float64Array,
  first: number,
  end: number,
): boolean {
  for (let row = first; row < end; row++) {
    if (temperature[row] !== temperature[first] || humidity[row] !== humidity[first]) return false;
  }
  return true;
}

function carriesFlags({ inputFlags }: Log, from: number, to: number): boolean {
  if (inputFlags === null) return false;
  for (let row = from; row < to; row++) {
    if (inputFlags.temperature[row] !== 0 || inputFlags.humidity[row] !== 0) return true;
  }
  return false;
}

/** Readings that were sent again and got another time stamp from the server. */
export const repeatSubmission: Check = {
  name: 'repeat_submission',
  looksFor: 'readings that were sent again and stamped anew, a few seconds later',
  method:
    `The same two values again within ${WITHIN_SHARE} cadences, and within ${WITHIN / SECOND} s. Not after a silence of more ` +
    `than ${AFTER_SILENCE} cadences, when readings that were held back come close together, nor in a log where other close ` +
    `readings differ: one for every ${1 / MOST_DIFFERENT} that do not. Cleaning keeps the first.`,
  source:
    'common practice, no source for the limits; pairs some milliseconds apart: reports of users of database connectors',
  advice:
    'the logger sends again when the answer is lost: let it send the time of the reading, and make that unique in the table',
  learns: true,
  *run(input) {
    const { log, cadence } = input;
    const firsts = new Map<number, number>(); // row of a repeat -> row of what it repeats
    for (const { first, again, end } of submissionsOf(log, cadence))
      for (let repeat = again; repeat < end; repeat++) firsts.set(repeat, first);
    // readings that are repeated one after the other are events of their own
    const apart = cadence === null ? null : cadence / 4;
    for (const repeats of episodesIn({ ...input, cadence: apart }, [...firsts.keys()])) {
      const isBeside = (first: number) => partsOf([first, repeats[0]!], input.asked).length === 1;
      const rows = new Set([...repeats.map((row) => firsts.get(row)!).filter(isBeside), ...repeats]);
      const lines = repeats.length;
      const after = (row: number) => log.time[row]! - log.time[firsts.get(row)!]!;
      const longest = repeats.reduce((most, row) => Math.max(most, after(row)), 0);
      yield {
        finding: findingOn(
          log,
          [...rows].sort((a, b) => a - b),
          {
            check: 'repeat_submission',
            severity: 'note',
            quantity: 'time',
            message: `${counted(lines, 'line')} with a reading that came up to ${formatDuration(longest)} before`,
            count: lines,
            confidence: cadence! >= CLEAR_CADENCE ? 'certain' : 'likely',
          },
        ),
        marks: [],
      };
    }
  },
};
