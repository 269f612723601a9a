import { NOTHING_STATED, type OwnLimits } from '../audit/limits.js';
import type { Position } from '../damp/sun.js';
import type { Complain } from './complaint.js';
import { durationFrom, zoneFrom } from './fromText.js';
import type { KeyPath } from './keyPath.js';
import { refuseRepeats } from './repeats.js';
import type { StatedLimits, StatedLogger, StatedSite } from './schema.js';
import {
  ASSUMED_ACCURACY,
  type Limits,
  NO_LIMITS,
  type ReadingHints,
  type Site,
  type SiteLogger,
} from './site.js';
import { type Surroundings, surfacesFrom } from './surfaces.js';

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
  const ownLimits = ownLimitsFrom(stated.limits, NOTHING_STATED, ['limits'], complain);
  const loggers = stated.logger ?? [];
  refuseRepeats(
    loggers.map(({ id }) => id),
    (place) => ['logger', place, 'id'],
    complain,
  );
  const position = positionFrom(stated, complain);
  const surroundings = { position, loggers };
  return {
    file,
    place: stated.place ?? null,
    zone: zoneFrom(stated.zone, ['zone'], complain),
    altitude,
    pressure,
    position,
    limits,
    ownLimits,
    loggers: loggers.map((logger, place) =>
      loggerFrom(logger, ['logger', place], { limits, ownLimits }, surroundings, complain),
    ),
  };
}

function positionFrom(stated: StatedSite, complain: Complain): Position | null {
  const { latitude_deg: latitude, longitude_deg: longitude } = stated;
  if (latitude === undefined && longitude === undefined) return null;
  if (longitude === undefined) throw complain(['latitude_deg'], 'needs longitude_deg beside it', latitude);
  if (latitude === undefined) throw complain(['longitude_deg'], 'needs latitude_deg beside it', longitude);
  return { latitude, longitude };
}

function loggerFrom(
  stated: StatedLogger,
  path: KeyPath,
  site: Pick<Site, 'limits' | 'ownLimits'>,
  surroundings: Surroundings,
  complain: Complain,
): SiteLogger {
  const { sensor = {} } = stated;
  const { air_temperature_accuracy_K: temperature, relative_humidity_accuracy_pct: humidity } = sensor;
  return {
    id: stated.id,
    name: stated.name ?? null,
    files: stated.files,
    cadence: durationFrom(stated.cadence, [...path, 'cadence'], complain),
    heartbeats: stated.heartbeats ?? [],
    heartbeatCadence: durationFrom(stated.heartbeat_cadence, [...path, 'heartbeat_cadence'], complain),
    zone: zoneFrom(stated.zone, [...path, 'zone'], complain),
    bridge: durationFrom(stated.bridge, [...path, 'bridge'], complain),
    limits: limitsFrom(stated.limits, site.limits),
    ownLimits: ownLimitsFrom(stated.limits, site.ownLimits, [...path, 'limits'], complain),
    accuracy: {
      temperature: temperature ?? ASSUMED_ACCURACY.temperature,
      humidity: humidity ?? ASSUMED_ACCURACY.humidity,
    },
    accuracySource: temperature === undefined || humidity === undefined ? 'assumed' : 'site',
    sensorRange: {
      airTemperature: sensor.air_temperature_range_degC ?? null,
      relativeHumidity: sensor.relative_humidity_range_pct ?? null,
    },
    reading: hintsFrom(stated.reading ?? {}, [...path, 'reading'], complain),
    surfaces: surfacesFrom(stated, path, surroundings, complain),
  };
}

function limitsFrom(stated: StatedLimits | undefined, otherwise: Limits): Limits {
  return {
    airTemperature: stated?.air_temperature_degC ?? otherwise.airTemperature,
    relativeHumidity: stated?.relative_humidity_pct ?? otherwise.relativeHumidity,
  };
}

function ownLimitsFrom(
  { spike, rate_of_change: step, flat_line: flatLine, saturation }: StatedLimits = {},
  otherwise: OwnLimits,
  path: KeyPath,
  complain: Complain,
): OwnLimits {
  const after = (text: string | undefined, table: string, key = 'questionable_after') =>
    durationFrom(text, [...path, table, key], complain);
  return {
    spike: {
      airTemperature: spike?.air_temperature_K ?? otherwise.spike.airTemperature,
      relativeHumidity: spike?.relative_humidity_pct ?? otherwise.spike.relativeHumidity,
    },
    step: {
      airTemperature: step?.air_temperature_K ?? otherwise.step.airTemperature,
      relativeHumidity: step?.relative_humidity_pct ?? otherwise.step.relativeHumidity,
    },
    flatLine: {
      questionable: after(flatLine?.questionable_after, 'flat_line') ?? otherwise.flatLine.questionable,
      bad: after(flatLine?.bad_after, 'flat_line', 'bad_after') ?? otherwise.flatLine.bad,
    },
    saturation: after(saturation?.questionable_after, 'saturation') ?? otherwise.saturation,
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
