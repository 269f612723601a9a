import { formatDuration, formatInstant, formatWallMinute } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { rounded } from '../figures.js';
import { SEVERITIES } from '../log/finding.js';
import type { LoggerAvailability, Reliability, SiteAvailability } from '../outages/availability.js';
import { MISSED_BEATS } from '../outages/beats.js';
import { type Cause, downTimes, type Outage } from '../outages/outage.js';
import type { Watch } from '../outages/silences.js';
import type { BeatSource } from '../reading/heartbeats.js';
import { HOUR, type Instant, type Milliseconds, SECOND } from '../units.js';
import { percent, stamp } from './written.js';

export interface OutagesReport {
  readonly zone: Zone;
  /** Null where no logger gave a sign. */
  readonly watch: Watch | null;
  readonly outages: readonly Outage[];
  readonly loggers: readonly LoggerAvailability[];
  readonly site: SiteAvailability;
  /** Heartbeat cadences by logger [ms]. */
  readonly cadences: ReadonlyMap<string, Milliseconds>;
  readonly sources: readonly BeatSource[];
}

export const OUTAGE_CSV_COLUMNS = [
  'logger',
  'cause',
  'could_also_be',
  'from',
  'until',
  'last_sign',
  'next_sign',
  'down_least_s',
  'down_s',
  'down_most_s',
  'device_down',
  'data_down',
  'censored',
  'missed_beats',
  'missed_readings',
  'late_readings',
  'restarted',
  'silent_together',
  'watched',
  'severity',
  'confidence',
  'message',
] as const;

/** Rows under `OUTAGE_CSV_COLUMNS`, an outage each. */
export function* outageRows({ outages, zone }: OutagesReport): Generator<(string | number | null)[]> {
  for (const outage of outages) {
    const { least, expected, most } = downTimes(outage);
    yield [
      outage.logger,
      outage.cause,
      outage.alternatives.join(' '),
      formatInstant(outage.from, zone),
      formatInstant(outage.until, zone),
      stamp(outage.lastSign, zone),
      stamp(outage.nextSign, zone),
      seconds(least),
      seconds(expected),
      seconds(most),
      `${outage.deviceDown}`,
      `${outage.dataDown}`,
      outage.censored,
      outage.missedBeats,
      outage.missedReadings,
      outage.lateReadings,
      outage.restarted === null ? null : `${outage.restarted}`,
      outage.together.length,
      outage.watched,
      outage.severity,
      outage.confidence,
      outage.message,
    ];
  }
}

/** The document of `outages --format json`; its keys are a contract. */
export function outagesDocument(report: OutagesReport): object {
  const { zone, watch, outages, loggers, site, cadences, sources } = report;
  return {
    format: 'dewledger/outages',
    version: 1,
    zone: zone.name,
    from: stamp(watch?.from ?? null, zone),
    until: stamp(watch?.until ?? null, zone),
    missed_beats_for_an_outage: MISSED_BEATS,
    outages: outages.map((outage) => outageDocument(outage, zone)),
    loggers: loggers.map((each) => ({
      logger: each.logger,
      heartbeat_cadence_s: seconds(cadences.get(each.logger) ?? NaN),
      beats_lost_while_up: fraction(each.beatLoss),
      restarts: each.restarts,
      device: each.device === null ? null : reliabilityDocument(each.device),
      data:
        each.data === null
          ? null
          : { expected: each.data.due, valid: each.data.valid, ...reliabilityDocument(each.data) },
    })),
    site: {
      loggers: site.loggers,
      device_availability: fraction(site.deviceAvailability),
      data_availability: fraction(site.dataAvailability),
      outages: site.outages,
      common_outages: site.commonOutages,
      common_down_hours: hours(site.commonDown),
    },
    heartbeat_sources: sources.map(({ source, lines, rejected }) => ({
      source,
      lines: {
        total: lines.total,
        header: lines.header,
        blank: lines.blank,
        accepted: lines.accepted,
        rejected: lines.rejected,
      },
      rejected: [...rejected].map(([reason, { count, line, example }]) => ({ reason, count, line, example })),
    })),
  };
}

function outageDocument(outage: Outage, zone: Zone): object {
  const { least, expected, most } = downTimes(outage);
  return {
    logger: outage.logger,
    cause: outage.cause,
    could_also_be: outage.alternatives,
    from: formatInstant(outage.from, zone),
    until: formatInstant(outage.until, zone),
    last_sign: stamp(outage.lastSign, zone),
    next_sign: stamp(outage.nextSign, zone),
    down_s: { least: seconds(least), expected: seconds(expected), most: seconds(most) },
    device_down: outage.deviceDown,
    data_down: outage.dataDown,
    censored: outage.censored,
    missed_beats: outage.missedBeats,
    missed_readings: outage.missedReadings,
    late_readings: outage.lateReadings,
    restarted: outage.restarted,
    silent_together: outage.together,
    watched: outage.watched,
    severity: outage.severity,
    confidence: outage.confidence,
    message: outage.message,
  };
}

function reliabilityDocument(figures: Reliability): object {
  const { mtbf, mttr } = figures;
  return {
    observed_hours: hours(figures.observed),
    down_hours: hours(figures.down),
    availability: fraction(figures.availability),
    outages: figures.outages,
    longest_hours: hours(figures.longest),
    mtbf_hours: hours(mtbf),
    mtbf_lower_bound_hours: hours(figures.mtbfLowerBound),
    mttr_hours: hours(mttr),
    mean_between_starts_hours: mtbf === null || mttr === null ? null : hours(mtbf + mttr),
    down_hours_by_cause: Object.fromEntries(
      [...figures.byCause].map(([cause, down]) => [cause, hours(down)]),
    ),
  };
}

function seconds(duration: Milliseconds): number {
  return rounded(duration / SECOND, 3);
}

function hours(duration: Milliseconds | null): number | null {
  return duration === null ? null : rounded(duration / HOUR, 4);
}

function fraction(share: number | null): number | null {
  return share === null ? null : rounded(share, 6);
}

export const OUTAGE_HEADINGS = ['severity', 'logger', 'cause', 'when', 'down', 'what'] as const;

/** Worst first, then by time: the order of a table for people. */
export function worstOutagesFirst(outages: readonly Outage[]): Outage[] {
  return outages.toSorted(
    (a, b) => SEVERITIES.indexOf(b.severity) - SEVERITIES.indexOf(a.severity) || a.from - b.from,
  );
}

/** The cells under `OUTAGE_HEADINGS`. */
export function outageCells(outage: Outage, zone: Zone): string[] {
  const { severity, logger, cause, deviceDown, dataDown, alternatives } = outage;
  const also = alternatives.map(inWords).join(', ');
  return [
    severity,
    logger,
    inWords(cause),
    whenOf(outage, zone),
    deviceDown || dataDown ? formatDuration(downTimes(outage).expected) : '',
    `${outage.message}${also === '' ? '' : ` (or ${also})`}`,
  ];
}

function inWords(cause: Cause): string {
  return cause.replaceAll('_', ' ');
}

/** An end that was not seen is left open. */
function whenOf({ from, until, lastSign, nextSign }: Outage, zone: Zone): string {
  const start = formatWallMinute(from, zone);
  if (until === from) return start;
  if (nextSign === null) return `from ${start} on`;
  return lastSign === null
    ? `up to ${formatWallMinute(until, zone)}`
    : `${start} to ${shortUntil(from, until, zone)}`;
}

/** The later of two times, its day left out where it is the same. */
function shortUntil(from: Instant, until: Instant, zone: Zone): string {
  const [day, clock] = formatWallMinute(until, zone).split(' ') as [string, string];
  return formatWallMinute(from, zone).startsWith(day) ? clock : `${day} ${clock}`;
}

export const AVAILABILITY_HEADINGS = ['', 'availability', 'outages', 'longest', 'MTBF', 'MTTR'] as const;

/** The cells under `AVAILABILITY_HEADINGS`: two rows a logger, what beats and what its readings say. */
export function availabilityCells({ logger, device, data }: LoggerAvailability): string[][] {
  const rows: string[][] = [];
  if (device !== null) rows.push([`${logger} (device)`, ...reliabilityCells(device)]);
  if (data !== null) rows.push([`${logger} (data)`, ...reliabilityCells(data)]);
  return rows;
}

function reliabilityCells(figures: Reliability): string[] {
  const { availability, outages, longest, mtbf, mtbfLowerBound, mttr } = figures;
  return [
    availability === null ? '' : percent(availability, 2),
    `${outages}`,
    longest === 0 ? '' : formatDuration(longest),
    mtbf !== null
      ? formatDuration(mtbf)
      : mtbfLowerBound === null
        ? ''
        : `> ${formatDuration(mtbfLowerBound)}`,
    mttr === null ? '' : formatDuration(mttr),
  ];
}

/** What stands over the tables: where, when, and how available all of it was. */
export function outagesHeadline({ zone, watch, site }: OutagesReport): string {
  if (watch === null) return 'no sign of any logger';
  const span = `${formatWallMinute(watch.from, zone)} to ${formatWallMinute(watch.until, zone)} ${zone.name}`;
  const shares = [
    site.deviceAvailability === null ? '' : `loggers up ${percent(site.deviceAvailability, 2)}`,
    site.dataAvailability === null ? '' : `data there ${percent(site.dataAvailability, 2)}`,
  ].filter((text) => text !== '');
  return [span, `${site.loggers} logger${site.loggers === 1 ? '' : 's'}`, ...shares].join(', ');
}

/** What the figures mean and leave out. */
export function outagesLegend({ cadences, loggers }: OutagesReport): string[] {
  const [longest] = [...cadences.values()].toSorted((a, b) => b - a);
  const lines = [
    longest === undefined
      ? 'no heartbeats: that readings are missing is known, why is not'
      : `outages shorter than ${MISSED_BEATS} beats (${formatDuration(MISSED_BEATS * longest)}) are not counted, and either edge may be off by a beat, of the data by a reading`,
  ];
  const isMet = loggers.some(({ device, data }) => device !== null || data !== null);
  if (isMet) {
    lines.push(
      'MTBF is operating time between failures, > a lower bound (95 %) where there was none; MTTR leaves out what an end cuts off',
    );
  }
  return lines;
}
