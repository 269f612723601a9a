import type { Measured } from '../../src/log/log.js';
import { type Air, bathroom, cellar, loft, nearby, outdoors, SEASONS, type Season } from './air.js';
import { type Device, type Grade, type Row, readingsOf } from './device.js';
import {
  type Bench,
  type Fault,
  faultOf,
  HOUR,
  type Kind,
  type Place,
  restlessness,
  type Stretch,
} from './fault.js';
import { KINDS, LASTING, MOST_LASTING, ONE_A_SITE } from './kinds.js';
import { lineOf } from './lineFaults.js';
import { type Random, randomFrom } from './random.js';
import { CHANGES, type Clocks, clocksOf, type StampStyle } from './stamps.js';
import { exportCut, loopDelay } from './timeFaults.js';

const DAY = 86_400_000;
/** Air is made from so long before the first reading on, so that rooms have settled [min]. */
const SETTLES = 1440;
/** Between two faults, so that each can be told from the other. */
const APART = { time: 2 * HOUR, rows: 12 };
/** After so many places that do not do, a fault is left out. */
const TRIES = 30;

export const CADENCES = [1, 10, 30] as const; // min
/** Length of a log [days], by cadence [min]. */
const LENGTHS: Readonly<Record<number, number>> = { 1: 21, 10: 35, 30: 60 };
const ZONES = ['Europe/London', 'Europe/Berlin'] as const;
/** It says the units: where most of a log is in °F, a reader could not know. */
const HEADING = 'time,temp_degC,hum_pct';
/** Lines at which exports are cut. */
const CUTS = [1000, 10_000] as const;

/** The log of one logger as a file, and what is wrong with it. */
export interface LogText {
  readonly logger: string;
  readonly text: string;
  readonly readings: number;
}

export interface Site {
  readonly zone: string;
  readonly logs: readonly LogText[];
  readonly faults: readonly Fault[];
}

/** Everything about a site follows from these. */
export interface Setting {
  readonly seed: number;
  readonly cadence: number; // min
  readonly grade: Grade;
}

const LOGGERS: readonly (readonly [string, Place])[] = [
  ['garden', 'outdoors'],
  ['yard', 'outdoors'],
  ['gate', 'outdoors'],
  ['loft', 'loft'],
  ['cellar', 'cellar'],
  ['bath', 'bathroom'],
];

/** Six loggers on one plot of land for some weeks; one of them, another on each site, has no fault. */
export function siteOf({ seed, cadence, grade }: Setting): Site {
  const random = randomFrom(seed * 1009 + cadence * 31 + grade.decimals);
  const season = SEASONS[seed % SEASONS.length]!;
  const zone = random.oneOf(ZONES);
  const length = LENGTHS[cadence]! * DAY;
  // at midnight, as the days of the air begin
  const start = Math.floor((CHANGES[season] - random.between(0.35, 0.65) * length) / DAY) * DAY;
  const clocks = clocksOf(zone, start, start + length);
  const airs = airsOf(random, season, SETTLES + length / 60_000);
  const spared = random.whole(0, LOGGERS.length - 1);
  const [slow, fixed] = random.shuffled(LOGGERS.map((_, i) => i).filter((i) => i !== spared));
  const benches = LOGGERS.map(([logger, place], i): Bench => {
    const device: Device = {
      grade,
      cadence: cadence * 60_000,
      rail: grade.decimals === 0 ? 100 : random.oneOf([99.9, 100]),
      wobble: random.chance(0.5) ? 1500 : 0,
      repeats: random.chance(0.3) ? 0.015 : 0,
      delay: i === slow ? random.whole(1, 4) * 1000 : 0,
    };
    const rows = readingsOf(random, airs[i]!, device, start, SETTLES);
    return {
      logger,
      place,
      device,
      style: styleFor(random, clocks, i === fixed),
      clocks,
      random,
      rows,
      restless: restless(rows),
    };
  });
  const faults = layFaults(random, benches, benches[spared]!, seed);
  faults.push(faultOf(loopDelay, benches[slow!]!, { rows: benches[slow!]!.rows, everywhere: true }));
  const logs = benches.map((bench) => {
    // not of those that are neighbours: the others would have too few
    const cut = bench === benches[spared] && bench.place !== 'outdoors' ? cutFor(bench.rows) : null;
    const written = write(bench, cut);
    if (cut !== null) faults.push(faultOf(exportCut, bench, { rows: [written.last] }));
    return { logger: bench.logger, text: written.text, readings: written.readings };
  });
  return { zone, logs, faults };
}

function restless(rows: readonly Row[]): Record<Measured, number> {
  return {
    air_temperature: restlessness(rows, 'air_temperature'),
    relative_humidity: restlessness(rows, 'relative_humidity'),
  };
}

function airsOf(random: Random, season: Season, minutes: number): readonly Air[] {
  const out = outdoors(random, season, minutes);
  return [
    nearby(random, out, 0, 0),
    nearby(random, out, 4, 1.5),
    nearby(random, out, 10, 0),
    loft(random, out),
    cellar(random, minutes),
    bathroom(random, out),
  ];
}

/** Standard time all year differs from local time only where the clocks change. */
function styleFor(random: Random, { change }: Clocks, isFixed: boolean): StampStyle {
  const style = random.oneOf(['utc', 'local', 'epoch'] as const);
  return isFixed && change !== null ? 'winter' : style;
}

function layFaults(random: Random, benches: readonly Bench[], spared: Bench, seed: number): Fault[] {
  const laid: { kind: Kind; bench: Bench; injected: NonNullable<ReturnType<Kind['inject']>> }[] = [];
  const taken = new Map(benches.map((bench) => [bench, reserved(bench)]));
  const isFull = (bench: Bench) =>
    laid.filter((each) => each.bench === bench && LASTING.includes(each.kind)).length >= MOST_LASTING;
  const only = ONE_A_SITE[seed % ONE_A_SITE.length];
  for (const kind of KINDS) {
    if (ONE_A_SITE.includes(kind) && kind !== only) continue;
    for (let time = 0; time < kind.times; time++) {
      for (const bench of random.shuffled(benches)) {
        if (bench === spared || !kind.fits(bench) || (LASTING.includes(kind) && isFull(bench))) continue;
        const injected = lay(kind, bench, taken.get(bench)!);
        if (injected === null) continue;
        laid.push({ kind, bench, injected });
        break;
      }
    }
  }
  // later faults may have moved the clock of earlier ones
  return laid.map(({ kind, bench, injected }) => faultOf(kind, bench, injected));
}

/** The hours around a change of the clocks, which have faults of their own. */
function reserved({ rows, clocks: { change } }: Bench): Stretch[] {
  if (change === null) return [];
  const first = rows.findIndex(({ at }) => at > change - 4 * HOUR);
  const end = rows.findIndex(({ at }) => at > change + 4 * HOUR);
  return [{ first, end }];
}

function lay(kind: Kind, bench: Bench, taken: Stretch[]) {
  const { rows, random, device } = bench;
  if (kind.hours === null) return kind.inject(bench, { first: 0, end: rows.length });
  for (let attempt = 0; attempt < TRIES; attempt++) {
    const hours = kind.hours(random);
    const count = Math.max(12, Math.round((hours * HOUR) / device.cadence));
    const apart = Math.max(APART.rows, Math.round(APART.time / device.cadence));
    const room = rows.length - count;
    if (room < 4 * apart) return null;
    const first = kind.atAnEnd === true ? random.oneOf([0, room]) : random.whole(2 * apart, room - 2 * apart);
    const stretch = { first, end: first + count };
    const isFree = taken.every(
      ({ first, end }) => stretch.end + apart <= first || stretch.first - apart >= end,
    );
    if (!isFree) continue;
    const injected = kind.inject(bench, stretch);
    if (injected === null) continue;
    taken.push(stretch);
    return injected;
  }
  return null;
}

/** The most round number of lines that the log has more of, null if it has not so many. */
function cutFor(rows: readonly Row[]): number | null {
  return CUTS.findLast((lines) => lines < rows.length) ?? null;
}

/** Writes the file, and into each row the line in which it stands. */
function write(bench: Bench, cut: number | null) {
  const lines = [HEADING];
  const inOrder = bench.rows.filter(({ dropped }) => !dropped).sort((a, b) => a.order - b.order);
  const all = inOrder.flatMap((row) => (row.behind.length === 0 ? [row] : [row, ...row.behind]));
  const kept = all.slice(0, cut ?? all.length);
  for (const row of kept) {
    lines.push(lineOf(row, bench));
    row.line = lines.length;
  }
  return { text: `${lines.join('\n')}\n`, readings: kept.length, last: kept.at(-1)! };
}
