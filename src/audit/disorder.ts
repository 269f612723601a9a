import type { Log } from '../log/log.js';
import { pieceAt } from '../log/pieces.js';
import { firstFrom } from '../log/span.js';
import type { Instant, Milliseconds } from '../units.js';
import { type Check, findingOn } from './check.js';
import { counted, episodesOf } from './episodes.js';
import { type InputOrder, inputOrders, strayPieces } from './inputOrder.js';

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
  for (const order of inputOrders(log, newestFirst)) {
    const runaway = runaways(log, order, cadence);
    let newest = -Infinity;
    for (let piece = 0; piece < runaway.length; piece++) {
      const { from, to } = pieceAt(order.inInput, piece);
      let late = to;
      if (runaway[piece] === 0) {
        late = firstFrom(log.time.subarray(from, to), newest) + from;
        if (late < to) newest = log.time[to - 1]!;
      }
      for (let row = from; row < late; row++) displaced.push(row);
    }
  }
  return Uint32Array.from(displaced).sort();
}

/**
 * Strays that fill no hole, in runs of neighbours in time: the source goes on without them as it is, or they join
 * on to it at neither end.
 *
 * @returns by piece in order of input, 1 for those
 */
function runaways({ time }: Log, order: InputOrder, cadence: Milliseconds | null): Uint8Array {
  const { inInput, inTime } = order;
  const reach = cadence === null ? 0 : JOINS * cadence;
  const found = strayPieces(order);
  const endsAt = (piece: number | undefined): Instant =>
    piece === undefined ? -Infinity : time[pieceAt(inInput, piece).to - 1]!;
  const beginsAt = (piece: number | undefined): Instant =>
    piece === undefined ? Infinity : time[inInput.firsts[piece]!]!;
  for (let from = 0; from < inTime.length; ) {
    let to = from;
    while (to < inTime.length && found[inTime[to]!] === 1) to++;
    if (to > from) {
      const before = endsAt(inTime[from - 1]);
      const after = beginsAt(inTime[to]);
      const joins = beginsAt(inTime[from]) - before <= reach || after - endsAt(inTime[to - 1]) <= reach;
      if (joins && after - before > reach) for (let i = from; i < to; i++) found[inTime[i]!] = 0;
    }
    from = to + 1;
  }
  return found;
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
