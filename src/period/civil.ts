import { type PeriodKind, periodsCovering } from '../calendar/period.js';
import type { Zone } from '../calendar/zone.js';
import type { CleanLog } from '../log/log.js';
import type { Instant } from '../units.js';
import { type JudgedSummary, judge, partOf } from './completeness.js';
import { type SummaryOptions, summarise } from './summary.js';

/**
 * Judged summaries of all civil periods of `kind` that overlap [from, until).
 * A week, month or year is judged by summaries of the days or months in it, which are made on the way.
 *
 * @param log cleaned
 * @param zone whose days and hours they are
 */
export function summariseCivil(
  log: CleanLog,
  kind: PeriodKind,
  from: Instant,
  until: Instant,
  zone: Zone,
  options: SummaryOptions,
): JudgedSummary[] {
  const periods = periodsCovering(kind, from, until, zone);
  const part = partOf(kind);
  const first = periods[0];
  const last = periods.at(-1);
  const parts =
    part === null || first === undefined || last === undefined
      ? []
      : summariseCivil(log, part, first.start, last.end, zone, options);
  return judge(kind, summarise(log, periods, options), parts);
}
