import type { Rejection, UnreadableCell } from '../log/account.js';
import { inferCadence } from '../log/cadence.js';
import type { CheckName, Finding } from '../log/finding.js';
import { Flag, worse } from '../log/flag.js';
import { lineAt } from '../log/lines.js';
import { type Flags, flagsOf, type Log, type Measured } from '../log/log.js';
import { pacesOf, STEADY } from '../log/pace.js';
import { type Rows, rowsWithin } from '../log/span.js';
import type { Milliseconds } from '../units.js';
import { type AuditInput, type AuditSettings, isAsked, type Mark, type Unevaluated } from './check.js';
import { CHECKS } from './checks.js';
import { withoutHabits } from './habits.js';
import { QUANTITIES, rowsWithout } from './range.js';

/** A log with a flag for every value. */
export interface Flagged {
  readonly log: Log;
  /** Declared or inferred; null with fewer than two readings. */
  readonly cadence: Milliseconds | null;
  readonly flags: Flags;
  /** Names of the checks that were left out. */
  readonly skipped: ReadonlySet<CheckName>;
}

/** What an audit says of the readings that were asked for. Nothing of the log is changed. */
export interface Audit extends Flagged {
  readonly findings: readonly Finding[];
  /** All readings that there are, and which of them were asked for. */
  readonly around: Flagged;
  readonly asked: Rows;
  /** What could not be looked at, and by which checks. */
  readonly unevaluated: readonly (Unevaluated & { readonly check: CheckName })[];
  /** Which check spoke against which values. */
  readonly marks: readonly { readonly check: CheckName; readonly mark: Mark }[];
  /** By source: whether it runs from the newest reading to the oldest. */
  readonly newestFirst: readonly boolean[];
  /** Cells of its readings that hold no number. */
  readonly unreadable: readonly UnreadableCell[];
}

/** The same without the readings and their flags. */
export type Verdicts = Omit<Audit, 'log' | 'flags' | 'around'>;

/** The part of a reading that an audit needs. */
export interface Audited {
  /** The readings in the stretch that was asked for. */
  readonly log: Log;
  /** All readings that there are, where these are more. */
  readonly around?: Log;
  readonly rejections: readonly Rejection[];
  readonly unreadable: readonly UnreadableCell[];
  readonly parts: readonly {
    readonly newestFirst: boolean;
    /** Lines of readings in the source, of all its loggers and times; not given where that is not known. */
    readonly dataLines?: number;
  }[];
}

/**
 * Runs every check over one log: those that learn over all there is of it, so that what is told of a stretch does
 * not depend on where it was cut out; the others over the stretch that was asked for.
 *
 * @param skip names of checks to leave out
 * @param others logs of the other loggers of the run, all there is of them, for checks that compare
 */
export function audit(
  reading: Audited,
  settings: AuditSettings,
  skip: ReadonlySet<CheckName> = new Set(),
  others: readonly Log[] = [],
): Audit {
  const { log, around = log, rejections } = reading;
  const asked = around === log ? { first: 0, end: log.length } : rowsWithin(around.time, settings);
  const unreadable = cellsOf(log, reading.unreadable);
  const flags = firstFlags(around);
  const newestFirst = reading.parts.map((part) => part.newestFirst);
  const cadence = settings.cadence ?? inferCadence(around.time);
  let whole: AuditInput = {
    ...settings,
    log: around,
    around,
    asked,
    cadence,
    rejections,
    unreadable,
    newestFirst,
    dataLines: reading.parts.map((part) => part.dataLines ?? null),
    flags,
    others,
  };
  let own = around === log ? null : windowOf(whole, log, settings.cadence);
  const findings: Finding[] = [];
  const marks: { check: CheckName; mark: Mark }[] = [];
  const unevaluated: (Unevaluated & { check: CheckName })[] = [];
  for (const check of CHECKS) {
    if (skip.has(check.name)) {
      unevaluated.push({ check: check.name, quantity: null, reason: 'left out' });
      continue;
    }
    const input = check.learns === true ? whole : (own ?? whole);
    for (const each of check.cannot?.(input) ?? []) unevaluated.push({ check: check.name, ...each });
    // a check sees the flags as they were before it: its own marks are set when it is through
    const found = [...check.run(input)];
    for (const { finding, marks: against } of found) {
      if (check.learns !== true || isAsked(finding, input.log, asked)) findings.push(finding);
      for (const mark of against) {
        set(input.flags, mark);
        const { rows } = mark;
        marks.push({
          check: check.name,
          mark: input.log === log ? mark : { ...mark, rows: rowsAsked(rows, asked) },
        });
      }
    }
    // another input: what a check has worked out from the flags it may keep for as long as it is the same
    if (found.some((each) => each.marks.length > 0)) {
      whole = { ...whole };
      own = own && { ...own };
    }
  }
  for (const { quantity } of skip.has('spike') ? [] : withoutHabits(whole))
    setUnevaluated(around, flags, quantity!);
  const { cadence: pace, flags: shown } = own ?? whole;
  return {
    log,
    cadence: pace,
    findings,
    flags: shown,
    skipped: skip,
    around: { log: around, cadence, flags, skipped: skip },
    asked,
    marks,
    unevaluated,
    newestFirst,
    unreadable,
  };
}

/**
 * The readings that were asked for, by themselves. Too few of them to show a cadence have that of the stretch of the
 * log in which they lie.
 */
function windowOf(whole: AuditInput, log: Log, declared: Milliseconds | null): AuditInput {
  const { first, end } = whole.asked;
  const { flags, cadence } = whole;
  const usual = () => (cadence === null ? null : paceAt(whole.log.time, cadence, first));
  return {
    ...whole,
    log,
    asked: { first: 0, end: log.length },
    cadence: declared ?? (log.length > STEADY ? inferCadence(log.time) : null) ?? usual(),
    flags: {
      temperature: flags.temperature.subarray(first, end),
      humidity: flags.humidity.subarray(first, end),
    },
  };
}

/** The cadence of the log at a row. */
function paceAt(time: Float64Array, cadence: Milliseconds, row: number): Milliseconds {
  return pacesOf(time, cadence).findLast((pace) => pace.first <= row)?.cadence ?? cadence;
}

/** Of these rows those that were asked for, counted from the first of them. */
function rowsAsked(rows: ArrayLike<number>, { first, end }: Rows): number[] {
  const within: number[] = [];
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    if (row >= first && row < end) within.push(row - first);
  }
  return within;
}

/** The cells of readings in the log; others lie outside the window that was asked for. */
function cellsOf(log: Log, cells: readonly UnreadableCell[]): readonly UnreadableCell[] {
  if (cells.length === 0) return cells;
  const lines = new Map(log.sources.map((source) => [source, new Set<number>()]));
  // such a cell left its reading without a value
  for (const quantity of QUANTITIES)
    for (const row of rowsWithout(log, quantity))
      lines.get(log.sources[log.source[row]!]!)!.add(lineAt(log.lines, row));
  return cells.filter(({ source, line }) => lines.get(source)?.has(line));
}

/**
 * Before any check: the flag that the input carries, else good, and missing where there is no value. What came as
 * not evaluated stays so, since a check that compares values does not judge those with a flag: see `judgement`.
 */
function firstFlags(log: Log): Flags {
  return { temperature: first(log, 'air_temperature'), humidity: first(log, 'relative_humidity') };
}

function first(log: Log, quantity: Measured): Uint8Array {
  const flags = new Uint8Array(log.length).fill(Flag.good);
  const carried = log.inputFlags === null ? null : flagsOf(log.inputFlags, quantity);
  if (carried !== null)
    for (let row = 0; row < flags.length; row++)
      flags[row] = carried[row] === Flag.notEvaluated ? Flag.notEvaluated : worse(carried[row]!, Flag.good);
  for (const row of rowsWithout(log, quantity))
    flags[row] = carried?.[row] === Flag.bad ? Flag.bad : Flag.missing;
  return flags;
}

/**
 * Values of a quantity that were looked at only for being possible at all: good would say too much. Those that came
 * with a flag were looked at before, among more readings.
 */
function setUnevaluated(log: Log, flags: Flags, quantity: Measured): void {
  const column = flagsOf(flags, quantity);
  const carried = log.inputFlags === null ? null : flagsOf(log.inputFlags, quantity);
  for (let row = 0; row < column.length; row++)
    if (column[row] === Flag.good && (carried === null || carried[row] === 0))
      column[row] = Flag.notEvaluated;
}

function set(flags: Flags, { quantity, rows, flag }: Mark): void {
  const column = flagsOf(flags, quantity);
  for (let i = 0; i < rows.length; i++) column[rows[i]!] = worse(column[rows[i]!]!, flag);
}
