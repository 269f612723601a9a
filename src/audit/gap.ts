import { formatDuration } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { type Finding, SEVERITIES, type Severity } from '../log/finding.js';
import { nextOff } from '../log/intervals.js';
import type { Log } from '../log/log.js';
import { type Pace, pacesOf } from '../log/pace.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { changedHourIn } from './changedHour.js';
import { type AuditInput, type Check, type Found, linesOf } from './check.js';

/** An interval is a gap from this many cadences on (project rule; design of the vocabulary). */
const OPENS = 1.5;
/** A hole of this length spoils a day (quality rule for days: usable up to 3 h). */
const SERIOUS: Milliseconds = 3 * HOUR;
/** More single lost readings than this are told as one finding. */
const MOST_SINGLES = 20;
/** Longer holes are events, each to be told. So many of one severity are no events: the cadence, or the network, is wrong. */
const MOST_EVENTS = 100;

/**
 * Where exports end that are cut: usual limits of queries, and the rows of old and new spreadsheets with and without a
 * heading (quality rule; the numbers are common practice, no source).
 */
const CUT_AT: readonly number[] = [1000, 10_000, 50_000, 65_535, 65_536, 1_048_575, 1_048_576];

export interface Gap {
  readonly from: Instant;
  readonly until: Instant;
  /** Readings that should have come in between, at the cadence of that time [ms]. */
  readonly missed: number;
  readonly cadence: Milliseconds;
  /** Row of the reading before, -1 at the start of the window; row of the one after, or the length of the log. */
  readonly before: number;
  readonly after: number;
}

/**
 * The gaps of a log, and those at the ends of the window that was asked for. Where the cadence changes in the log,
 * each stretch has its own.
 *
 * @param time instants [ms], ascending
 * @param cadence of the log as a whole [ms]
 */
export function gapsOf(
  time: Float64Array,
  cadence: Milliseconds,
  from: Instant | null,
  until: Instant | null,
): Gap[] {
  const n = time.length;
  if (n === 0) {
    if (from === null || until === null) return [];
    const missed = Math.max(1, Math.round((until - from) / cadence));
    return [{ from, until, missed, cadence, before: -1, after: 0 }];
  }
  const paces = pacesOf(time, cadence);
  const gaps: Gap[] = [];
  const first = time[0]!;
  const atFirst = paces[0]!.cadence;
  if (from !== null && first - from > OPENS * atFirst) {
    const missed = Math.round((first - from) / atFirst);
    gaps.push({ from, until: first, missed, cadence: atFirst, before: -1, after: 0 });
  }
  const within = known.get(paces) ?? gapsIn(time, paces);
  known.set(paces, within);
  for (const each of within) gaps.push(each);
  const last = time[n - 1]!;
  const atLast = paces.at(-1)!.cadence;
  if (until !== null && until - last > OPENS * atLast) {
    gaps.push({
      from: last,
      until,
      missed: Math.max(1, Math.round((until - last) / atLast) - 1),
      cadence: atLast,
      before: n - 1,
      after: n,
    });
  }
  return gaps;
}

/** The gaps between the readings of a log: whatever the window, they are the same. */
const known = new WeakMap<readonly Pace[], readonly Gap[]>();

function gapsIn(time: Float64Array, paces: readonly Pace[]): Gap[] {
  const gaps: Gap[] = [];
  for (const pace of paces) {
    const isLast = pace.last + 1 === time.length;
    const within = isLast ? time : time.subarray(0, pace.last + 1);
    const longest = OPENS * pace.cadence;
    let row = nextOff(within, pace.first + 1, 0, longest);
    for (; row <= pace.last; row = nextOff(within, row + 1, 0, longest)) {
      const step = time[row]! - time[row - 1]!;
      const missed = Math.max(1, Math.round(step / pace.cadence) - 1);
      const between = { from: time[row - 1]!, until: time[row]!, before: row - 1, after: row };
      gaps.push({ ...between, missed, cadence: pace.cadence });
    }
  }
  return gaps;
}

/** Stretches in which no reading came. */
export const gap: Check = {
  name: 'gap',
  looksFor: 'stretches in which no reading came, and exports that are cut at a limit',
  method:
    `Two readings more than ${OPENS} cadences apart (of the cadence at that time, where it changes), or the ends of the ` +
    `window without a reading; for a log without a cadence, ends of more than ${SERIOUS / HOUR} h. A single lost reading is a ` +
    `note, ${SERIOUS / HOUR} h and more are an error. A file of exactly ${CUT_AT.join(', ')} lines of readings, with no other file ` +
    'that goes on from it, may be cut.',
  source: 'IOOS QARTOD manual for wind data, test 1 (gap); the factor 1.5 and the severities are our own',
  advice: 'power, network or server: compare with the heartbeats and with the other loggers of the site',
  limits: ({ cadence }) => [
    {
      limit: 'cadence',
      value: cadence === null ? 'inferred from the log' : formatDuration(cadence),
      isStated: cadence !== null,
      key: 'cadence',
    },
  ],
  *run(input) {
    const { log, cadence, from, until, zone } = input;
    if (log.length === 0) {
      yield { finding: silence(input), marks: [] };
      return;
    }
    const holes = gapsOf(log.time, cadence ?? SERIOUS / OPENS, from, until);
    const gaps = cadence === null ? holes : holes.filter((hole) => !isChangedHour(hole, log, zone));
    const bySeverity = SEVERITIES.map((severity) => gaps.filter((each) => severityOf(each) === severity));
    const folded = bySeverity.filter(
      ({ length }, i) => length > (SEVERITIES[i] === 'note' ? MOST_SINGLES : MOST_EVENTS),
    );
    for (const many of folded) yield { finding: manyGaps(input, many), marks: [] };
    const told = new Set(folded.flat());
    for (const each of gaps) if (!told.has(each)) yield gapFinding(input, each);
    yield* cutExports(input);
  },
};

/** Holes at a change of the clocks are told by daylight_saving. */
function isChangedHour(hole: Gap, log: Log, zone: Zone): boolean {
  return hole.before >= 0 && hole.after < log.length && changedHourIn(hole, hole.cadence, zone) !== null;
}

function silence({ from, until, log }: AuditInput): Finding {
  return {
    check: 'gap',
    severity: 'error',
    quantity: 'time',
    from,
    until,
    count: 1,
    source: log.sources[0] ?? null,
    lines: null,
    message:
      from === null && until === null ? 'no reading at all' : 'no reading in the time that was asked for',
    confidence: 'certain',
  };
}

function severityOf({ from, until, missed }: Gap): Severity {
  if (until - from >= SERIOUS) return 'error';
  return missed === 1 ? 'note' : 'warning';
}

function gapFinding({ log, cadence }: AuditInput, each: Gap): Found {
  const { from, until, missed, before, after } = each;
  const rows = [before, after].filter((row) => row >= 0 && row < log.length);
  const where = before < 0 ? ' before the first' : after >= log.length ? ' after the last' : '';
  return {
    finding: {
      check: 'gap',
      severity: severityOf(each),
      quantity: 'time',
      from,
      until,
      count: 1,
      ...linesOf(log, rows),
      message: `no reading for ${formatDuration(until - from)}${where}${cadence === null ? '' : `, ${missed} missed`}`,
      confidence: 'certain',
    },
    marks: [],
  };
}

/** @param gaps of one severity */
function manyGaps({ log }: AuditInput, gaps: readonly Gap[]): Finding {
  const rows = gaps
    .flatMap(({ before, after }) => [before, after])
    .filter((row) => row >= 0 && row < log.length);
  const severity = severityOf(gaps[0]!);
  const missed = gaps.reduce((sum, each) => sum + each.missed, 0);
  const longest = gaps.reduce((most, { from, until }) => Math.max(most, until - from), 0);
  return {
    check: 'gap',
    severity,
    quantity: 'time',
    from: gaps[0]!.from,
    until: gaps.at(-1)!.until,
    count: gaps.length,
    ...linesOf(log, rows),
    message:
      severity === 'note'
        ? `${gaps.length} single readings did not come`
        : `${gaps.length} times no reading for up to ${formatDuration(longest)}, ${missed} missed`,
    confidence: 'certain',
  };
}

/** Sources of just so many lines that their end, or their beginning, may be missing. */
function* cutExports(input: AuditInput): Generator<Found> {
  const { log, dataLines } = input;
  for (const [source, lines] of dataLines.entries()) {
    if (lines === null || !CUT_AT.includes(lines)) continue;
    const first = log.source.indexOf(source);
    const last = log.source.lastIndexOf(source);
    if (first < 0 || goesOnBefore(input, first) || goesOnBefore(input, last + 1)) continue;
    yield {
      finding: {
        check: 'gap',
        severity: 'note',
        quantity: 'time',
        from: log.time[first]!,
        until: log.time[last]!,
        count: 1,
        ...linesOf(log, [first, last]),
        message: `the file holds exactly ${lines} lines of readings: the export may be cut at a limit, and the log go on`,
        confidence: 'likely',
      },
      marks: [],
    };
  }
}

/** Whether a row follows the one before it without a gap: another file goes on where this one is cut. */
function goesOnBefore({ log, cadence }: AuditInput, row: number): boolean {
  if (row <= 0 || row >= log.length || cadence === null) return false;
  return log.time[row]! - log.time[row - 1]! <= OPENS * cadence;
}
