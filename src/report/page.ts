import type { Audit } from '../audit/audit.js';
import type { Period } from '../calendar/period.js';
import type { Window } from '../calendar/window.js';
import type { Zone } from '../calendar/zone.js';
import type { Companion } from '../damp/companion.js';
import type { WetTimes } from '../damp/condensation.js';
import { both, tallied } from '../damp/intervals.js';
import type { InputError } from '../errors.js';
import { type SpanSummary, summariseSpan } from '../period/span.js';
import type { SourceAccount } from '../reading/logs.js';
import type { Milliseconds } from '../units.js';
import { AFTER_LAST, type LogCoverage, logCoverage } from './coverage.js';
import type { DampLog } from './dampReport.js';
import { type DescribedLog, exposedLog } from './exposedLog.js';
import { type Extremes, extremesOf } from './extremes.js';
import type { OutagesReport } from './outagesReport.js';

/** Everything that a page tells, in numbers; its words are made from this. */
export interface Page {
  /** Null where there is no site file, or it names none. */
  readonly place: string | null;
  readonly zone: Zone;
  readonly zoneFrom: string;
  /** The time that the page is about; null where nothing was read and no time was asked for. */
  readonly span: Period | null;
  readonly loggers: readonly PageLogger[];
  readonly outages: OutagesReport;
  /** Inputs that could not be read. */
  readonly failures: readonly InputError[];
  readonly sources: readonly SourceAccount[];
  readonly made: Making;
  /** How an input is called on the page, by its path: without the folder that all of it lies in. */
  nameOf(path: string): string;
}

/** How a page was made: with the same of everything here it comes out the same, byte for byte. */
export interface Making {
  /** Name and version of the program. */
  readonly program: string;
  readonly inputs: readonly PageInput[];
  /** The options that were given, as words. */
  readonly options: readonly string[];
}

export interface PageInput {
  readonly path: string;
  /** Of the file as it lies there; null for standard input, which is gone. */
  readonly sha256: string | null;
}

export interface PageLogger extends DescribedLog, SpanSummary {
  readonly id: string;
  readonly span: Period;
  readonly coverage: LogCoverage;
  readonly extremes: Extremes;
  /** Over the whole time. */
  readonly damp: DampLog;
  /** By surface, in the order of `damp.surfaces`. */
  readonly surfaces: readonly SurfaceDetail[];
}

/** What the page shows of a surface besides its sums. */
export interface SurfaceDetail {
  /** Wet as measured, and not known, on each day [ms]. */
  readonly days: readonly { readonly wet: Milliseconds; readonly unknown: Milliseconds }[];
  /** In the time that the page is about. */
  readonly times: WetTimes;
}

/** The time that a page is about: what was asked for, and where that is open as far as there is any sign. */
export function spanOfPage(
  logs: readonly DescribedLog[],
  window: Window,
  { watch }: Pick<OutagesReport, 'watch'>,
): Period | null {
  const times = logs.map(({ cleaned: { log } }) => log).filter(({ length }) => length > 0);
  const firsts = [...times.map(({ time }) => time[0]!), ...(watch === null ? [] : [watch.from])];
  const lasts = [
    ...times.map(({ time }) => time.at(-1)! + AFTER_LAST),
    ...(watch === null ? [] : [watch.until]),
  ];
  const start = window.from ?? (firsts.length > 0 ? Math.min(...firsts) : null);
  const end = window.until ?? (lasts.length > 0 ? Math.max(...lasts) : null);
  return start === null || end === null || end <= start ? null : { start, end };
}

/**
 * What the page tells of one logger.
 *
 * @param companions of the logger's surfaces, in their order
 */
export function pageLogger(
  described: DescribedLog & { readonly audit: Audit },
  companions: readonly (Companion | null)[],
  span: Period,
  zone: Zone,
): PageLogger {
  const { reading, logger, audit, cleaned, course, bridge } = described;
  const summary = summariseSpan(course, span, zone, { bridge });
  const days = summary.days.map(({ period }) => period);
  const damp = exposedLog(described, logger.surfaces, companions, [span], days);
  return {
    ...described,
    ...summary,
    id: reading.log.logger,
    span,
    coverage: logCoverage(cleaned.log, course, audit.cadence, bridge, span.start, span.end),
    extremes: extremesOf(audit, cleaned, summary.whole),
    damp,
    surfaces: damp.surfaces.map((exposure) => {
      const times = within(exposure.times, span);
      const wet = tallied(days, times.wet);
      const known = tallied(days, times.known);
      return {
        times,
        days: days.map(({ start, end }, d) => ({
          wet: wet.time[d]!,
          unknown: end - start - known.time[d]!,
        })),
      };
    }),
  };
}

function within({ known, wet }: WetTimes, { start, end }: Period): WetTimes {
  return { known: both(known, [start, end]), wet: both(wet, [start, end]) };
}
