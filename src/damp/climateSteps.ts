import type { Period } from '../calendar/period.js';
import { type Celsius, type Instant, MINUTE, type Milliseconds, type Percent } from '../units.js';
import { nextKnown, type SurfaceCourse } from './surfaceCourse.js';

/**
 * Humidity is averaged over no more than this before growth of mould is computed, which goes as its 13.9th power.
 * Where it swings from 80.1 to 90 % and back on hourly readings, growth comes out 0.6 % low; with a whole hour it
 * would be 9 % (computed). Time zones differ by whole quarters of an hour, so days and hours end with a step.
 */
const STEP: Milliseconds = 15 * MINUTE;

/** The known time of a course in short steps: a record of five numbers for each that has any. */
export interface ClimateSteps {
  readonly count: number;
  /** The first reading with both values; endless if there is none. */
  readonly first: Instant;
  /** Per step, in turn: `START`, `END`, `KNOWN`, `HEAT`, `DAMP`. */
  readonly records: Float64Array;
}
export const FIELDS = 5;
/** First known instant of the step, and its end, up to which time may be unknown. */
export const START = 0;
export const END = 1;
/** Known time [ms], and the integrals of temperature [°C × ms] and humidity [% × ms] over it. */
export const KNOWN = 2;
export const HEAT = 3;
export const DAMP = 4;

/** Bounds of periods, in order. */
export function boundsOf(periods: readonly Period[]): Float64Array {
  return merged(
    Float64Array.from(periods, ({ start }) => start),
    Float64Array.from(periods, ({ end }) => end),
  );
}

/** The instants of both, in order. */
export function merged(one: Float64Array, other: Float64Array): Float64Array {
  const both = new Float64Array(one.length + other.length);
  both.set(one);
  both.set(other, one.length);
  return both.sort();
}

/**
 * The steps of a course, each at most a quarter of an hour long.
 *
 * @param cuts instants at which a step ends, ascending
 * @param bridge bridging limit [ms]
 */
export function climateSteps(course: SurfaceCourse, cuts: Float64Array, bridge: Milliseconds): ClimateSteps {
  const { time } = course;
  const row = nextKnown(course, 0);
  const first = row < time.length ? time[row]! : Number.POSITIVE_INFINITY;
  const steps = { count: 0, first, records: new Float64Array(FIELDS * FIRST_ROOM), cuts, cut: 0 };
  let i = row;
  while (i < time.length) {
    const j = nextKnown(course, i + 1);
    if (j < time.length && time[j]! - time[i]! <= bridge) share(steps, course, i, j);
    i = goOn(steps, course, bridge, j);
  }
  return steps;
}

/**
 * Gives the time from row `from` on to the last step, as long as it lies there and no value is missing. Small and
 * without calls, so that the machine code for it is there at once.
 *
 * @returns the row that it came to
 */
function goOn(
  { count, records }: Growing,
  { time, temperature, humidity }: SurfaceCourse,
  bridge: Milliseconds,
  from: number,
): number {
  if (count === 0) return from;
  const at = FIELDS * (count - 1);
  const end = records[at + END]!;
  let i = from;
  for (; i + 1 < time.length && time[i + 1]! <= end; i++) {
    const length = time[i + 1]! - time[i]!;
    const heat = ((temperature[i]! + temperature[i + 1]!) / 2) * length;
    const damp = ((humidity[i]! + humidity[i + 1]!) / 2) * length;
    if (!(length <= bridge) || Number.isNaN(heat + damp)) break;
    records[at + KNOWN]! += length;
    records[at + HEAT]! += heat;
    records[at + DAMP]! += damp;
  }
  return i;
}

/** Records that there is room for at first: a month without a hole. */
const FIRST_ROOM = 3000;

interface Growing extends ClimateSteps {
  count: number;
  records: Float64Array;
  readonly cuts: Float64Array;
  /** The first cut that may still lie ahead. */
  cut: number;
}

/** Gives the time between rows `i` and `j` to the steps that it lies in. */
function share(steps: Growing, { time, temperature, humidity }: SurfaceCourse, i: number, j: number): void {
  const start = time[i]!;
  const length = time[j]! - start;
  const warming = (temperature[j]! - temperature[i]!) / length;
  const wetting = (humidity[j]! - humidity[i]!) / length;
  let from = start;
  while (from < time[j]!) {
    if (steps.count === 0 || from >= steps.records[FIELDS * (steps.count - 1) + END]!) startStep(steps, from);
    const { records } = steps;
    const at = FIELDS * (steps.count - 1);
    const until = Math.min(time[j]!, records[at + END]!);
    const middle = (from + until) / 2 - start;
    records[at + KNOWN]! += until - from;
    records[at + HEAT]! += (temperature[i]! + warming * middle) * (until - from);
    records[at + DAMP]! += (humidity[i]! + wetting * middle) * (until - from);
    from = until;
  }
}

function startStep(steps: Growing, from: Instant): void {
  const { cuts } = steps;
  while (steps.cut < cuts.length && cuts[steps.cut]! <= from) steps.cut++;
  const at = FIELDS * steps.count;
  if (at === steps.records.length) {
    const grown = new Float64Array(2 * at);
    grown.set(steps.records);
    steps.records = grown;
  }
  const end = (Math.floor(from / STEP) + 1) * STEP;
  steps.records[at + START] = from;
  steps.records[at + END] = steps.cut < cuts.length ? Math.min(end, cuts[steps.cut]!) : end;
  steps.count++;
}

/** The mean temperature of a step [°C], and its mean humidity [%]. */
export function temperatureOf({ records }: ClimateSteps, step: number): Celsius {
  return records[FIELDS * step + HEAT]! / records[FIELDS * step + KNOWN]!;
}

export function humidityOf({ records }: ClimateSteps, step: number): Percent {
  return records[FIELDS * step + DAMP]! / records[FIELDS * step + KNOWN]!;
}
