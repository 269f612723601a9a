import { nextGood } from '../log/bridging.js';
import type { CleanLog } from '../log/log.js';
import type { Milliseconds } from '../units.js';

/** A second thermometer beside a log: a cleaned log, of which only the temperature counts. */
export interface Companion {
  readonly log: CleanLog;
  /** Its own bridging limit [ms]. */
  readonly bridge: Milliseconds;
}

export interface CompanionTemperature {
  /** Per instant asked for, on the straight line between the companion's readings [°C]; NaN in its holes. */
  readonly values: Float64Array;
  /** The first instants behind holes or in them: two instants have a hole between them where one of these follows the first. */
  readonly starts: Uint32Array;
}

/**
 * The companion's temperature at the readings of another log.
 *
 * @param time ascending instants
 * @param companion null where its log is not at hand: then nothing is known
 */
export function companionTemperature(time: Float64Array, companion: Companion | null): CompanionTemperature {
  const values = new Float64Array(time.length).fill(Number.NaN);
  const starts: number[] = [];
  if (companion === null) return { values, starts: Uint32Array.from(starts) };

  const { time: times, temperature } = companion.log;
  // The companion's neighbouring good readings: `before` is the last one at or before the instant.
  let before = -1;
  let after = nextGood(temperature, 0);
  let holes = 0;
  let begun = 0; // before the instant
  const isHole = () => after < times.length && times[after]! - times[before]! > companion.bridge;
  for (let i = 0; i < time.length; i++) {
    const at = time[i]!;
    while (after < times.length && times[after]! <= at) {
      if (before >= 0 && isHole()) holes++;
      before = after;
      after = nextGood(temperature, after + 1);
    }
    if (before < 0) continue;
    const since = at - times[before]!;
    const inHole = isHole();
    const begunHere = holes + (inHole && since > 0 ? 1 : 0);
    if (begunHere > begun) starts.push(i);
    begun = begunHere;
    if (since === 0) values[i] = temperature[before]!;
    else if (after < times.length && !inHole) {
      const share = since / (times[after]! - times[before]!);
      values[i] = temperature[before]! + share * (temperature[after]! - temperature[before]!);
    }
  }
  return { values, starts: Uint32Array.from(starts) };
}
