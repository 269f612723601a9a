import type { Zone } from '../calendar/zone.js';
import { HOUR, type Instant, type Milliseconds, SECOND } from '../units.js';
import { type Arrivals, Content } from './arrivals.js';
import { artefactOf } from './artefact.js';
import type { Beats } from './beats.js';
import type { Device } from './device.js';
import type { Cause, Outage } from './outage.js';
import { restartedBetween } from './restart.js';
import {
  beatSilences,
  type Due,
  missedReadings,
  type Silence,
  type Watch,
  type WeakStretch,
  weakStretches,
} from './silences.js';

/** An outage before the loggers are compared. */
export interface Draft extends Omit<Outage, 'together' | 'watched' | 'severity' | 'message' | 'confidence'> {
  readonly certainty: Outage['confidence'];
  /** Silent on both ways, or with no reading due: what may have silenced other loggers as well. */
  readonly isSilence: boolean;
  /** What the message says besides the cause. */
  readonly said: readonly string[];
}

/** So many readings in a row must be missed, or come without a value, for an outage (project rule). */
const MISSED_READINGS = 2;
/** Heartbeat seen at this share of beats, or readings at this share of those due, is "as expected". */
const AS_EXPECTED = 0.8;
/** So many of the missing beats must be missing from the numbers of the rows, too. */
const DELETED = 0.5;
/** Shorter silences in hours of weak radio belong to it. */
const PART_OF_WEAKNESS: Milliseconds = HOUR;

/** First and last reading of any logger. */
export interface ReadingsSpan {
  readonly from: Instant;
  readonly until: Instant;
}

/**
 * Everything that went wrong with one logger, judged by its own signs.
 *
 * @param readings from when to when any logger has readings: those of one that ends with all others may end with
 *   the export
 */
export function draftsOf(device: Device, watch: Watch, readings: ReadingsSpan, zone: Zone): Draft[] {
  const { beats, arrivals } = device;
  const weak = beats === null ? [] : weakStretches(beats).filter((each) => touches(each, watch));
  const silences = (beats === null ? [] : beatSilences(beats, watch)).filter(
    (silence) => !weak.some((stretch) => isPartOf(silence, stretch)),
  );
  const dues = arrivals === null ? [] : missedReadings(arrivals, watch).filter(({ torn }) => !torn);
  const drafts = silences.map((silence) => silenceDraft(device, silence, dues, watch, zone));
  const explained = (at: Instant) => silences.some(({ from, until }) => at > from && at < until);
  for (const group of groupsOf(dues.filter(({ at }) => !explained(at)))) {
    if (group.length >= MISSED_READINGS) drafts.push(missedDraft(device, group, weak, watch, readings, zone));
  }
  if (arrivals !== null) {
    drafts.push(...sensorDrafts(device.logger, arrivals), ...lateDrafts(device.logger, arrivals, silences));
  }
  if (beats !== null) {
    drafts.push(...weak.map((stretch) => weakDraft(device.logger, stretch, beats, watch)));
    for (const { since, at, sign } of beats.restarts) {
      if (at < watch.from || at >= watch.until) continue;
      drafts.push({
        ...blank(device.logger, 'restart', beats.cadence),
        ...{ lastSign: since, nextSign: at, from: at, until: at },
        restarted: true,
        certainty: sign === 'mark' ? 'certain' : 'likely',
        said: [
          sign === 'mark'
            ? 'the heartbeat tells of a start'
            : 'beats at another second of the minute from here on',
        ],
      });
    }
  }
  return drafts.sort((a, b) => a.from - b.from);
}

function touches({ from, until }: { from: Instant; until: Instant }, watch: Watch): boolean {
  return from < watch.until && until > watch.from;
}

function isPartOf({ from, until }: Silence, stretch: WeakStretch): boolean {
  return from >= stretch.from - PART_OF_WEAKNESS / 4 && until <= stretch.until + PART_OF_WEAKNESS / 4
    ? until - from < PART_OF_WEAKNESS
    : false;
}

function blank(logger: string, cause: Cause, step: Milliseconds) {
  return {
    logger,
    cause,
    alternatives: [] as readonly Cause[],
    step,
    censored: null,
    deviceDown: false,
    dataDown: false,
    missedBeats: null,
    missedReadings: null,
    lateReadings: 0,
    restarted: null,
    isSilence: false,
    certainty: 'likely' as Outage['confidence'],
    said: [] as readonly string[],
  };
}

/** The rows of a time, edges left out, by how they came. */
function rowsWithin(
  { time, late }: Arrivals,
  from: Instant,
  until: Instant,
): { inTime: number; late: number } {
  let row = lowerBound(time, from);
  let held = 0;
  const first = row;
  for (; row < time.length && time[row]! < until; row++) held += late[row]!;
  return { inTime: row - first - held, late: held };
}

/** The first row at or after an instant. */
function lowerBound(time: Float64Array, instant: Instant): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time[middle]! < instant) low = middle + 1;
    else high = middle;
  }
  return low;
}

function silenceDraft(
  device: Device,
  silence: Silence,
  dues: readonly Due[],
  watch: Watch,
  zone: Zone,
): Draft {
  const beats = device.beats!;
  const { arrivals, logger } = device;
  const { from, until, before, after, missed } = silence;
  const step = beats.cadence;
  const base = {
    ...blank(logger, 'undecided', step),
    lastSign: before === null ? null : from,
    nextSign: after === null ? null : until,
    from: Math.max(before === null ? from : from + step, watch.from),
    until: Math.min(until, watch.until),
    censored: censoredOf(before === null || from < watch.from, after === null || until >= watch.until),
    missedBeats: missed,
  };
  // a reading at the very edge may have gone before the way was lost
  const rows = arrivals === null ? { inTime: 0, late: 0 } : rowsWithin(arrivals, from + step, until - step);
  const missedHere = dues.filter(({ at }) => at > from && at < until).length;
  const artefact = artefactOf(from, until, step, device.beatsZone, zone);
  if (artefact !== null) {
    return {
      ...base,
      missedReadings: arrivals === null ? null : missedHere,
      cause: 'artefact',
      certainty: 'certain',
      said: [
        artefact === 'repeated hour'
          ? 'the second pass of the repeated hour is not in the heartbeats, which have local stamps without offset'
          : 'just the hour that the clocks skipped, in local stamps',
      ],
    };
  }
  const all = rows.inTime + rows.late + missedHere;
  if (after !== null && after.skipped >= DELETED * missed) {
    const gone = `${after.skipped} rows of heartbeats were there once: their numbers are missing`;
    return { ...base, cause: 'deleted', missedReadings: arrivals === null ? null : missedHere, said: [gone] };
  }
  const isFresh = rows.inTime === 0 && arrivals !== null && startsAfresh(arrivals, from + step);
  const restarted = restartOver(silence, beats, isFresh);
  const facts = {
    ...base,
    restarted,
    lateReadings: rows.late,
    missedReadings: arrivals === null ? null : missedHere,
  };
  const isEnd = before === null || after === null;
  const goesOn = after === null && device.beatsReach !== null && device.beatsReach >= until - 2 * step;
  if (rows.inTime > 0 && rows.inTime >= AS_EXPECTED * all) {
    if (isEnd && !goesOn && !watch.isAsked) {
      const side = after === null ? 'end' : 'begin';
      return {
        ...facts,
        cause: 'censored',
        certainty: 'likely',
        said: [`the heartbeats ${side} here, the readings show the logger up`],
      };
    }
    return {
      ...facts,
      cause: 'heartbeat',
      alternatives: ['link'],
      said: ['readings arrived all the while, so the logger was up', ...onceMore(restarted)],
    };
  }
  if (isEnd && !goesOn && !watch.isAsked) {
    return { ...facts, cause: 'censored', certainty: 'certain', said: ['an export begins or ends here'] };
  }
  const down = { ...facts, deviceDown: true, dataDown: missedHere > 0, isSilence: true };
  if (rows.late > 0 && restarted !== true) {
    return {
      ...down,
      cause: 'link',
      certainty: 'certain',
      said: [`${plural(rows.late, 'reading')} of that time came later, so the logger ran on`],
    };
  }
  const said = [
    arrivals === null
      ? 'no readings of this logger to compare with'
      : missedHere === 0
        ? 'no reading was due in it'
        : '',
    rows.late > 0 ? `${plural(rows.late, 'reading')} of that time came later` : '',
    rows.inTime > 0 ? `${plural(rows.inTime, 'reading')} of it came through` : '',
  ].filter((text) => text !== '');
  if (isEnd)
    return { ...down, alternatives: ['power', 'link', 'server', 'censored'], certainty: 'possible', said };
  if (restarted === true) return { ...down, cause: 'power', said: ['started anew', ...said] };
  const maybeBeatsOnly: Cause[] = missedHere === 0 ? ['heartbeat'] : [];
  if (restarted === false) {
    // the phase of the beats may come back by chance
    const byChance: Cause[] = after?.restarted === false ? [] : ['power'];
    return {
      ...down,
      cause: 'link',
      alternatives: [...byChance, ...maybeBeatsOnly],
      said: ['ran on without a restart', ...said],
    };
  }
  return {
    ...down,
    alternatives: ['power', 'link', ...maybeBeatsOnly],
    certainty: 'possible',
    said: ['whether it started anew cannot be told', ...said],
  };
}

function onceMore(restarted: boolean | null): string[] {
  return restarted === true ? ['it started anew at the end'] : [];
}

/** By the word of the logger, else by the power-on value of its thermometer, else by the phase of its beats. */
function restartOver({ before, after }: Silence, beats: Beats, isFresh: boolean): boolean | null {
  const told = after?.restarted ?? null;
  if (told !== null) return told;
  if (isFresh) return true;
  return before === null || after === null ? null : restartedBetween(before, after, beats);
}

/** Whether the first row after an instant has the power-on value. */
function startsAfresh({ time, powerOn }: Arrivals, instant: Instant): boolean {
  return powerOn[lowerBound(time, instant)] === 1;
}

function censoredOf(start: boolean, end: boolean): Outage['censored'] {
  return start ? (end ? 'both' : 'start') : end ? 'end' : null;
}

/** Missed readings that follow each other without a row in between. */
function groupsOf(dues: readonly Due[]): Due[][] {
  const groups: Due[][] = [];
  for (const due of dues) {
    const last = groups.at(-1)?.at(-1);
    if (last !== undefined && last.row === due.row && due.at - last.at < 1.5 * due.step)
      groups.at(-1)!.push(due);
    else groups.push([due]);
  }
  return groups;
}

/** So many rows at once, within this share of the cadence, are a batch that was stamped on arrival. */
const BATCH = 3;
const AT_ONCE = 0.1;

/** Readings that did not come while nothing says that the logger was silent. */
function missedDraft(
  device: Device,
  group: readonly Due[],
  weak: readonly WeakStretch[],
  watch: Watch,
  readings: ReadingsSpan,
  zone: Zone,
): Draft {
  const { beats, logger } = device;
  const arrivals = device.arrivals!;
  const cadence = arrivals.cadence!;
  const first = group[0]!;
  const last = group.at(-1)!;
  const lastSign = first.at - first.step;
  const nextSign = last.at + last.step;
  const open = {
    start: first.row < 0 && arrivals.before === null,
    end: nextSign >= watch.until && arrivals.after === null,
  };
  const base = {
    ...blank(logger, 'undecided', cadence),
    lastSign: open.start ? null : lastSign,
    nextSign: open.end ? null : nextSign,
    from: first.at,
    until: Math.min(nextSign, watch.until),
    censored: censoredOf(open.start, open.end),
    dataDown: true,
    missedReadings: group.length,
  };
  const artefact = artefactOf(lastSign, nextSign, cadence, device.readingsZone, zone);
  if (artefact !== null) {
    const said = [`just the ${artefact} of the change of the clocks, in local stamps`];
    return { ...base, cause: 'artefact', dataDown: false, certainty: 'certain', said };
  }
  const goesOn =
    open.end && device.readingsReach !== null && device.readingsReach >= watch.until - 2 * cadence;
  const isEnd = (open.start || open.end) && !goesOn && !watch.isAsked;
  const isWatched =
    beats !== null && first.at >= beats.runs[0]!.from && last.at <= beats.runs.at(-1)!.until + beats.cadence;
  if (!isWatched) {
    if (isEnd) {
      const said = ['an export begins or ends here'];
      return { ...base, cause: 'censored', dataDown: false, certainty: 'certain', said };
    }
    const said = [`no heartbeats of this ${beats === null ? 'logger' : 'time'} to compare with`];
    return { ...base, alternatives: ['power', 'link', 'sensor'], certainty: 'possible', said };
  }
  const batch = batchAfter(arrivals, nextSign);
  if (batch >= BATCH) {
    return {
      ...base,
      cause: 'late_upload',
      lateReadings: batch,
      said: [`${plural(batch, 'reading')} came at once after it, stamped on arrival`],
    };
  }
  if (weak.some(({ from, until }) => first.at >= from && last.at < until)) {
    return { ...base, cause: 'weak_link', said: ['in hours in which beats were lost, too'] };
  }
  if (isEnd) {
    const othersGoOn = open.end
      ? readings.until >= first.at + 2 * cadence
      : readings.from <= last.at - 2 * cadence;
    return {
      ...base,
      cause: othersGoOn ? 'sensor' : 'censored',
      alternatives: [othersGoOn ? 'censored' : 'sensor'],
      dataDown: othersGoOn,
      certainty: 'possible',
      said: ['no reading here while the heartbeat goes on: the sensor, or another end of the export'],
    };
  }
  return {
    ...base,
    cause: 'sensor',
    alternatives: ['readings_path'],
    said: ['no reading while the heartbeat went on'],
  };
}

/** How many rows stand within a moment from an instant on. */
function batchAfter({ time, cadence }: Arrivals, instant: Instant): number {
  const first = lowerBound(time, instant - SECOND);
  let row = first;
  while (row < time.length && time[row]! - time[first]! <= AT_ONCE * cadence!) row++;
  return row - first;
}

/** Rows without a value, or with one that does not move, one after the other. */
function sensorDrafts(logger: string, { time, content, cadence }: Arrivals): Draft[] {
  const drafts: Draft[] = [];
  const step = cadence ?? 0;
  const joins = (row: number) => cadence === null || time[row]! - time[row - 1]! <= 2.5 * cadence;
  for (let row = 0; row < time.length; ) {
    const kind = content[row]!;
    let end = row + 1;
    while (end < time.length && content[end] === kind && joins(end)) end++;
    const isFault = kind === Content.none || kind === Content.stuck;
    if (isFault && end - row >= MISSED_READINGS) {
      drafts.push({
        ...blank(logger, 'sensor', step),
        lastSign: row > 0 ? time[row - 1]! : null,
        nextSign: end < time.length ? time[end]! : null,
        from: time[row]!,
        until: end < time.length && joins(end) ? time[end]! : time[end - 1]! + step,
        censored: censoredOf(row === 0, end === time.length),
        dataDown: true,
        missedReadings: end - row,
        certainty: kind === Content.none ? 'certain' : 'likely',
        said: [
          kind === Content.none
            ? `${plural(end - row, 'reading')} came without a value`
            : `${plural(end - row, 'reading')} came with a value that does not move`,
        ],
      });
    }
    row = end;
  }
  return drafts;
}

/** Blocks of readings that came after newer ones, unless a silence of the beats explains them. */
function lateDrafts(
  logger: string,
  { time, late, cadence }: Arrivals,
  silences: readonly Silence[],
): Draft[] {
  const drafts: Draft[] = [];
  for (let row = 0; row < time.length; ) {
    let end = row + 1;
    while (end < time.length && late[end] === late[row]) end++;
    const from = time[row]!;
    const until = end < time.length ? time[end]! : time[end - 1]!;
    const isExplained = silences.some((silence) => silence.from < until && silence.until > from);
    if (late[row] === 1 && end - row >= MISSED_READINGS && !isExplained) {
      drafts.push({
        ...blank(logger, 'late_upload', cadence ?? 0),
        ...{ lastSign: row > 0 ? time[row - 1]! : null, nextSign: until, from, until },
        lateReadings: end - row,
        certainty: 'certain',
        said: [`${plural(end - row, 'reading')} held back and sent after newer ones`],
      });
    }
    row = end;
  }
  return drafts;
}

function weakDraft(logger: string, stretch: WeakStretch, { cadence }: Beats, watch: Watch): Draft {
  const { beats, due, fewest, dueAnHour } = stretch;
  const lost = (came: number, all: number) => Math.round(100 * (1 - came / all));
  return {
    ...blank(logger, 'weak_link', cadence),
    ...{ lastSign: stretch.from, nextSign: stretch.until },
    from: Math.max(stretch.from, watch.from),
    until: Math.min(stretch.until, watch.until),
    missedBeats: Math.round(due - beats),
    said: [
      `${lost(beats, due)} % of the beats lost one by one, up to ${lost(fewest, dueAnHour)} % in an hour`,
    ],
  };
}

/** `1 reading`, `2 readings`. */
function plural(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}
