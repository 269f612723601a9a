import type { Instant, Milliseconds } from '../units.js';
import { type Arrivals, Content } from './arrivals.js';
import type { Device } from './device.js';
import { type Cause, downTimes, type Outage } from './outage.js';
import { missedReadings, type Watch } from './silences.js';

/** How reliable something was, by its outages. */
export interface Reliability {
  /** Time in which its state is known [ms]. */
  readonly observed: Milliseconds;
  readonly down: Milliseconds;
  /** (observed − down) / observed, null where nothing was observed. */
  readonly availability: number | null;
  /** Outages that began in the time observed. */
  readonly outages: number;
  readonly longest: Milliseconds;
  /** Mean operating time between failures; null without one. */
  readonly mtbf: Milliseconds | null;
  /** With no failure: the operating time that it exceeds at 95 % confidence, if failures come by chance. */
  readonly mtbfLowerBound: Milliseconds | null;
  /** Mean time to restoration, of outages both ends of which were seen; null without one. */
  readonly mttr: Milliseconds | null;
  readonly byCause: ReadonlyMap<Cause, Milliseconds>;
}

/** Readings with every value usable, of those that were due. */
export interface Completeness {
  readonly due: number;
  readonly valid: number;
  readonly availability: number | null;
}

export interface LoggerAvailability {
  readonly logger: string;
  /** By heartbeats, so as seen from the server: with the link, not without it; null without them. */
  readonly device: Reliability | null;
  /** By readings; null without them. */
  readonly data: (Reliability & Completeness) | null;
  /** Beats lost one by one while up, as a share of those due. */
  readonly beatLoss: number | null;
  readonly restarts: number;
}

/** Times of which nothing is known count neither as up nor as down. */
const UNSEEN: ReadonlySet<Cause> = new Set(['censored', 'artefact', 'deleted']);

/** −ln 0.05: none in T hours with 5 % chance if the mean time between is T / 3.0 (exponential model; derived). */
const NONE_AT_95 = 3.0;

/**
 * Availability and its figures. Availability is (time − outages) / time, MTTR outages / number, MTBF operating
 * time / number (GÉANT service definitions; IEC 60050-192 from memory). Outages cut off by an end of what is
 * looked at count in the availability, but not in the MTTR.
 *
 * @param unobserved time of the watch in which nothing is known [ms]
 */
export function reliabilityOf(
  outages: readonly Outage[],
  watch: Watch,
  unobserved: Milliseconds,
): Reliability {
  const observed = Math.max(0, watch.until - watch.from - unobserved);
  const times = outages.map((outage) => downTimes(outage).expected);
  const down = Math.min(observed, sum(times));
  const failures = outages.filter(({ censored }) => censored !== 'start' && censored !== 'both').length;
  const whole = times.filter((_, i) => outages[i]!.censored === null);
  const operating = observed - down;
  const byCause = new Map<Cause, Milliseconds>();
  for (const [i, { cause }] of outages.entries()) byCause.set(cause, (byCause.get(cause) ?? 0) + times[i]!);
  return {
    observed,
    down,
    availability: observed === 0 ? null : operating / observed,
    outages: failures,
    longest: Math.max(0, ...times),
    mtbf: failures === 0 ? null : operating / failures,
    mtbfLowerBound: failures === 0 && outages.length === 0 ? operating / NONE_AT_95 : null,
    mttr: whole.length === 0 ? null : sum(whole) / whole.length,
    byCause,
  };
}

export function availabilityOf(device: Device, outages: readonly Outage[], watch: Watch): LoggerAvailability {
  const own = outages.filter(({ logger }) => logger === device.logger);
  const { beats, arrivals } = device;
  const known = own.filter(({ cause }) => UNSEEN.has(cause));
  const unobservedBeats = sum(
    known.filter(({ missedBeats }) => missedBeats !== null).map(({ from, until }) => until - from),
  );
  const lost = beats?.runs.reduce((all, run) => all + run.due - run.beats, 0) ?? 0;
  const due = beats?.runs.reduce((all, run) => all + run.due, 0) ?? 0;
  return {
    logger: device.logger,
    device:
      beats === null
        ? null
        : reliabilityOf(
            own.filter(({ deviceDown }) => deviceDown),
            watch,
            unobservedBeats,
          ),
    data: arrivals === null ? null : dataOf(arrivals, own, watch),
    beatLoss: beats === null ? null : lost / due,
    restarts: own.filter(({ restarted }) => restarted === true).length,
  };
}

function dataOf(arrivals: Arrivals, own: readonly Outage[], watch: Watch): Reliability & Completeness {
  const down = own.filter(({ dataDown }) => dataDown);
  const unseen = own.filter(
    ({ cause, missedReadings }) => UNSEEN.has(cause) && missedReadings !== null && missedReadings > 0,
  );
  const isUnseen = (at: Instant) => unseen.some(({ from, until }) => at >= from && at < until);
  const missed = missedReadings(arrivals, watch).filter(({ at }) => !isUnseen(at)).length;
  const valid = arrivals.content.reduce((count, content) => count + Number(content === Content.usable), 0);
  const due = arrivals.time.length + missed;
  const unobserved = sum(unseen.map(({ from, until }) => until - from));
  return {
    ...reliabilityOf(merged(down), watch, unobserved),
    due,
    valid,
    availability: due === 0 ? null : valid / due,
  };
}

/** Outages of the data in order, overlaps counted once: a sensor may fail in a silence of the logger. */
function merged(outages: readonly Outage[]): Outage[] {
  const apart: Outage[] = [];
  for (const outage of outages.toSorted((a, b) => a.from - b.from)) {
    const last = apart.at(-1);
    if (last === undefined || outage.from >= last.until) apart.push(outage);
    else if (outage.until > last.until) apart.push({ ...outage, from: last.until });
  }
  return apart;
}

/** The loggers as one: pooled over their time, and how often all that were watched were silent at once. */
export interface SiteAvailability {
  readonly loggers: number;
  readonly deviceAvailability: number | null;
  readonly dataAvailability: number | null;
  readonly outages: number;
  /** Outages that took every logger that was watched, each counted once, and how long they were together. */
  readonly commonOutages: number;
  readonly commonDown: Milliseconds;
}

export function siteAvailability(
  loggers: readonly LoggerAvailability[],
  outages: readonly Outage[],
): SiteAvailability {
  const device = loggers.flatMap(({ device }) => (device === null ? [] : [device]));
  const data = loggers.flatMap(({ data }) => (data === null ? [] : [data]));
  const share = (part: number, whole: number) => (whole === 0 ? null : part / whole);
  const observed = sum(device.map((each) => each.observed));
  const common = outages.filter(
    ({ deviceDown, together, watched, logger }) =>
      deviceDown && watched > 1 && together.length === watched && together[0] === logger,
  );
  return {
    loggers: loggers.length,
    deviceAvailability: share(observed - sum(device.map(({ down }) => down)), observed),
    dataAvailability: share(sum(data.map(({ valid }) => valid)), sum(data.map(({ due }) => due))),
    outages: outages.filter(({ deviceDown, dataDown }) => deviceDown || dataDown).length,
    commonOutages: common.length,
    commonDown: sum(common.map((outage) => downTimes(outage).expected)),
  };
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
