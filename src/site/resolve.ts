import { exactDuration } from '../calendar/duration.js';
import { type Zone, zoneNamed } from '../calendar/zone.js';
import type { Surface } from '../damp/surface.js';
import { InputError } from '../errors.js';
import type { Milliseconds } from '../units.js';
import type { Complain } from './complaint.js';
import { type KeyPath, pathText } from './keyPath.js';
import type { StatedLimits, StatedLogger, StatedSite, StatedSurface } from './schema.js';
import {
  ASSUMED_ACCURACY,
  ASSUMED_SURFACES,
  type Limits,
  NO_LIMITS,
  type Position,
  type ReadingHints,
  type Site,
  type SiteLogger,
} from './site.js';

/** The site that a file states. Throws an InputError where values contradict each other or name nothing. */
export function siteFrom(stated: StatedSite, file: string, complain: Complain): Site {
  const { altitude_m: altitude = null, pressure_hPa: pressure = null } = stated;
  if (altitude !== null && pressure !== null) {
    throw complain(
      ['pressure_hPa'],
      'cannot stand beside altitude_m',
      pressure,
      'the one is worked out from the other: keep the one you know better',
    );
  }
  const limits = limitsFrom(stated.limits, NO_LIMITS);
  const loggers = stated.logger ?? [];
  refuseRepeats(
    loggers.map(({ id }) => id),
    (place) => ['logger', place, 'id'],
    complain,
  );
  return {
    file,
    place: stated.place ?? null,
    zone: zoneFrom(stated.zone, ['zone'], complain),
    altitude,
    pressure,
    position: positionFrom(stated, complain),
    limits,
    loggers: loggers.map((logger, place) => loggerFrom(logger, ['logger', place], limits, complain)),
  };
}

function positionFrom(stated: StatedSite, complain: Complain): Position | null {
  const { latitude_deg: latitude, longitude_deg: longitude } = stated;
  if (latitude === undefined && longitude === undefined) return null;
  if (longitude === undefined) throw complain(['latitude_deg'], 'needs longitude_deg beside it', latitude);
  if (latitude === undefined) throw complain(['longitude_deg'], 'needs latitude_deg beside it', longitude);
  return { latitude, longitude };
}

function loggerFrom(stated: StatedLogger, path: KeyPath, siteLimits: Limits, complain: Complain): SiteLogger {
  const { sensor = {} } = stated;
  const { air_temperature_accuracy_K: temperature, relative_humidity_accuracy_pct: humidity } = sensor;
  return {
    id: stated.id,
    name: stated.name ?? null,
    files: stated.files,
    cadence: durationFrom(stated.cadence, [...path, 'cadence'], complain),
    zone: zoneFrom(stated.zone, [...path, 'zone'], complain),
    bridge: durationFrom(stated.bridge, [...path, 'bridge'], complain),
    limits: limitsFrom(stated.limits, siteLimits),
    accuracy: {
      airTemperature: temperature ?? ASSUMED_ACCURACY.airTemperature,
      relativeHumidity: humidity ?? ASSUMED_ACCURACY.relativeHumidity,
    },
    accuracySource: temperature === undefined || humidity === undefined ? 'assumed' : 'site',
    sensorRange: {
      airTemperature: sensor.air_temperature_range_degC ?? null,
      relativeHumidity: sensor.relative_humidity_range_pct ?? null,
    },
    reading: hintsFrom(stated.reading ?? {}, [...path, 'reading'], complain),
    surfaces: surfacesFrom(stated.surface ?? [], [...path, 'surface'], complain),
  };
}

function limitsFrom(stated: StatedLimits | undefined, otherwise: Limits): Limits {
  return {
    airTemperature: stated?.air_temperature_degC ?? otherwise.airTemperature,
    relativeHumidity: stated?.relative_humidity_pct ?? otherwise.relativeHumidity,
  };
}

function hintsFrom(
  stated: NonNullable<StatedLogger['reading']>,
  path: KeyPath,
  complain: Complain,
): ReadingHints {
  const { delimiter = null, decimal = null } = stated;
  if (decimal !== null && decimal === delimiter) {
    throw complain([...path, 'decimal'], 'cannot be the delimiter too', decimal);
  }
  return {
    timeColumn: stated.time_column ?? null,
    temperatureColumn: stated.temperature_column ?? null,
    humidityColumn: stated.humidity_column ?? null,
    loggerColumn: stated.logger_column ?? null,
    temperatureUnit: stated.temperature_unit ?? null,
    dateOrder: stated.date_order ?? null,
    delimiter,
    decimal,
  };
}

function surfacesFrom(
  stated: readonly StatedSurface[],
  path: KeyPath,
  complain: Complain,
): readonly Surface[] {
  if (stated.length === 0) return ASSUMED_SURFACES;
  refuseRepeats(
    stated.map(({ name }) => name),
    (place) => [...path, place, 'name'],
    complain,
  );
  return stated.map((surface, place) => surfaceFrom(surface, [...path, place], complain));
}

function surfaceFrom(stated: StatedSurface, path: KeyPath, complain: Complain): Surface {
  const { name, model } = stated;
  const timeConstant = durationFrom(stated.time_constant, [...path, 'time_constant'], complain);
  if (model === 'air') {
    if (timeConstant === null) return { name, model };
    throw complain(
      [...path, 'time_constant'],
      'has no meaning for model = "air"',
      stated.time_constant,
      'a surface that lags behind the air has model = "mass"',
    );
  }
  if (timeConstant !== null) return { name, model, timeConstant };
  throw complain(
    [...path, 'time_constant'],
    'is missing',
    undefined,
    'model = "mass" needs the time in which the surface makes up 63 % of a step of the air, ' +
      'a line such as time_constant = "PT3H"',
  );
}

function refuseRepeats(
  names: readonly string[],
  pathOf: (place: number) => KeyPath,
  complain: Complain,
): void {
  const first = new Map<string, number>();
  for (const [place, name] of names.entries()) {
    const earlier = first.get(name);
    if (earlier !== undefined) {
      throw complain(pathOf(place), `is the same as ${pathText(pathOf(earlier))}`, name);
    }
    first.set(name, place);
  }
}

function zoneFrom(name: string | undefined, path: KeyPath, complain: Complain): Zone | null {
  return name === undefined ? null : reworded(() => zoneNamed(name), name, path, complain);
}

function durationFrom(text: string | undefined, path: KeyPath, complain: Complain): Milliseconds | null {
  if (text === undefined) return null;
  const duration = reworded(() => exactDuration(text), text, path, complain);
  if (!(duration > 0)) throw complain(path, 'must be longer than nothing', text);
  return duration;
}

/** What `read` gives; its error gets the place in the site file. */
function reworded<Value>(read: () => Value, text: string, path: KeyPath, complain: Complain): Value {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw complain(path, `is wrong: ${error.message}`, text, error.advice);
  }
}
