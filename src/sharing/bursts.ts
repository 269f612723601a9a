import type { CleanLog } from '../log/log.js';
import { vapourPressure } from '../psychrometry/vapourPressure.js';
import { DAY, HOUR, type Instant, type Milliseconds, type WallTime } from '../units.js';

/** Vapour that grows by this within so long, and has gone back by most of it within so long, is made by people (own estimate). */
const GROWS = 1.2;
const WITHIN: Milliseconds = HOUR;
const LEFT = 1.1;
const GONE: Milliseconds = 3 * HOUR;
/** A stretch of the day in which they are looked for together [h]. */
const STRETCH = 4;

/** Short rises of the vapour in the air, as showers, cooking and washing make them. */
export interface Bursts {
  readonly count: number;
  /** For each day that is covered by readings. */
  readonly perDay: number;
  /** Hour of the day at which the four hours begin that hold most of them, and the share that they hold. */
  readonly from: number;
  readonly share: number;
}

/**
 * Null where readings come too seldom to see them: less than two within the hour.
 *
 * @param cadence [ms]
 */
export function burstsOf(
  { time, temperature, humidity, length }: CleanLog,
  cadence: Milliseconds | null,
  wallAt: (instant: Instant) => WallTime,
): Bursts | null {
  if (cadence === null || 2 * cadence > WITHIN || length === 0) return null;
  const vapour = temperature.map((value, row) => vapourPressure(value, humidity[row]!));
  const byHour = new Uint32Array(DAY / HOUR);
  let count = 0;
  let covered = 0;
  let base = 0; // the first row of the hour that is looked back over
  for (let row = 1; row < length; row++) {
    covered += Math.min(time[row]! - time[row - 1]!, WITHIN);
    while (time[row]! - time[base]! > WITHIN) base++;
    let least = Infinity;
    for (let at = base; at < row; at++) if (vapour[at]! < least) least = vapour[at]!;
    if (!(vapour[row]! > GROWS * least)) continue;
    let end = row + 1;
    while (end < length && time[end]! - time[row]! <= GONE && !(vapour[end]! < LEFT * least)) end++;
    if (end >= length || time[end]! - time[row]! > GONE) continue;
    count++;
    byHour[Math.floor((((wallAt(time[row]!) % DAY) + DAY) % DAY) / HOUR)]!++;
    row = end;
    base = end;
  }
  const held = Array.from(byHour, (_, from) =>
    Array.from({ length: STRETCH }, (_, i) => byHour[(from + i) % byHour.length]!).reduce((a, b) => a + b, 0),
  );
  const from = held.indexOf(Math.max(...held));
  return {
    count,
    perDay: covered > 0 ? count / (covered / DAY) : 0,
    from,
    share: count > 0 ? held[from]! / count : 0,
  };
}
