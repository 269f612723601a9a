import { type Period, type PeriodKind, periodsCovering } from '../calendar/period.js';
import type { Zone } from '../calendar/zone.js';
import type { CleanLog } from '../log/log.js';
import { columnOf, pairsOf } from '../log/pairs.js';
import { DAY, HOUR, type Milliseconds } from '../units.js';
import { type JudgedSummary, judge, partOf } from './completeness.js';
import { dewPointsOf, type SummaryOptions, summarise } from './summary.js';

/** A stretch of any length as one, and its civil days, the first and the last cut at its ends. */
export interface SpanSummary {
  readonly whole: JudgedSummary;
  readonly days: readonly JudgedSummary[];
  /** Of each reading of the log [°C]. */
  readonly dewPoints: Float64Array;
}

/** Clocks put back make the longest week and the longest month an hour longer. */
const LONGEST: readonly (readonly [PeriodKind, Milliseconds])[] = [
  ['day', DAY + HOUR],
  ['week', 7 * DAY + HOUR],
  ['month', 31 * DAY + HOUR],
];

/**
 * Judged summary of a stretch, by the rule of the civil period that it fills: up to a day, a week or a month,
 * else that of a year.
 *
 * @param log cleaned
 * @param span not empty
 */
export function summariseSpan(log: CleanLog, span: Period, zone: Zone, options: SummaryOptions): SpanSummary {
  const length = span.end - span.start;
  const kind = LONGEST.find(([, longest]) => length <= longest)?.[0] ?? 'year';
  const pairs = pairsOf(log);
  const dewPoints = columnOf(pairs, dewPointsOf(pairs, options.formula));
  const summarised = (periods: readonly Period[]) => summarise(log, periods, options);
  const days = judge('day', summarised(cutDown('day', span, zone)), []);
  const parts =
    kind === 'day'
      ? []
      : partOf(kind) === 'month'
        ? judge('month', summarised(cutDown('month', span, zone)), days)
        : days;
  return { whole: judge(kind, summarised([span]), parts)[0]!, days, dewPoints };
}

/** The civil periods of a stretch, the first and the last cut at its ends. */
export function cutDown(kind: PeriodKind, { start, end }: Period, zone: Zone): Period[] {
  return periodsCovering(kind, start, end, zone).map((period) => ({
    start: Math.max(period.start, start),
    end: Math.min(period.end, end),
  }));
}
