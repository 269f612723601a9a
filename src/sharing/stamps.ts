import type { Zone } from '../calendar/zone.js';
import type { CleanLog } from '../log/log.js';
import { type Instant, MINUTE } from '../units.js';

/** What the time stamps of a log give away. */
export interface StampTrace {
  /** Share of the stamps that do not lie on a whole minute. */
  readonly offMinute: number;
  /** Changes of the clocks of the zone between the first reading and the last: with offsets they name its rule. */
  readonly changes: readonly Instant[];
}

/** Null for a log without readings. */
export function stampTrace(
  { time, length }: Pick<CleanLog, 'time' | 'length'>,
  zone: Zone,
): StampTrace | null {
  if (length === 0) return null;
  let off = 0;
  for (let row = 0; row < length; row++) if (time[row]! % MINUTE !== 0) off++;
  const changes: Instant[] = [];
  const last = time[length - 1]!;
  for (let from = time[0]!; ; ) {
    const change = zone.changeBetween(from, last);
    if (change === null) break;
    changes.push(change);
    from = change;
  }
  return { offMinute: off / length, changes };
}
