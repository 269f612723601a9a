import { type Log, take } from '../log/log.js';
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
  const displaced: number[] = [];
  for (const source of crookedSources(log, newestFirst)) {
    const rows = rowsOf(log, source);
    for (const stray of displacedIn(log, rows, newestFirst[source] === true, cadence))
      displaced.push(rows[stray]!);
  }
  return Uint32Array.from(displaced).sort();
}

/** @param rows those of one source; the result counts within them */
function displacedIn(
  log: Log,
  rows: Uint32Array,
  newestFirst: boolean,
  cadence: Milliseconds | null,
): Uint32Array {
  const places = placesOf(log, rows, newestFirst);
  const strays = outOfOrder(places);
  const time = take(log.time, rows, new Float64Array(rows.length));
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

export function rowsOf({ source: sources, length }: Log, source: number): Uint32Array {
  const rows = new Uint32Array(length);
  let count = 0;
  for (let row = 0; row < length; row++) if (sources[row] === source) rows[count++] = row;
  return rows.slice(0, count);
}

/** The sources of which not all lines stand in order of time: nearly always none. No column is made to see that. */
export function crookedSources(
  { line, source, sources, length }: Log,
  newestFirst: readonly boolean[],
): number[] {
  const last = new Uint32Array(sources.length); // lines count from 1
  const directions = Int8Array.from(sources, (_, each) => (newestFirst[each] === true ? -1 : 1));
  const crooked = new Set<number>();
  for (let row = 0; row < length; row++) {
    const own = source[row]!;
    const before = last[own]!;
    last[own] = line[row]!;
    if (before > 0 && directions[own]! * (line[row]! - before) < 0) crooked.add(own);
  }
  return [...crooked].sort((a, b) => a - b);
}

/** Line numbers of these rows, counted in the direction in which the source runs. */
export function placesOf({ line }: Log, rows: Uint32Array, newestFirst: boolean): Float64Array {
  const places = new Float64Array(rows.length);
  const sign = newestFirst ? -1 : 1;
  for (let i = 0; i < places.length; i++) places[i] = sign * line[rows[i]!]!;
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
