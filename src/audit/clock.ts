import { formatDuration } from '../calendar/print.js';
import { nextOff } from '../log/intervals.js';
import { type Pieces, rowAt } from '../log/pieces.js';
import { UNSET_METHOD } from '../reading/unsetClock.js';
import { DAY, HOUR, type Milliseconds, SECOND } from '../units.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { clockDrift, DRIFT_METHOD } from './clockDrift.js';
import { counted } from './episodes.js';
import { inputOrders } from './inputOrder.js';
import { isSame } from './sameInstant.js';
import { rejectionFinding } from './unreadable.js';

/** A clock that goes back by less than this many cadences cannot be told from readings that wobble. */
const BACK = 0.5;
/** Clocks are put right by hours at most, as by a change of zone; further back another log begins (project rule). */
const FURTHEST_BACK: Milliseconds = DAY;
/** Neighbouring readings no further apart than this many cadences go on without a hole. */
const GOES_ON = 1.5;
/** On both sides of a step back, of the readings due in the time that was gone through twice (project rule). */
const LIVED_TWICE = 0.6;
/** Readings stamped on arrival follow each other within this share of a cadence, and this time. */
const CLOSE_SHARE = 0.25;
const CLOSE: Milliseconds = 30 * SECOND;
/** Two readings close together may be a restart. */
const LEAST_ARRIVALS = 3;
/** As a share of the readings missed in the silence before them: what was held back, give or take. */
const HELD_BACK = [0.5, 1.5] as const;
/** Beyond so many findings of one kind their number says more. */
const MOST = 20;

/** Clocks that were not set, were set back, drift, or are not the logger's own. */
export const clock: Check = {
  name: 'clock',
  looksFor: 'clocks that were not set, were set back or run away, and readings stamped when they arrived',
  method:
    `${UNSET_METHOD} When such a reading was taken cannot be known: the line is rejected and kept verbatim with --rejects. ` +
    `A step back of more than ${BACK} cadences and up to ${FURTHEST_BACK / HOUR} h in order of input, with readings at the usual pace on both sides over the time ` +
    `gone through twice. ${LEAST_ARRIVALS} readings and more within seconds after a silence in which as many were missed: ` +
    `they were held back and stamped on arrival. ${DRIFT_METHOD} Readings stay as they are, but for those of a clock that was not set.`,
  source:
    'clocks start at 1970-01-01 without network time: reports of users of such boards; the limits are our own',
  advice:
    'let the logger fetch the network time before its first reading and once a day from then on (a clock that drifts: ' +
    'look at its time synchronisation, then at its resonator), and send the time of each reading with it',
  *run(input) {
    for (const rejection of input.rejections) {
      if (rejection.reason !== 'clock') continue;
      yield rejectionFinding('clock', rejection, 'warning', {
        message: `${counted(rejection.count, 'line')} stamped by a clock that was not set`,
      });
    }
    yield* clockDrift(input);
    if (input.cadence === null) return;
    const { cadence } = input;
    yield* told(input, setBacks(input, cadence), (event) =>
      event.length === 1
        ? `the clock was set back by about ${formatDuration(event[0]!.size)}`
        : `the clock was set back ${event.length} times, by up to ${longestOf(event)}`,
    );
    yield* told(input, arrivals(input, cadence), (event) =>
      event.length === 1
        ? `${event[0]!.rows.length} readings at once after ${formatDuration(event[0]!.size)} without any: stamped on arrival`
        : `${event.length} times readings at once after up to ${longestOf(event)} without any: stamped on arrival`,
    );
  },
};

/** A step back or a silence of a size, and the rows concerned. */
interface ClockEvent {
  readonly rows: readonly number[];
  readonly size: Milliseconds;
}

function longestOf(events: readonly ClockEvent[]): string {
  return formatDuration(events.reduce((most, { size }) => Math.max(most, size), 0));
}

function* told(
  { log }: AuditInput,
  events: readonly ClockEvent[],
  said: (events: readonly ClockEvent[]) => string,
): Generator<Found> {
  const folded = events.length > MOST ? [events] : events.map((event) => [event]);
  for (const group of folded) {
    const rows = [...new Set(group.flatMap((event) => event.rows))].sort((a, b) => a - b);
    yield {
      finding: findingOn(log, rows, {
        check: 'clock',
        severity: 'warning',
        quantity: 'time',
        message: said(group),
        count: group.length === 1 ? rows.length : group.length,
        confidence: 'likely',
      }),
      marks: [],
    };
  }
}

/** The rows before and after each step back that share the time gone through twice, source by source. */
function setBacks({ log, newestFirst }: AuditInput, cadence: Milliseconds): ClockEvent[] {
  const events: ClockEvent[] = [];
  for (const { inInput } of inputOrders(log, newestFirst)) {
    // within a piece time goes on
    for (let piece = 1; piece < inInput.firsts.length; piece++) {
      const at = inInput.starts[piece]!;
      const step = log.time[rowAt(inInput, at - 1)]! - log.time[inInput.firsts[piece]!]!;
      if (step <= BACK * cadence || step > FURTHEST_BACK) continue;
      const event = livedTwice(log, inInput, at, step, cadence);
      if (event !== null) events.push(event);
    }
  }
  return events;
}

/** @param at place in `inInput` of the first row after a step back of `size` */
function livedTwice(
  log: AuditInput['log'],
  inInput: Pieces,
  at: number,
  size: Milliseconds,
  cadence: Milliseconds,
): ClockEvent | null {
  const { time } = log;
  const timeAt = (place: number) => time[rowAt(inInput, place)]!;
  const [back, newest] = [timeAt(at), timeAt(at - 1)];
  const goesOn = (place: number) => {
    const step = timeAt(place) - timeAt(place - 1);
    return step >= 0 && step <= GOES_ON * cadence;
  };
  let first = at - 1;
  while (first > 0 && timeAt(first - 1) >= back && goesOn(first)) first--;
  let end = at + 1;
  while (end < inInput.count && timeAt(end) <= newest && goesOn(end)) end++;
  // the log must run on beyond the time gone through twice, or end in it
  if (end < inInput.count && !goesOn(end)) return null;
  const due = Math.max(1, LIVED_TWICE * (size / cadence));
  if (at - first < due || end - at < due) return null;
  const before = new Map<number, number>();
  for (let place = first; place < at; place++) before.set(timeAt(place), rowAt(inInput, place));
  let again = 0;
  for (let place = at; place < end; place++) {
    const row = rowAt(inInput, place);
    const twin = before.get(time[row]!);
    if (twin === undefined) continue;
    if (
      isSame(log.temperature[row]!, log.temperature[twin]!) &&
      isSame(log.humidity[row]!, log.humidity[twin]!)
    )
      again++;
  }
  // the same readings once more: lines that were exported twice
  if (2 * again > end - at) return null;
  // the reading after the step was due a cadence later than the one before
  return {
    rows: Array.from({ length: end - first }, (_, i) => rowAt(inInput, first + i)),
    size: size + cadence,
  };
}

/** Rows that came at once after a silence in which about as many were due. */
function arrivals({ log }: AuditInput, cadence: Milliseconds): ClockEvent[] {
  const { time, length } = log;
  const close = Math.min(CLOSE_SHARE * cadence, CLOSE);
  const [least, most] = HELD_BACK;
  const events: ClockEvent[] = [];
  let to = 1;
  for (let from = nextOff(time, to, 0, GOES_ON * cadence); from < length; ) {
    const silence = time[from]! - time[from - 1]!;
    to = from + 1;
    while (to < length && time[to]! - time[to - 1]! < close) to++;
    const count = to - from;
    const held = silence / cadence;
    if (count >= LEAST_ARRIVALS && count >= least * held && count <= most * held) {
      events.push({ rows: Array.from({ length: count }, (_, i) => from + i), size: silence });
    }
    from = nextOff(time, to, 0, GOES_ON * cadence);
  }
  return events;
}
