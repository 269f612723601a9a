import type { Audit } from '../audit/audit.js';
import { displacedRows } from '../audit/disorder.js';
import type { Cleaned } from '../cleaning/clean.js';
import type { Rejection } from '../log/account.js';
import type { CheckName } from '../log/finding.js';
import { Flag, isUsable } from '../log/flag.js';
import type { Log } from '../log/log.js';
import type { Instant, Milliseconds } from '../units.js';

/** What came with a row. */
export const Content = { usable: 0, none: 1, stuck: 2, unusable: 3 } as const;
export type Content = (typeof Content)[keyof typeof Content];

/** The rows of one logger as they came in, whatever their values. */
export interface Arrivals {
  readonly cadence: Milliseconds | null;
  /** Instants of the rows [ms], ascending, each once. */
  readonly time: Float64Array;
  readonly content: Uint8Array;
  /** 1 where newer rows stand in front of it in the input: it was held back. */
  readonly late: Uint8Array;
  /** 1 for a value with which one-wire thermometers answer before their first conversion. */
  readonly powerOn: Uint8Array;
  /** Lines between a row and the next that are there and cannot be read. */
  readonly torn: Uint16Array;
  /** The last row before the time that is looked at and the first after it, where they are known. */
  readonly before: Instant | null;
  readonly after: Instant | null;
}

/** The power-on value of one-wire thermometers [°C] (data sheet quoted in driver threads). */
const POWER_ON = 85;
/** Checks that speak of a sensor which answers, and measures nothing. */
const STUCK: ReadonlySet<CheckName> = new Set(['flat_line', 'saturation']);

/**
 * @param around the readings with those just outside the window
 */
export function arrivalsOf(
  { log, flags, marks, cadence, newestFirst }: Audit,
  { kept }: Pick<Cleaned, 'kept'>,
  around: Log,
  rejections: readonly Rejection[],
): Arrivals {
  const columns = [
    { values: log.temperature, flags: flags.temperature },
    { values: log.humidity, flags: flags.humidity },
  ].filter(({ values }) => values.some((value) => !Number.isNaN(value)));
  const stuck = new Set<number>();
  for (const { check, mark } of marks) {
    if (STUCK.has(check) && mark.flag === Flag.bad) for (const row of Array.from(mark.rows)) stuck.add(row);
  }
  const displaced = new Set(displacedRows(log, newestFirst, cadence));
  const n = kept.length;
  const arrivals = {
    time: new Float64Array(n),
    content: new Uint8Array(n),
    late: new Uint8Array(n),
    powerOn: new Uint8Array(n),
    torn: new Uint16Array(n),
  };
  for (let i = 0; i < n; i++) {
    const row = kept[i]!;
    arrivals.time[i] = log.time[row]!;
    arrivals.content[i] = contentOf(row);
    if (displaced.has(row)) arrivals.late[i] = 1;
    if (log.temperature[row] === POWER_ON && !isUsable(flags.temperature[row]!)) arrivals.powerOn[i] = 1;
    if (i + 1 < n) arrivals.torn[i] = tornBetween(log, row, kept[i + 1]!, rejections);
  }

  function contentOf(row: number): Content {
    const isNone = ({ values, flags }: (typeof columns)[number]) =>
      flags[row] === Flag.missing || Number.isNaN(values[row]);
    if (columns.length === 0 || columns.some(isNone)) return Content.none;
    if (stuck.has(row)) return Content.stuck;
    return columns.every(({ flags }) => isUsable(flags[row]!)) ? Content.usable : Content.unusable;
  }

  return { cadence, ...arrivals, ...neighbours(log, around) };
}

/** Lines between two rows, as many of them as were rejected thereabouts. */
function tornBetween(log: Log, row: number, next: number, rejections: readonly Rejection[]): number {
  if (rejections.length === 0 || log.source[row] !== log.source[next]) return 0;
  const from = Math.min(log.line[row]!, log.line[next]!);
  const to = Math.max(log.line[row]!, log.line[next]!);
  if (to - from < 2) return 0;
  const source = log.sources[log.source[row]!];
  let torn = 0;
  for (const { source: where, firstLine, lastLine, count } of rejections) {
    if (where !== source) continue;
    const lines = Math.min(to - 1, lastLine) - Math.max(from + 1, firstLine) + 1;
    if (lines > 0) torn += Math.min(lines, count);
  }
  return Math.min(torn, to - from - 1);
}

function neighbours(log: Log, around: Log): Pick<Arrivals, 'before' | 'after'> {
  if (log.length === 0 || around === log) return { before: null, after: null };
  const first = log.time[0]!;
  const last = log.time[log.length - 1]!;
  let before: Instant | null = null;
  let after: Instant | null = null;
  for (const time of around.time) {
    if (time < first) before = time;
    else if (time > last && after === null) after = time;
  }
  return { before, after };
}
