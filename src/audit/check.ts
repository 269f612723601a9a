import type { Zone } from '../calendar/zone.js';
import type { Rejection, UnreadableCell } from '../log/account.js';
import type { CheckName, Confidence, Finding, Severity } from '../log/finding.js';
import type { Flag } from '../log/flag.js';
import { lineAt } from '../log/lines.js';
import type { Flags, Log, Measured } from '../log/log.js';
import type { Accuracy, Range } from '../log/sensor.js';
import { firstFrom, type Rows } from '../log/span.js';
import type { Celsius, Instant, Milliseconds } from '../units.js';
import type { OwnLimits } from './limits.js';

/** What a site may say of the limits. */
export type LimitSetting = 'cadence' | 'limits' | 'ownLimits' | 'sensorRange' | 'accuracy';

/** What a log is measured against. */
export interface AuditSettings {
  /** Nominal time between readings where it was declared, else null. */
  readonly cadence: Milliseconds | null;
  /** The stretch that was asked for, half-open; null is where the log itself begins or ends. */
  readonly from: Instant | null;
  readonly until: Instant | null;
  /** Values outside are impossible for air [°C, %]. */
  readonly limits: { readonly airTemperature: Range; readonly relativeHumidity: Range };
  /** What the site states in place of the limits of the checks that compare values; absent where it states none. */
  readonly ownLimits?: OwnLimits;
  /** What the sensor can measure at all [°C, %]; null where not stated. */
  readonly sensorRange: { readonly airTemperature: Range | null; readonly relativeHumidity: Range | null };
  /** Greatest error of the sensor to either side. */
  readonly accuracy: Accuracy;
  /** The value in °C that a temperature has in the unit in which the log was written. */
  readonly toCelsius: (written: number) => Celsius;
  /** For times of day in messages. */
  readonly zone: Zone;
}

/** A limit of a check as it is in force, for people. */
export interface LimitInForce {
  readonly limit: string;
  readonly value: string;
  /** Whether the site states it in place of the default. */
  readonly isStated: boolean;
  /** Where in the site file it can be stated, by the names of the tables: under `sensor` in a [[logger]] only. */
  readonly key: string;
}

/** A log with all that is known about how it was read. */
export interface AuditInput extends AuditSettings {
  /** The readings in the stretch that was asked for; for a check that learns, all there are. */
  readonly log: Log;
  /** All readings there are, whatever was asked for. */
  readonly around: Log;
  /** The rows in the stretch that was asked for: what is told is told of these. */
  readonly asked: Rows;
  /** Declared or inferred; null where the log has too few readings to have one. */
  readonly cadence: Milliseconds | null;
  readonly rejections: readonly Rejection[];
  readonly unreadable: readonly UnreadableCell[];
  /** By source: whether it runs from the newest reading to the oldest. */
  readonly newestFirst: readonly boolean[];
  /** By source: how many lines of readings it holds, of all its loggers and times; null where not known. */
  readonly dataLines: readonly (number | null)[];
  /** The other loggers of the run, as they were read. */
  readonly others: readonly Log[];
  /** Flags given by the checks before this one. Values they call bad or missing are not judged again. */
  readonly flags: Flags;
}

/** A quantity that a check could not look at. */
export interface Unevaluated {
  /** Null for the check as a whole. */
  readonly quantity: Measured | null;
  readonly reason: 'too few readings' | 'no range stated' | 'no other logger' | 'left out';
}

/** What a check found, and the rows whose values it speaks against. */
export interface Found {
  readonly finding: Finding;
  readonly marks: readonly Mark[];
}

/** Numbers of rows, ascending. Those of long stretches are many: an array of them takes twice the memory. */
export type RowNumbers = readonly number[] | Uint32Array;

export interface Mark {
  readonly quantity: Measured;
  readonly rows: ArrayLike<number>;
  readonly flag: Flag;
}

/**
 * Looks at a whole log and changes nothing. Help texts, documentation and `--skip` are made from what it
 * says of itself.
 */
export interface Check {
  readonly name: CheckName;
  /** What it looks for, in one line. */
  readonly looksFor: string;
  /** What the limits are and where they come from. */
  readonly method: string;
  readonly source: string;
  /** What to look at on the device. */
  readonly advice: string;
  /** The limits that a site can state; absent where there are none: those of the method are fixed. */
  limits?(settings: Pick<AuditSettings, LimitSetting>): readonly LimitInForce[];
  /**
   * It judges readings by others of the log: it is given all there are, so that what it says of a day does not depend
   * on the days that were asked for. Its findings must not reach over an end of the rows asked for: see `partsOf`.
   */
  readonly learns?: true;
  /** What it cannot look at in this log; absent where it always can. */
  cannot?(input: AuditInput): readonly Unevaluated[];
  run(input: AuditInput): Iterable<Found>;
}

/** Rows of a log that belong together, as one finding. */
export interface Stated {
  readonly check: CheckName;
  readonly severity: Severity;
  readonly quantity: Finding['quantity'];
  readonly message: string;
  readonly confidence?: Confidence;
  readonly count?: number;
}

/** A finding about these rows, ascending and not empty. */
export function findingOn(log: Log, rows: ArrayLike<number>, stated: Stated): Finding {
  const first = rows[0]!;
  const last = rows[rows.length - 1]!;
  return {
    check: stated.check,
    severity: stated.severity,
    quantity: stated.quantity,
    from: log.time[first]!,
    until: log.time[last]!,
    count: stated.count ?? rows.length,
    ...linesOf(log, rows),
    message: stated.message,
    confidence: stated.confidence ?? 'certain',
  };
}

/** First and last line among these rows, in the source of the first of them. */
export function linesOf(log: Log, rows: ArrayLike<number>): Pick<Finding, 'source' | 'lines'> {
  const source = log.source[rows[0]!]!;
  let first = Infinity;
  let last = 0;
  for (let i = 0; i < rows.length; i++) {
    const row = rows[i]!;
    if (log.source[row] !== source) continue;
    first = Math.min(first, lineAt(log.lines, row));
    last = Math.max(last, lineAt(log.lines, row));
  }
  return { source: log.sources[source] ?? null, lines: [first, last] };
}

/** The rows before those asked for, of them and after them, each where there are any. */
export function partsOf<Numbers extends RowNumbers>(rows: Numbers, { first, end }: Rows): Numbers[] {
  const from = firstFrom(rows, first);
  const to = firstFrom(rows, end);
  if (from === 0 && to === rows.length) return to === 0 ? [] : [rows];
  const parts = [rows.slice(0, from), rows.slice(from, to), rows.slice(to)] as Numbers[];
  return parts.filter(({ length }) => length > 0);
}

/** What is added to a message about rows that are a part of what was found. */
export function partOf(part: ArrayLike<number>, rows: ArrayLike<number>): string {
  return part.length < rows.length ? ', in part outside the time asked for' : '';
}

/** Beyond so many findings of one kind the list of them says less than their number. */
export const MOST_FINDINGS = 20;

/**
 * The findings as they are, or very many as one.
 *
 * @param all about one quantity, in order of time
 * @param message of the one, by how many they were
 */
export function fewOf(
  { log, asked }: Pick<AuditInput, 'log' | 'asked'>,
  all: readonly Found[],
  message: (count: number) => string,
): readonly Found[] {
  if (all.length <= MOST_FINDINGS) return all;
  const found = all.filter(({ finding }) => isAsked(finding, log, asked));
  if (found.length <= MOST_FINDINGS) return all;
  const first = found[0]!.finding;
  const last = found.at(-1)!.finding;
  const here = found.flatMap(({ finding }) => (finding.source === first.source ? (finding.lines ?? []) : []));
  return [
    ...all.filter(({ finding }) => !isAsked(finding, log, asked)),
    {
      finding: {
        ...first,
        until: last.until,
        count: found.reduce((sum, { finding }) => sum + finding.count, 0),
        lines: [Math.min(...here), Math.max(...here)],
        message: message(found.length),
      },
      marks: found.flatMap(({ marks }) => marks),
    },
  ];
}

/** Whether a finding is about rows that were asked for, or about none in particular. */
export function isAsked({ from }: Finding, { time }: Log, { first, end }: Rows): boolean {
  return from === null || (from >= (time[first] ?? Infinity) && from <= (time[end - 1] ?? -Infinity));
}
