import type { Period } from '../calendar/period.js';
import type { Companion } from '../damp/companion.js';
import { exposingAir, exposureOf } from '../damp/exposure.js';
import type { Surface } from '../damp/surface.js';
import { timeOfWetness } from '../damp/timeOfWetness.js';
import type { Accuracy } from '../log/sensor.js';
import type { SiteLogger } from '../site/site.js';
import type { AuditedLog } from './auditReport.js';
import type { DampLog } from './dampReport.js';

/** One log with what the site says of its logger. */
export interface DescribedLog extends AuditedLog {
  readonly logger: SiteLogger;
}

/** What the command line may say of the sensor. */
export interface AccuracyOptions {
  readonly temperatureAccuracy?: number;
  readonly humidityAccuracy?: number;
}

/**
 * What the air of one log did to surfaces.
 *
 * @param companions of the surfaces, in their order
 * @param periods in order of time
 * @param days the civil days of the time looked at
 */
export function exposedLog(
  { course, bridge, logger, reading }: DescribedLog,
  surfaces: readonly Surface[],
  companions: readonly (Companion | null)[],
  periods: readonly Period[],
  days: readonly Period[],
  options: AccuracyOptions = {},
): DampLog {
  const stated = options.temperatureAccuracy !== undefined || options.humidityAccuracy !== undefined;
  const accuracy: Accuracy = {
    temperature: options.temperatureAccuracy ?? logger.accuracy.temperature,
    humidity: options.humidityAccuracy ?? logger.accuracy.humidity,
  };
  const air = exposingAir(course, accuracy, periods, days, bridge);
  return {
    logger: reading.log.logger,
    accuracy,
    accuracySource: stated ? 'option' : logger.accuracySource,
    wetness: timeOfWetness(course, periods, { bridge, accuracy }),
    surfaces: surfaces.map((surface, i) => exposureOf(air, surface, companions[i]!)),
  };
}
