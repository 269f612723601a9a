import type { Log } from '../log/log.js';
import { ascendingOrder, outOfOrder } from '../log/order.js';
import type { Milliseconds } from '../units.js';
import { type Check, findingOn } from './check.js';
import { counted, episodesOf } from './episodes.js';

/** Two readings join on to each other where they are no further than this many cadences apart. */
const JOINS = 1.5;

/**
 * Rows whose lines stand out of order in their source, ascending; without them each source is in order.
 *
 * A line is late if a newer reading stands in front of it. But a reading dated far into the future must not
 * make all lines after it late: of the fewest lines whose removal brings the source into order, those that
 * fill no hole of the log are out of order themselves, and do not count as newer.
 *
 * @param newestFirst by source, whether its lines run from the newest reading to the oldest
 */
export function displacedRows(
  log: Log,
  newestFirst: readonly boolean[],
  cadence: Milliseconds | null,
): Uint32Array {
  if (log.sources.length === 1) return displacedIn(log, null, newestFirst[0] === true, cadence);
  const displaced: number[] = [];
  for (let source = 0; source < log.sources.length; source++) {
    const rows = rowsOf(log, source);
    for (const stray of displacedIn(log, rows, newestFirst[source] === true, cadence))
      displaced.push(rows[stray]!);
  }
  return Uint32Array.from(displaced).sort();
}

/** @param rows those of one source, null for all of the log; the result counts within them */
function displacedIn(
  log: Log,
  rows: readonly number[] | null,
  newestFirst: boolean,
  cadence: Milliseconds | null,
): Uint32Array {
  if (rows === null && runsStraight(log, newestFirst)) return new Uint32Array(0);
  const places = placesOf(log, rows, newestFirst);
  const strays = outOfOrder(places);
  if (strays.length === 0) return strays;
  const time = rows === null ? log.time : Float64Array.from(rows, (row) => log.time[row]!);
  const runaway = runaways(time, strays, cadence);
  const inInput = ascendingOrder(places)!;
  const displaced: number[] = [];
  let newest = -Infinity;
  for (const row of inInput) {
    if (runaway.has(row) || time[row]! < newest) displaced.push(row);
    else newest = time[row]!;
  }
  return Uint32Array.from(displaced).sort();
}

/**
 * Strays that fill no hole, in runs of neighbours in time: the log goes on without them as it is, or they join
 * on to it at neither end.
 */
function runaways(
  time: Float64Array,
  strays: Uint32Array,
  cadence: Milliseconds | null,
): ReadonlySet<number> {
  const reach = cadence === null ? 0 : JOINS * cadence;
  const found = new Set<number>();
  let from = 0;
  while (from < strays.length) {
    let to = from + 1;
    while (to < strays.length && strays[to] === strays[to - 1]! + 1) to++;
    const first = strays[from]!;
    const last = strays[to - 1]!;
    const before = time[first - 1] ?? -Infinity;
    const after = time[last + 1] ?? Infinity;
    const joins = time[first]! - before <= reach || after - time[last]! <= reach;
    if (!joins || after - before <= reach) for (let i = from; i < to; i++) found.add(strays[i]!);
    from = to;
  }
  return found;
}

export function rowsOf(log: Log, source: number): number[] {
  const rows: number[] = [];
  for (let row = 0; row < log.length; row++) if (log.source[row] === source) rows.push(row);
  return rows;
}

/** Whether all lines of a log of one source stand in order of time, as nearly always: no column is made to see that. */
export function runsStraight({ line, length }: Log, newestFirst: boolean): boolean {
  for (let row = 1; row < length; row++)
    if (newestFirst ? line[row]! > line[row - 1]! : line[row]! < line[row - 1]!) return false;
  return true;
}

/** Line numbers, counted in the direction in which the source runs. */
export function placesOf(
  { line, length }: Log,
  rows: readonly number[] | null,
  newestFirst: boolean,
): Float64Array {
  const places = new Float64Array(rows === null ? length : rows.length);
  const sign = newestFirst ? -1 : 1;
  for (let i = 0; i < places.length; i++) places[i] = sign * line[rows === null ? i : rows[i]!]!;
  return places;
}

/** Lines that came late. */
export const disorder: Check = {
  name: 'disorder',
  looksFor: 'lines that do not stand in order of time',
  method:
    'A line with a newer reading in front of it. Where the newer one fills no hole in the log, it is out of order itself, and ' +
    `the lines after it are not: it lies more than ${JOINS} cadences from its neighbours in time, or they lie within that of ` +
    'each other. A file that runs from the newest reading to the oldest is in order. Cleaning sorts, and lists the ' +
    'lines it moved.',
  source: 'common practice, no source',
  advice:
    'readings held back while the network was down and sent later stand out of order: that is no fault of theirs',
  *run({ log, newestFirst, cadence }) {
    const rows = [...displacedRows(log, newestFirst, cadence)];
    for (const episode of episodesOf(rows, log.time, cadence)) {
      yield {
        finding: findingOn(log, episode, {
          check: 'disorder',
          severity: 'note',
          quantity: 'time',
          message: `${counted(episode.length, 'line')} out of order`,
        }),
        marks: [],
      };
    }
  },
};
