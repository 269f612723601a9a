import type { CleanLog } from '../log/log.js';
import { DAY, HOUR, type Instant, type WallTime } from '../units.js';

export const HOURS = DAY / HOUR;
/** With fewer hours a day says nothing of its rhythm. */
const LEAST_HOURS = 20;

/** How the hours of one day lie to the mean of the day; NaN for an hour without a value. */
export interface DayShape {
  /** 0 is Sunday. */
  readonly weekday: number;
  readonly deviation: Float64Array;
}

/**
 * The shapes of the days of which at least 20 hours are known.
 *
 * @param values one for each reading, NaN where there is none
 * @param wallAt what clocks show at an instant, as if it were UTC: of a zone, or the instant itself
 */
export function dayShapes(
  { time, length }: Pick<CleanLog, 'time' | 'length'>,
  values: Float64Array,
  wallAt: (instant: Instant) => WallTime,
): DayShape[] {
  const days = new Map<number, { sum: Float64Array; count: Uint32Array }>();
  for (let row = 0; row < length; row++) {
    if (Number.isNaN(values[row])) continue;
    const wall = wallAt(time[row]!);
    const day = Math.floor(wall / DAY);
    const hours = days.get(day) ?? { sum: new Float64Array(HOURS), count: new Uint32Array(HOURS) };
    days.set(day, hours);
    const hour = Math.floor(wall / HOUR) - day * HOURS;
    hours.sum[hour]! += values[row]!;
    hours.count[hour]!++;
  }
  const shapes: DayShape[] = [];
  for (const [day, { sum, count }] of days) {
    const mean = sum.map((each, hour) => each / count[hour]!);
    const known = mean.filter((each) => !Number.isNaN(each));
    if (known.length < LEAST_HOURS) continue;
    const level = known.reduce((total, each) => total + each, 0) / known.length;
    // 1 January 1970 was a Thursday
    shapes.push({ weekday: (((day + 4) % 7) + 7) % 7, deviation: mean.map((each) => each - level) });
  }
  return shapes;
}
