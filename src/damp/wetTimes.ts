import type { Log } from '../log/log.js';
import type { Milliseconds } from '../units.js';
import type { Companion } from './companion.js';
import type { DepositPoints } from './depositPoint.js';
import type { Intervals } from './intervals.js';
import { ROUNDING } from './margin.js';
import { knownTime, marginCourse, timesBelow } from './marginCourse.js';
import type { ModelledSurface } from './surface.js';
import { surfaceTemperature } from './surfaceTemperature.js';

/** When a surface was wet, as measured, and when that is known at all. */
export interface WetTimes {
  readonly known: Intervals;
  readonly wet: Intervals;
}

/**
 * The stretches behind the hours of `condensationFrom`: when the surface was as warm as the dew or frost point
 * of the air, or colder. Ends are exact to the millisecond.
 *
 * @param log cleaned: one reading per instant, NaN where a value is missing or bad
 * @param bridge bridging limit [ms]
 * @param companion the second thermometer that some models need; without it all is unknown to them
 */
export function wetTimes(
  log: Log,
  { expected }: Pick<DepositPoints, 'expected'>,
  surface: ModelledSurface,
  bridge: Milliseconds,
  companion: Companion | null,
): WetTimes {
  const temperature = surfaceTemperature(log, surface, bridge, companion);
  const course = marginCourse(log.time, temperature, expected, bridge);
  const [wet] = timesBelow(course, expected, [ROUNDING]);
  return { known: knownTime(course), wet };
}
