import { formatDuration } from '../calendar/print.js';
import { type Pace, pacesOf, STEADY } from '../log/pace.js';
import { HOUR, MINUTE, type Milliseconds, SECOND } from '../units.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { beatOf, PHASE_METHOD, type Shift, shiftsOf } from './phase.js';

/** Times between readings that people choose. */
const CHOSEN: readonly Milliseconds[] = [
  ...[10, 15, 20, 30].map((seconds) => seconds * SECOND),
  ...[1, 2, 3, 4, 5, 6, 10, 12, 15, 20, 30].map((minutes) => minutes * MINUTE),
  ...[1, 2, 3, 6].map((hours) => hours * HOUR),
];
/** What a logger does beside waiting takes less than this share of the time it waits, */
const DELAY = 0.03;
/** or, where it waits less than minutes, less than this time and this share: a reading is sent in seconds (common practice, no source). */
const DELAY_TIME: Milliseconds = 5 * SECOND;
const MOST_DELAY = 0.1;
/** Over the log the difference adds up to this share of a reading, or it is none (project rule). */
const ADDS_UP = 0.5;
/** Beyond so many changes or shifts their number says more. */
const MOST = 20;

/** Changes of the time between readings, and of the beat that they keep. */
export const cadence: Check = {
  name: 'cadence',
  looksFor: 'changes of the time between readings, shifts of their beat, and a beat that is a little off',
  method:
    `Another cadence: ${STEADY} intervals alike and more, with none of the old in between, which last as many of the longer ` +
    `cadence; each stretch is then judged by its own. A shift of the beat: ${PHASE_METHOD.charAt(0).toLowerCase()}${PHASE_METHOD.slice(1)} A beat up to ` +
    `${100 * DELAY} % or ${DELAY_TIME / SECOND} s (at most ${100 * MOST_DELAY} %) off a usual cadence that adds up to ${ADDS_UP} readings over the log.`,
  source: 'common practice, no source; the limits are our own',
  advice:
    'a shift is a restart, or a clock that was put right: compare with the heartbeats; a logger that waits after each reading keeps no exact beat',
  *run(input) {
    if (input.cadence === null || input.log.length === 0) return;
    const { time } = input.log;
    const paces = pacesOf(time, input.cadence);
    yield* changes(input, paces, input.cadence);
    const shifts = paces.flatMap((pace) => shiftsOf(time, pace));
    yield* shiftFindings(input, shifts);
    yield* delay(input, paces);
  },
};

const noted = { check: 'cadence', severity: 'note', quantity: 'time' } as const;
const every = (pace: Pace) => `every ${formatDuration(pace.cadence)}`;

function* changes({ log }: AuditInput, paces: readonly Pace[], whole: Milliseconds): Generator<Found> {
  if (paces.length === 1) {
    const [only] = paces as [Pace];
    if (only.cadence === whole) return;
    const message = `a reading ${every(only)}, not every ${formatDuration(whole)} as stated`;
    const rows = [only.first, only.last];
    yield {
      finding: findingOn(log, rows, { ...noted, severity: 'warning', message, count: 1 }),
      marks: [],
    };
    return;
  }
  const later = paces.slice(1);
  if (later.length > MOST) {
    const lengths = paces.map((pace) => pace.cadence);
    const range = `${formatDuration(Math.min(...lengths))} and ${formatDuration(Math.max(...lengths))}`;
    const message = `the time between readings changes ${later.length} times, between ${range}`;
    const rows = later.map(({ first }) => first);
    yield { finding: findingOn(log, rows, { ...noted, message }), marks: [] };
    return;
  }
  for (const [i, pace] of later.entries()) {
    const message = `a reading ${every(pace)} from here on, ${every(paces[i]!)} before`;
    yield { finding: findingOn(log, [pace.first], { ...noted, message }), marks: [] };
  }
}

function* shiftFindings({ log }: AuditInput, shifts: readonly Shift[]): Generator<Found> {
  const rowsOf = ({ row }: Shift) => [row - 1, row];
  if (shifts.length > MOST) {
    const message = `the readings begin ${shifts.length} times to come at other times of their beat: restarts, or a clock put right`;
    const rows = [...new Set(shifts.flatMap(rowsOf))];
    const stated = { ...noted, message, count: shifts.length, confidence: 'likely' } as const;
    yield { finding: findingOn(log, rows, stated), marks: [] };
    return;
  }
  for (const shift of shifts) {
    const size = formatDuration(Math.round(Math.abs(shift.by) / SECOND) * SECOND);
    const message = `the readings come ${size} ${shift.by > 0 ? 'later' : 'earlier'} in their beat from here on: a restart, or a clock put right`;
    const stated = { ...noted, message, count: 1, confidence: 'likely' } as const;
    yield { finding: findingOn(log, rowsOf(shift), stated), marks: [] };
  }
}

/** A stretch whose readings come a little off a cadence that people choose. */
interface Delay {
  readonly pace: Pace;
  readonly chosen: Milliseconds;
  readonly off: Milliseconds;
}

function delayIn(time: Float64Array, pace: Pace): Delay | null {
  const { beat, count } = beatOf(time, pace);
  const chosen = CHOSEN.find((each) => {
    const most = Math.max(DELAY * each, Math.min(DELAY_TIME, MOST_DELAY * each));
    return Math.abs(beat - each) <= most;
  });
  if (chosen === undefined || count * Math.abs(beat - chosen) < ADDS_UP * chosen) return null;
  return { pace, chosen, off: beat - chosen };
}

/**
 * A logger that waits its cadence after each reading, or counts it by an inexact clock of its own. Where the cadence
 * changes, the longest stretch that shows it is told.
 */
function* delay({ log }: AuditInput, paces: readonly Pace[]): Generator<Found> {
  const lasts = ({ pace }: Delay) => log.time[pace.last]! - log.time[pace.first]!;
  const [longest] = paces
    .map((pace) => delayIn(log.time, pace))
    .filter((each) => each !== null)
    .sort((a, b) => lasts(b) - lasts(a));
  if (longest === undefined) return;
  const { pace, chosen, off } = longest;
  const real = `${formatDuration(chosen)} ${off > 0 ? 'and' : 'less'} ${(Math.abs(off) / SECOND).toFixed(1)} s`;
  const why =
    off > 0
      ? 'it waits after each reading, and is not late'
      : 'it counts by a clock of its own that runs fast';
  yield {
    finding: findingOn(log, [pace.first, pace.last], {
      ...noted,
      message: `a reading every ${real}: ${why}`,
      count: 1,
      confidence: 'likely',
    }),
    marks: [],
  };
}
