import { type Period, type PeriodKind, periodsCovering } from '../calendar/period.js';
import type { Zone } from '../calendar/zone.js';
import { DAY, HOUR, type Instant } from '../units.js';
import type { TimeAxis } from './document.js';
import { clockInWords, dayAndMonth, dayInWords, monthInWords } from './when.js';

/** Marks that a time axis of this length or shorter is given. Our choice: four to a dozen marks. */
const MARKS: readonly {
  readonly longest: number;
  readonly kind: PeriodKind;
  /** Every so many of them. */
  readonly every: number;
  readonly label: (at: Instant, zone: Zone) => string;
}[] = [
  { longest: 2 * DAY, kind: 'hour', every: 6, label: clockInWords },
  { longest: 9 * DAY, kind: 'day', every: 1, label: dayInWords },
  { longest: 93 * DAY, kind: 'week', every: 1, label: dayAndMonth },
  { longest: 800 * DAY, kind: 'month', every: 1, label: monthInWords },
  { longest: Number.POSITIVE_INFINITY, kind: 'year', every: 1, label: (at, zone) => yearOf(at, zone) },
];

/** The axis of a stretch of time, with marks at the round times of the place's clocks in it. */
export function axisOf({ start, end }: Period, zone: Zone): TimeAxis {
  const { kind, every, label } = MARKS.find(({ longest }) => end - start <= longest)!;
  const starts = periodsCovering(kind, start, end, zone)
    .map((period) => period.start)
    .filter((at) => at >= start && (every === 1 || Math.round(zone.wallAt(at) / HOUR) % every === 0));
  return { from: start, until: end, ticks: starts.map((at) => ({ at, label: label(at, zone) })) };
}

function yearOf(at: Instant, zone: Zone): string {
  return new Date(zone.wallAt(at)).getUTCFullYear().toString();
}
