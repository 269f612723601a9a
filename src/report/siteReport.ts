import { formatDuration } from '../calendar/print.js';
import type { Severity } from '../log/finding.js';
import type { Site, SiteLogger } from '../site/site.js';
import { SECOND } from '../units.js';
import { modelInWords } from './dampReport.js';
import { hours } from './written.js';

/** A site file as it is understood, with the files that its globs find. */
export interface CheckedSite {
  readonly site: Site;
  readonly loggers: readonly CheckedLogger[];
}

export interface CheckedLogger {
  readonly logger: SiteLogger;
  /** Paths, absolute. */
  readonly files: readonly string[];
  readonly heartbeats: readonly string[];
}

/** What is no mistake in the file but leaves the other commands without something. */
export interface SiteRemark {
  readonly severity: Severity;
  readonly logger: string | null;
  readonly message: string;
}

export function siteRemarks({ site, loggers }: CheckedSite): SiteRemark[] {
  const remarks: SiteRemark[] = [];
  if (site.zone === null) {
    remarks.push({
      severity: 'note',
      logger: null,
      message:
        'no zone is stated: days, and stamps without offset, are in the zone of whatever computer reads them',
    });
  }
  if (loggers.length === 0)
    remarks.push({ severity: 'warning', logger: null, message: 'no logger is described' });
  for (const { logger, files, heartbeats } of loggers) {
    const about = (severity: Severity, message: string) =>
      remarks.push({ severity, logger: logger.id, message });
    if (files.length === 0) {
      if (logger.files.length > 0) about('error', `no file is there for ${quoted(logger.files)}`);
      else about('note', 'has no files: nothing but its heartbeats can be looked at');
    }
    if (heartbeats.length === 0 && logger.heartbeats.length > 0) {
      about('error', `no file is there for the heartbeats ${quoted(logger.heartbeats)}`);
    }
    if (logger.accuracySource === 'assumed' && files.length > 0) {
      about('note', 'the accuracy of its sensor is not wholly stated: what is missing is assumed');
    }
  }
  return remarks;
}

function quoted(globs: readonly string[]): string {
  return globs.map((glob) => `"${glob}"`).join(', ');
}

/** The document of `site check --format json`; its keys are a contract. */
export function siteDocument(checked: CheckedSite): object {
  const { site, loggers } = checked;
  return {
    format: 'dewledger/site',
    version: 1,
    file: site.file,
    place: site.place,
    zone: site.zone?.name ?? null,
    altitude_m: site.altitude,
    pressure_hPa: site.pressure,
    latitude_deg: site.position?.latitude ?? null,
    longitude_deg: site.position?.longitude ?? null,
    loggers: loggers.map(({ logger, files, heartbeats }) => ({
      logger: logger.id,
      name: logger.name,
      files,
      cadence_s: logger.cadence === null ? null : logger.cadence / SECOND,
      heartbeats,
      heartbeat_cadence_s: logger.heartbeatCadence === null ? null : logger.heartbeatCadence / SECOND,
      zone: logger.zone?.name ?? null,
      accuracy: {
        air_temperature_K: logger.accuracy.temperature,
        relative_humidity_pct: logger.accuracy.humidity,
        from: logger.accuracySource,
      },
      surfaces: logger.surfaces.map((surface) => ({
        surface: surface.name,
        model: surface.model,
        model_in_words: modelInWords(surface),
        time_constant_hours: surface.model === 'mass' ? hours(surface.timeConstant) : null,
        mould_class: surface.mould.class,
      })),
    })),
    remarks: siteRemarks(checked),
  };
}

/** What stands over the tables: the place and how it lies. */
export function siteHeadline({ site }: CheckedSite): string {
  const { place, zone, altitude, pressure, position } = site;
  return [
    place ?? 'a place without a name',
    zone === null ? 'no zone' : zone.name,
    pressure !== null ? `${pressure} hPa` : altitude !== null ? `${altitude} m` : 'height not stated',
    position === null ? 'position not stated' : `${position.latitude}, ${position.longitude}`,
  ].join(', ');
}

export const SITE_LOGGER_HEADINGS = ['logger', 'files', 'cadence', 'heartbeats', 'accuracy'] as const;

/** A row for each logger. */
export function siteLoggerCells({ loggers }: CheckedSite): string[][] {
  return loggers.map(({ logger, files, heartbeats }) => [
    logger.id,
    `${files.length}`,
    logger.cadence === null ? 'inferred' : formatDuration(logger.cadence),
    heartbeats.length === 0 ? '' : heartbeatsInWords(logger, heartbeats.length),
    `± ${logger.accuracy.temperature} K, ± ${logger.accuracy.humidity} %${logger.accuracySource === 'assumed' ? ' (assumed)' : ''}`,
  ]);
}

function heartbeatsInWords({ heartbeatCadence }: SiteLogger, files: number): string {
  return `${files}${heartbeatCadence === null ? '' : `, every ${formatDuration(heartbeatCadence)}`}`;
}

export const SITE_SURFACE_HEADINGS = ['logger', 'surface', 'its temperature'] as const;

/** A row for each surface. */
export function siteSurfaceCells({ loggers }: CheckedSite): string[][] {
  return loggers.flatMap(({ logger }) =>
    logger.surfaces.map((surface) => [logger.id, surface.name, modelInWords(surface)]),
  );
}

export const SITE_REMARK_HEADINGS = ['severity', 'logger', 'what'] as const;

export function siteRemarkCells(checked: CheckedSite): string[][] {
  return siteRemarks(checked).map(({ severity, logger, message }) => [severity, logger ?? '', message]);
}
