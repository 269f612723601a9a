import { Readable } from 'node:stream';
import { UTC } from '../../src/calendar/zone.js';
import { type Arrivals, Content } from '../../src/outages/arrivals.js';
import { type Beats, beatFolder } from '../../src/outages/beats.js';
import type { Device } from '../../src/outages/device.js';
import type { Outage } from '../../src/outages/outage.js';
import type { Watch } from '../../src/outages/silences.js';
import { outagesOf } from '../../src/outages/together.js';
import { type BeatSource, readBeats } from '../../src/reading/heartbeats.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';

export const START = Date.UTC(2025, 9, 1);
export const END = START + DAY;
export const WATCH: Watch = { from: START, until: END, isAsked: true };

/** A moment of the day of these tests. */
export const at = (hour: number, minute = 0): number => START + hour * HOUR + minute * MINUTE;

export type Stretch = readonly [from: number, until: number];
const inAny = (time: number, stretches: readonly Stretch[]) =>
  stretches.some(([from, until]) => time >= from && time < until);

export interface HeartOptions {
  /** Second of the minute at which it beats; from an instant on, another. */
  readonly second?: number;
  readonly shift?: readonly [from: number, second: number];
  readonly silent?: readonly Stretch[];
  readonly until?: number;
  /** Whether the rows of a silence were there once, by their numbers. */
  readonly deleted?: boolean;
  /** Instants of starts that it tells of; null where it does not speak of starts. */
  readonly starts?: readonly number[] | null;
}

/** The beats of one day, one a minute. */
export function beatsOf(options: HeartOptions = {}): Beats {
  const {
    second = 20,
    shift = [Infinity, 0],
    silent = [],
    until = END,
    starts = null,
    deleted = false,
  } = options;
  const folder = beatFolder(null);
  let last = NaN;
  for (let minute = START; minute < until; minute += MINUTE) {
    const time = minute + 1000 * (minute >= shift[0] ? shift[1] : second);
    if (inAny(time, silent)) continue;
    const restarted =
      starts === null || Number.isNaN(last) ? null : starts.some((start) => start > last && start <= time);
    folder.take(time, restarted, deleted && time - last > 2 * MINUTE ? (time - last) / MINUTE - 1 : 0);
    last = time;
  }
  return folder.result()!;
}

export interface ReadingOptions {
  readonly cadence?: number;
  readonly missing?: readonly Stretch[];
  readonly empty?: readonly Stretch[];
  readonly stuck?: readonly Stretch[];
  readonly late?: readonly Stretch[];
  readonly powerOn?: number;
}

export function arrivalsOf(options: ReadingOptions = {}): Arrivals {
  const { cadence = 10 * MINUTE, missing = [], empty = [], stuck = [], late = [], powerOn = NaN } = options;
  const time: number[] = [];
  for (let t = START; t < END; t += cadence) if (!inAny(t, missing)) time.push(t);
  return {
    cadence,
    time: Float64Array.from(time),
    content: Uint8Array.from(time, (t) =>
      inAny(t, empty) ? Content.none : inAny(t, stuck) ? Content.stuck : Content.usable,
    ),
    late: Uint8Array.from(time, (t) => Number(inAny(t, late))),
    powerOn: Uint8Array.from(time, (t) => Number(t === powerOn)),
    torn: new Uint16Array(time.length),
    before: null,
    after: null,
  };
}

export function device(logger: string, heart: HeartOptions | null, readings: ReadingOptions | null): Device {
  return {
    logger,
    beats: heart === null ? null : beatsOf(heart),
    arrivals: readings === null ? null : arrivalsOf(readings),
    beatsReach: null,
    readingsReach: null,
    beatsZone: null,
    readingsZone: null,
  };
}

/** What is said of some loggers on the day of these tests. */
export function said(devices: readonly Device[], watch: Watch = WATCH): Outage[] {
  return outagesOf(devices, watch, UTC);
}

export const causes = (devices: readonly Device[], watch?: Watch): string[] =>
  said(devices, watch).map(({ logger, cause }) => `${logger} ${cause}`);

interface ReadText {
  readonly beats: [logger: string, time: string, restarted: boolean | null][];
  readonly source: BeatSource;
  readonly skips: readonly number[];
}

/** Reads a text as a file of heartbeats on standard input. */
export async function readText(
  text: string | Buffer,
  options: { zone?: typeof UTC } = {},
): Promise<ReadText> {
  const beats: ReadText['beats'] = [];
  const skips: number[] = [];
  const source = await readBeats(
    { path: '-', logger: 'loft', zone: options.zone ?? UTC, dateOrder: null },
    Readable.from([Buffer.from(text)]),
    (logger, time, restarted, skipped) => {
      beats.push([logger, new Date(time).toISOString().slice(0, 19), restarted]);
      skips.push(skipped);
    },
  );
  return { beats, source, skips };
}
