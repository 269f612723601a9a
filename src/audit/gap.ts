import { formatDuration } from '../calendar/print.js';
import type { Finding, Severity } from '../log/finding.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { type AuditInput, type Check, type Found, linesOf } from './check.js';

/** An interval is a gap from this many cadences on (project rule; design of the vocabulary). */
const OPENS = 1.5;
/** A hole of this length spoils a day (quality rule for days: usable up to 3 h). */
const SERIOUS: Milliseconds = 3 * HOUR;
/** More single lost readings than this are told as one finding. */
const MOST_SINGLES = 20;

export interface Gap {
  readonly from: Instant;
  readonly until: Instant;
  /** Readings that should have come in between. */
  readonly missed: number;
  /** Row of the reading before, -1 at the start of the window; row of the one after, or the length of the log. */
  readonly before: number;
  readonly after: number;
}

/**
 * The gaps of a log, and those at the ends of the window that was asked for.
 *
 * @param time instants [ms], ascending
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
    return [{ from, until, missed: Math.max(1, Math.round((until - from) / cadence)), before: -1, after: 0 }];
  }
  const gaps: Gap[] = [];
  const first = time[0]!;
  if (from !== null && first - from > OPENS * cadence) {
    gaps.push({ from, until: first, missed: Math.round((first - from) / cadence), before: -1, after: 0 });
  }
  for (let row = 1; row < n; row++) {
    const step = time[row]! - time[row - 1]!;
    if (step <= OPENS * cadence) continue;
    const missed = Math.max(1, Math.round(step / cadence) - 1);
    gaps.push({ from: time[row - 1]!, until: time[row]!, missed, before: row - 1, after: row });
  }
  const last = time[n - 1]!;
  if (until !== null && until - last > OPENS * cadence) {
    gaps.push({
      from: last,
      until,
      missed: Math.max(1, Math.round((until - last) / cadence) - 1),
      before: n - 1,
      after: n,
    });
  }
  return gaps;
}

/** Stretches in which no reading came. */
export const gap: Check = {
  name: 'gap',
  looksFor: 'stretches in which no reading came',
  method:
    'Two readings more than 1.5 cadences apart, or the ends of the window without a reading. A single lost reading is ' +
    'a note, 3 h and more are an error.',
  source: 'IOOS QARTOD manual for wind data, test 1 (gap); the factor 1.5 and the severities are our own',
  advice: 'power, network or server: compare with the heartbeats and with the other loggers of the site',
  *run(input) {
    const { log, cadence, from, until } = input;
    if (log.length === 0) {
      yield { finding: silence(input), marks: [] };
      return;
    }
    if (cadence === null) return;
    const gaps = gapsOf(log.time, cadence, from, until);
    const singles = gaps.filter(({ missed }) => missed === 1);
    const told = singles.length > MOST_SINGLES ? gaps.filter(({ missed }) => missed > 1) : gaps;
    if (told.length < gaps.length) yield { finding: manySingles(input, singles), marks: [] };
    for (const each of told) yield gapFinding(input, each);
  },
};

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

function gapFinding({ log }: AuditInput, each: Gap): Found {
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
      message: `no reading for ${formatDuration(until - from)}${where}, ${missed} missed`,
      confidence: 'certain',
    },
    marks: [],
  };
}

function manySingles({ log }: AuditInput, gaps: readonly Gap[]): Finding {
  const rows = gaps
    .flatMap(({ before, after }) => [before, after])
    .filter((row) => row >= 0 && row < log.length);
  return {
    check: 'gap',
    severity: 'note',
    quantity: 'time',
    from: gaps[0]!.from,
    until: gaps.at(-1)!.until,
    count: gaps.length,
    ...linesOf(log, rows),
    message: `${gaps.length} single readings did not come`,
    confidence: 'certain',
  };
}
