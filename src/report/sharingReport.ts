import { counted } from '../audit/episodes.js';
import { gapsOf } from '../audit/gap.js';
import { resolutionOf } from '../audit/resolution.js';
import { formatDate, formatDuration } from '../calendar/print.js';
import { UTC, type Zone } from '../calendar/zone.js';
import { fixed, rounded } from '../figures.js';
import { burstsOf } from '../sharing/bursts.js';
import { dayShapes } from '../sharing/civilDays.js';
import { solarPlace } from '../sharing/longitude.js';
import { stampTrace } from '../sharing/stamps.js';
import { steepestRise } from '../sharing/steepestRise.js';
import { weekdayRhythm } from '../sharing/weekdays.js';
import { HOUR, SECOND } from '../units.js';
import type { AuditReportInput } from './auditReport.js';
import { coverageFor } from './auditReport.js';
import type { DescribedLog } from './exposedLog.js';
import { percent } from './written.js';

/** What a stranger could read from a log, and by what that was measured. */
export interface Readable {
  readonly what: string;
  /** Whether the log shows it; null where that could not be measured. */
  readonly shown: boolean | null;
  readonly measured: string;
  /** What takes it out of the log; null where nothing needs to. */
  readonly against: string | null;
}

/** What is to be known of a log before a stranger gets it. */
export interface Sharing {
  readonly logger: string;
  /** Facts that the stranger needs to use it. */
  readonly facts: {
    readonly zone: string;
    readonly units: readonly string[];
    readonly cadence_s: number | null;
    readonly resolution: {
      readonly air_temperature_K: number | null;
      readonly relative_humidity_pct: number | null;
    };
    readonly accuracy: {
      readonly air_temperature_K: number;
      readonly relative_humidity_pct: number;
      readonly source: 'site' | 'assumed';
    };
    readonly coverage: number | null;
    readonly gaps: { readonly count: number; readonly longest_hours: number };
  };
  readonly readable: readonly Readable[];
}

const COARSEN = 'clean --coarsen PT1H';
const NOT_MEASURED = 'too few days, or readings too far apart, to measure it';
/** From this share of the days on, or of the bursts, an hour is a habit (project rule). */
const HABIT = 0.5;
const FEW_BURSTS = 10;

export function sharingOf(work: DescribedLog, window: AuditReportInput['window'], zone: Zone): Sharing {
  const { cleaned, audit, logger } = work;
  const { log } = cleaned;
  const coverage = coverageFor(work, window);
  const gaps = audit.cadence === null ? [] : gapsOf(log.time, audit.cadence, window.from, window.until);
  const longest = gaps.reduce((most, { from, until }) => Math.max(most, until - from), 0);
  const resolution = (values: Float64Array) => {
    const known = values.filter((value) => !Number.isNaN(value));
    const step = resolutionOf(known, known.length);
    return step > 0 ? rounded(step, 2) : null;
  };
  return {
    logger: log.logger,
    facts: {
      zone: zone.name,
      units: ['degC', 'pct'],
      cadence_s: audit.cadence === null ? null : audit.cadence / SECOND,
      resolution: {
        air_temperature_K: resolution(log.temperature),
        relative_humidity_pct: resolution(log.humidity),
      },
      accuracy: {
        air_temperature_K: logger.accuracy.temperature,
        relative_humidity_pct: logger.accuracy.humidity,
        source: logger.accuracySource,
      },
      coverage: coverage.fraction === null ? null : rounded(coverage.fraction, 4),
      gaps: { count: gaps.length, longest_hours: rounded(longest / HOUR, 1) },
    },
    readable: [...habits(work, zone), place(work), ...stamps(work, zone, gaps.length), name(log.logger)],
  };
}

function habits({ cleaned: { log }, audit }: DescribedLog, zone: Zone): Readable[] {
  const days = dayShapes(log, log.temperature, zone.wallAt);
  const week = weekdayRhythm(days);
  const rise = steepestRise(days);
  const bursts = burstsOf(log, audit.cadence, zone.wallAt);
  return [
    {
      what: 'which days somebody is there',
      shown: week === null ? null : week.isSure,
      measured:
        week === null
          ? NOT_MEASURED
          : `temperature from ${clock(week.from)} to ${clock(week.until)}: workdays ${fixed(Math.abs(week.difference), 1)} K ` +
            `${week.difference < 0 ? 'below' : 'above'} weekends, ${fixed(week.standardErrors, 1)} standard errors ` +
            `(${week.workdays} workdays, ${counted(week.weekendDays, 'weekend day')})`,
      against: week?.isSure ? 'clean --coarsen P1D' : null,
    },
    {
      what: 'when the heating starts, or the sun comes',
      shown: rise === null ? null : rise.share >= HABIT,
      measured:
        rise === null
          ? NOT_MEASURED
          : `steepest rise from ${clock(rise.hour - 0.5)} to ${clock(rise.hour + 0.5)} on ${percent(rise.share, 0)} of ${rise.days} days`,
      against: rise !== null && rise.share >= HABIT ? 'clean --coarsen P1D' : null,
    },
    {
      what: 'when somebody washes, showers or cooks',
      shown: bursts === null ? null : bursts.count >= FEW_BURSTS && bursts.share >= HABIT,
      measured:
        bursts === null
          ? NOT_MEASURED
          : `${counted(bursts.count, 'short rise')} of the vapour by a fifth, ${fixed(bursts.perDay, 1)} a day` +
            (bursts.count === 0
              ? ''
              : `, ${percent(bursts.share, 0)} between ${clock(bursts.from)} and ${clock((bursts.from + 4) % 24)}`),
      against:
        bursts !== null && bursts.count >= FEW_BURSTS && bursts.share >= HABIT ? 'clean --coarsen P1D' : null,
    },
  ];
}

function place({ cleaned: { log } }: DescribedLog): Readable {
  const found = solarPlace(dayShapes(log, log.temperature, UTC.wallAt));
  return {
    what: 'the longitude, if it hangs out of doors',
    shown: found === null ? null : true,
    measured:
      found === null
        ? 'too few days, or hardly a daily wave, to measure it'
        : `warmest at ${clock(found.warmest)} UTC, a wave of ${fixed(found.wave, 1)} K over ${found.days} days: about ` +
          `${fixed(Math.abs(found.longitude), 0)}° ${found.longitude < 0 ? 'west' : 'east'}, give or take ${fixed(found.tolerance, 0)}°`,
    against: found === null ? null : 'clean --coarsen P1D',
  };
}

function stamps({ cleaned: { log } }: DescribedLog, zone: Zone, gaps: number): Readable[] {
  const trace = stampTrace(log, zone);
  if (trace === null) return [];
  const { offMinute, changes } = trace;
  const named = zone.name !== UTC.name;
  return [
    {
      what: 'the zone, by the offsets of the stamps',
      shown: named,
      measured: named
        ? `stamps are written in ${zone.name}` +
          (changes.length === 0
            ? ''
            : `, whose clocks change on ${changes.map((at) => formatDate(at, zone)).join(', ')}`)
        : 'stamps are written in UTC',
      against: named ? 'clean --zone UTC' : null,
    },
    {
      what: 'when power or network was down, and the device restarted',
      shown: offMinute > 0 || gaps > 0,
      measured: `${percent(offMinute, 0)} of the stamps off the whole minute, ${counted(gaps, 'gap')}`,
      against: offMinute > 0 || gaps > 0 ? COARSEN : null,
    },
  ];
}

function name(logger: string): Readable {
  const isWord = /\p{L}{3}/u.test(logger);
  return {
    what: 'what the place is',
    shown: isWord,
    measured: isWord ? `the name "${logger}" has a word in it` : `the name "${logger}" has no word in it`,
    against: isWord ? `clean --rename ${logger}=A` : null,
  };
}

/** Hours after midnight as a clock shows them. */
function clock(hours: number): string {
  const minutes = Math.round((((hours % 24) + 24) % 24) * 60) % 1440;
  return `${`${Math.floor(minutes / 60)}`.padStart(2, '0')}:${`${minutes % 60}`.padStart(2, '0')}`;
}

export const SHARING_HEADINGS = [
  'what could be read',
  'shown',
  'measured in this log',
  'against it',
] as const;

export function readableCells({ what, shown, measured, against }: Readable): string[] {
  return [what, shown === null ? 'not known' : shown ? 'yes' : 'no', measured, against ?? ''];
}

/** What whoever gets the log needs to know of it. */
export function sharingHeadline({ logger, facts }: Sharing): string {
  const { zone, cadence_s, resolution, accuracy, coverage, gaps } = facts;
  const steps = [
    resolution.air_temperature_K === null ? [] : [`${resolution.air_temperature_K} K`],
    resolution.relative_humidity_pct === null ? [] : [`${resolution.relative_humidity_pct} %`],
  ].flat();
  return [
    `${logger}, for whoever gets it: times of ${zone} with their offsets, °C and % over water`,
    cadence_s === null ? 'no cadence' : `a reading every ${formatDuration(cadence_s * SECOND)}`,
    ...(coverage === null ? [] : [`${fixed(100 * coverage, 1)} % of them came`]),
    gaps.count === 0 ? 'no gap' : `${counted(gaps.count, 'gap')}, the longest ${gaps.longest_hours} h`,
    ...(steps.length === 0 ? [] : [`in steps of ${steps.join(' and ')}`]),
    `sensor ± ${accuracy.air_temperature_K} K, ± ${accuracy.relative_humidity_pct} % (${accuracy.source === 'site' ? 'stated' : 'assumed'})`,
  ].join(', ');
}

/** What was not looked at, and what to keep back. */
export const SHARING_NOTES = [
  'Not looked at: whether the values match a published weather record, which would name the place of a logger out of doors, and what other logs would tell with this one.',
  'Files of changes and rejects hold the lines as they came: keep them.',
] as const;
