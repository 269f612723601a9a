import { NOTHING_STATED, type OwnLimits } from '../audit/limits.js';
import type { Zone } from '../calendar/zone.js';
import type { Position } from '../damp/sun.js';
import { ASSUMED_TRAITS, type Surface } from '../damp/surface.js';
import type { Accuracy, Range } from '../log/sensor.js';
import type { Hectopascal, Metre, Milliseconds } from '../units.js';

/** A place with its loggers, as the site file describes it: units converted, names resolved, defaults put in. */
export interface Site {
  /** The site file, null where there is none. */
  readonly file: string | null;
  readonly place: string | null;
  /** Null where the site file names none. */
  readonly zone: Zone | null;
  /** At most one of altitude and pressure is known. */
  readonly altitude: Metre | null;
  readonly pressure: Hectopascal | null;
  readonly position: Position | null;
  readonly limits: Limits;
  readonly ownLimits: OwnLimits;
  readonly loggers: readonly SiteLogger[];
}

/** One device, and all that is known of it besides its readings. */
export interface SiteLogger {
  readonly id: string;
  readonly name: string | null;
  /** Globs, relative to the folder of the site file. */
  readonly files: readonly string[];
  readonly cadence: Milliseconds | null;
  /** Globs of its heartbeat logs, relative to the folder of the site file; these files hold no readings. */
  readonly heartbeats: readonly string[];
  /** Time between heartbeats. */
  readonly heartbeatCadence: Milliseconds | null;
  /** Zone of its stamps, null where they are in the site's. */
  readonly zone: Zone | null;
  readonly bridge: Milliseconds | null;
  /** Its own limits where it states them, else the site's. */
  readonly limits: Limits;
  /** Likewise, those of the checks that compare values. */
  readonly ownLimits: OwnLimits;
  readonly accuracy: Accuracy;
  /** Where the accuracy comes from: `assumed` as soon as one of its two figures is not in the site file. */
  readonly accuracySource: 'site' | 'assumed';
  /** What the sensor can measure at all; null where not stated. */
  readonly sensorRange: Limits;
  readonly reading: ReadingHints;
  /** Never empty. */
  readonly surfaces: readonly Surface[];
}

/** A range per quantity [°C, %], null where none is stated. */
export interface Limits {
  readonly airTemperature: Range | null;
  readonly relativeHumidity: Range | null;
}

/** How a logger's export is to be read; null where the reader has to find out. */
export interface ReadingHints {
  readonly timeColumn: string | null;
  readonly temperatureColumn: string | null;
  readonly humidityColumn: string | null;
  readonly loggerColumn: string | null;
  readonly temperatureUnit: 'degC' | 'degF' | 'K' | null;
  readonly dateOrder: 'day-first' | 'month-first' | null;
  readonly delimiter: string | null;
  readonly decimal: '.' | ',' | null;
}

/**
 * Accuracy of a sensor of which nothing is stated: ± 0.5 K is what ISO 7726:1998 requires of an air
 * thermometer for comfort work (from memory), ± 3 % between 20 and 80 % is what texts that come with
 * the commoner home-built sensors state (common practice, no source). Old or wetted sensors are worse.
 */
export const ASSUMED_ACCURACY: Accuracy = { temperature: 0.5, humidity: 3 };

/** The surface of a logger with none: something as warm as the air, wet only when the air is saturated. */
export const ASSUMED_SURFACES: readonly Surface[] = [{ name: 'air', model: 'air', ...ASSUMED_TRAITS }];

export const NO_LIMITS: Limits = { airTemperature: null, relativeHumidity: null };

export const NO_HINTS: ReadingHints = {
  timeColumn: null,
  temperatureColumn: null,
  humidityColumn: null,
  loggerColumn: null,
  temperatureUnit: null,
  dateOrder: null,
  delimiter: null,
  decimal: null,
};

/** What holds where there is no site file. */
export const defaultSite: Site = {
  file: null,
  place: null,
  zone: null,
  altitude: null,
  pressure: null,
  position: null,
  limits: NO_LIMITS,
  ownLimits: NOTHING_STATED,
  loggers: [],
};

/**
 * The logger with this id; one that the site does not describe gets the defaults and the site's limits,
 * so that a log from elsewhere can be worked all the same.
 */
export function loggerOf(site: Site, id: string): SiteLogger {
  return site.loggers.find((logger) => logger.id === id) ?? undescribed(id, site);
}

function undescribed(id: string, { limits, ownLimits }: Site): SiteLogger {
  return {
    id,
    name: null,
    files: [],
    cadence: null,
    heartbeats: [],
    heartbeatCadence: null,
    zone: null,
    bridge: null,
    limits,
    ownLimits,
    accuracy: ASSUMED_ACCURACY,
    accuracySource: 'assumed',
    sensorRange: NO_LIMITS,
    reading: NO_HINTS,
    surfaces: ASSUMED_SURFACES,
  };
}
