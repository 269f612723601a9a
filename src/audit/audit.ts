import type { Rejection, UnreadableCell } from '../log/account.js';
import { inferCadence } from '../log/cadence.js';
import type { CheckName, Finding } from '../log/finding.js';
import { Flag, worse } from '../log/flag.js';
import { type Flags, flagsOf, type Log } from '../log/log.js';
import type { Milliseconds } from '../units.js';
import type { AuditInput, AuditSettings, Mark } from './check.js';
import { CHECKS } from './checks.js';

/** What an audit says of a log. Nothing of the log is changed. */
export interface Audit {
  readonly log: Log;
  /** Declared or inferred; null with fewer than two readings. */
  readonly cadence: Milliseconds | null;
  readonly findings: readonly Finding[];
  /** A flag for every value. */
  readonly flags: Flags;
  /** Which check spoke against which values. */
  readonly marks: readonly { readonly check: CheckName; readonly mark: Mark }[];
  /** By source: whether it runs from the newest reading to the oldest. */
  readonly newestFirst: readonly boolean[];
  /** Cells of its readings that hold no number. */
  readonly unreadable: readonly UnreadableCell[];
}

/** The part of a reading that an audit needs. */
export interface Audited {
  readonly log: Log;
  readonly rejections: readonly Rejection[];
  readonly unreadable: readonly UnreadableCell[];
  readonly parts: readonly {
    readonly newestFirst: boolean;
    /** Lines of readings in the source, of all its loggers and times; not given where that is not known. */
    readonly dataLines?: number;
  }[];
}

/**
 * Runs every check over one log.
 *
 * @param skip names of checks to leave out
 * @param others logs of the other loggers of the run, for checks that compare
 */
export function audit(
  reading: Audited,
  settings: AuditSettings,
  skip: ReadonlySet<CheckName> = new Set(),
  others: readonly Log[] = [],
): Audit {
  const { log, rejections } = reading;
  const unreadable = cellsOf(log, reading.unreadable);
  const cadence = settings.cadence ?? inferCadence(log.time);
  const flags = firstFlags(log);
  const newestFirst = reading.parts.map((part) => part.newestFirst);
  let input: AuditInput = {
    ...settings,
    log,
    cadence,
    rejections,
    unreadable,
    newestFirst,
    dataLines: reading.parts.map((part) => part.dataLines ?? null),
    flags,
    others,
  };
  const findings: Finding[] = [];
  const marks: { check: CheckName; mark: Mark }[] = [];
  for (const check of CHECKS) {
    if (skip.has(check.name)) continue;
    // a check sees the flags as they were before it: its own marks are set when it is through
    const found = [...check.run(input)];
    for (const { finding, marks: against } of found) {
      findings.push(finding);
      for (const mark of against) {
        set(flags, mark);
        marks.push({ check: check.name, mark });
      }
    }
    // another input: what a check has worked out from the flags it may keep for as long as it is the same
    if (found.some((each) => each.marks.length > 0)) input = { ...input };
  }
  return { log, cadence, findings, flags, marks, newestFirst, unreadable };
}

/** The cells of readings in the log; others lie outside the window that was asked for. */
function cellsOf(log: Log, cells: readonly UnreadableCell[]): readonly UnreadableCell[] {
  if (cells.length === 0) return cells;
  const lines = new Map(log.sources.map((source) => [source, new Set<number>()]));
  for (let row = 0; row < log.length; row++) {
    // such a cell left its reading without a value
    if (!Number.isNaN(log.temperature[row]) && !Number.isNaN(log.humidity[row])) continue;
    lines.get(log.sources[log.source[row]!]!)!.add(log.line[row]!);
  }
  return cells.filter(({ source, line }) => lines.get(source)?.has(line));
}

/** Before any check: the flag that the input carries, else good, and missing where there is no value. */
function firstFlags(log: Log): Flags {
  return {
    temperature: first(log.temperature, log.inputFlags?.temperature ?? null),
    humidity: first(log.humidity, log.inputFlags?.humidity ?? null),
  };
}

function first(values: Float64Array, carried: Uint8Array | null): Uint8Array {
  const flags = new Uint8Array(values.length);
  for (let row = 0; row < values.length; row++) {
    const before = carried === null ? 0 : carried[row]!;
    if (Number.isNaN(values[row])) flags[row] = before === Flag.bad ? Flag.bad : Flag.missing;
    else flags[row] = worse(before, Flag.good);
  }
  return flags;
}

function set(flags: Flags, { quantity, rows, flag }: Mark): void {
  const column = flagsOf(flags, quantity);
  for (let i = 0; i < rows.length; i++) column[rows[i]!] = worse(column[rows[i]!]!, flag);
}
