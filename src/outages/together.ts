import type { Zone } from '../calendar/zone.js';
import type { Confidence } from '../log/finding.js';
import type { Instant } from '../units.js';
import { type Draft, draftsOf, type ReadingsSpan } from './attribute.js';
import type { Device } from './device.js';
import { type Cause, type Outage, severityOf } from './outage.js';
import type { Watch } from './silences.js';

/** Loggers fell silent together where they did so within this many beats (project rule). */
const TOGETHER = 2;

/**
 * What was down, when and why, for every logger: each judged by its own signs, then all compared.
 * Two loggers alone cannot tell a common cause from chance, so that every outage says how many of how many
 * fell silent together.
 *
 * @returns in order of the loggers, then of time
 */
export function outagesOf(devices: readonly Device[], watch: Watch, zone: Zone): Outage[] {
  const readings = readingsSpan(devices);
  const drafts = devices.flatMap((device) => draftsOf(device, watch, readings, zone));
  return drafts.map((draft) => {
    const { certainty, isSilence: _, said, ...rest } = draft;
    const group = groupOf(draft, drafts);
    const together = [...new Set(group.map(({ logger }) => logger))];
    // without a sign in all the time that is looked at none is watched, and yet they are silent together
    const watched = Math.max(together.length, devices.filter((device) => isWatched(device, draft)).length);
    const common = commonCause(draft, group, together.length, watched);
    const cause = common?.cause ?? draft.cause;
    const words = [...(common?.said ?? []), ...said];
    return {
      ...rest,
      cause,
      alternatives: common?.alternatives ?? draft.alternatives,
      together,
      watched,
      severity: severityOf(
        cause,
        draft.until - draft.from,
        draft.deviceDown || draft.dataDown,
        watch.isAsked,
      ),
      confidence: common?.confidence ?? certainty,
      message: `${HEADLINES[cause]}${words.length === 0 ? '' : `: ${words.join('; ')}`}`,
    };
  });
}

function readingsSpan(devices: readonly Device[]): ReadingsSpan {
  let from = Infinity;
  let until = -Infinity;
  for (const { arrivals } of devices) {
    if (arrivals === null || arrivals.time.length === 0) continue;
    from = Math.min(from, arrivals.time[0]!);
    until = Math.max(until, arrivals.time.at(-1)!);
  }
  return { from, until };
}

const HEADLINES: Readonly<Record<Cause, string>> = {
  power: 'logger without power, or crashed',
  link: 'link lost',
  server: 'server or network down',
  sensor: 'sensor without readings',
  readings_path: 'readings of all loggers lost on their way',
  heartbeat: 'heartbeat lost, logger up',
  weak_link: 'weak link',
  restart: 'restart',
  late_upload: 'late upload',
  artefact: 'no outage, but the change of the clocks',
  deleted: 'no outage known, but rows taken out of the table',
  censored: 'no sign beyond here, and no outage known',
  undecided: 'cause cannot be told',
};

/** What silences all ways of a logger, its readings alone, or its beats alone. */
function kindOf({ isSilence, cause }: Draft): 'silence' | 'readings' | 'beats' | null {
  if (isSilence) return 'silence';
  if (cause === 'heartbeat') return 'beats';
  return null;
}

/** The outages of the same kind that began with this one, itself among them. */
function groupOf(draft: Draft, drafts: readonly Draft[]): Draft[] {
  const kind = isLostOnTheWay(draft) ? 'readings' : kindOf(draft);
  if (kind === null || draft.lastSign === null) return [draft];
  return drafts.filter((other) => {
    if (other === draft) return true;
    if (other.logger === draft.logger || other.lastSign === null) return false;
    if (kind === 'readings') {
      // both began after the last reading and before the first one missed, and ended alike
      return (
        isLostOnTheWay(other) &&
        other.lastSign <= draft.from &&
        draft.lastSign! <= other.from &&
        Math.abs(other.until - draft.until) <= Math.max(other.step, draft.step)
      );
    }
    const reach = TOGETHER * Math.max(draft.step, other.step);
    return kindOf(other) === kind && Math.abs(other.from - draft.from) <= reach;
  });
}

function isLostOnTheWay({ cause, alternatives }: Draft): boolean {
  return cause === 'sensor' && alternatives.includes('readings_path');
}

/** Whether a logger could have shown that it was up when another fell silent. */
function isWatched({ logger, beats, arrivals }: Device, draft: Draft): boolean {
  if (logger === draft.logger) return true;
  const covers = (from: Instant, until: Instant) => from <= draft.from && until >= draft.from;
  if (isLostOnTheWay(draft)) {
    const { time = new Float64Array(0) } = arrivals ?? {};
    if (time.length === 0 || !covers(time[0]!, time.at(-1)!)) return false;
    // one of which no two readings were due cannot show it
    return draft.until - draft.from >= TOGETHER * (arrivals!.cadence ?? Infinity);
  }
  return beats !== null && covers(beats.runs[0]!.from, beats.runs.at(-1)!.until);
}

interface Common {
  readonly cause: Cause;
  readonly alternatives: readonly Cause[];
  readonly confidence: Confidence;
  readonly said: readonly string[];
}

/** What silenced several loggers at once; null where a logger was alone, or its own signs say more. */
function commonCause(draft: Draft, group: readonly Draft[], count: number, watched: number): Common | null {
  if (count < 2) return null;
  const isAll = count >= watched;
  const of = `${count} of ${watched} loggers together`;
  if (isLostOnTheWay(draft)) {
    if (!isAll) return null;
    return { cause: 'readings_path', alternatives: [], confidence: 'likely', said: [of] };
  }
  if (draft.cause === 'heartbeat') {
    return isAll ? { cause: 'heartbeat', alternatives: [], confidence: 'likely', said: [of] } : null;
  }
  const restarted = group.filter((each) => each.restarted === true).length;
  const ranOn = group.filter((each) => each.restarted === false || each.lateReadings > 0).length;
  if (restarted === group.length) {
    const said = [of, isAll ? 'so the mains of the building, most likely' : 'so a supply that they share'];
    return { cause: 'power', alternatives: [], confidence: isAll ? 'certain' : 'likely', said };
  }
  if (draft.restarted === true) return { cause: 'power', alternatives: [], confidence: 'likely', said: [of] };
  if (!isAll) {
    if (ranOn < group.length - restarted) return { ...unclear(draft), said: [of] };
    const said = [of, 'so an access point or cable that they share'];
    return { cause: 'link', alternatives: ['server'], confidence: 'likely', said };
  }
  if (restarted > 0) return { ...unclear(draft), said: [of, `${restarted} of them started anew`] };
  // by chance one logger of ten comes back at its old second after a restart, so most of them are enough
  if (2 * ranOn <= group.length) return { ...unclear(draft), said: [of] };
  // with no reading due, the heartbeats alone may have been refused
  const alternatives: Cause[] = group.every(({ missedReadings }) => (missedReadings ?? 0) === 0)
    ? ['heartbeat']
    : [];
  return { cause: 'server', alternatives, confidence: count > 2 ? 'certain' : 'likely', said: [of] };
}

function unclear({ restarted, lateReadings }: Draft): Omit<Common, 'said'> {
  const isLink = restarted === false || lateReadings > 0;
  return isLink
    ? { cause: 'link', alternatives: ['server'], confidence: 'possible' }
    : { cause: 'undecided', alternatives: ['power', 'link', 'server'], confidence: 'possible' };
}
