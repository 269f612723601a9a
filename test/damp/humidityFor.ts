import { vapourPressure } from '../../src/psychrometry/vapourPressure.js';

/** Relative humidity [%] of air at `temperature` whose dew point is `dewPoint` [°C]. */
export function humidityFor(temperature: number, dewPoint: number): number {
  return Math.min(100, (100 * vapourPressure(dewPoint, 100)) / vapourPressure(temperature, 100));
}
