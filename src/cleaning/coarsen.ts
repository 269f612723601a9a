import { rounded } from '../figures.js';
import { inferCadence } from '../log/cadence.js';
import { Flag, isUsable, worse } from '../log/flag.js';
import { type CleanLog, type Flags, flagsOf, type Measured, valuesOf } from '../log/log.js';
import type { Instant, Milliseconds } from '../units.js';

/** Of a step so much must be covered by readings, or its mean would be one of something else (rule for days, too). */
const LEAST_COVER = 0.75;
/** Means are written with so many decimals: one more than sensors of this kind resolve. */
const DECIMALS: Readonly<Record<Measured, number>> = { air_temperature: 2, relative_humidity: 1 };

/**
 * A cleaned log in coarser time: one reading for each step in which there was one, at the middle of the step.
 * Steps are counted from 1970 UTC. A value is the mean of the usable ones of the step, each weighted by the time
 * in the step that is nearer to it than to any other reading, rounded to 0.01 K or 0.1 %. Its flag is the worst of
 * theirs. It is missing where they cover less than three quarters of the step, each reaching half a cadence to
 * either side. What is coarsened already stays as it is.
 *
 * @param log one reading per instant, ascending in time, what must not be used blank or flagged bad or missing
 * @param step [ms], more than 0
 */
export function coarsen(
  { log, flags }: { readonly log: CleanLog; readonly flags: Flags },
  step: Milliseconds,
): { readonly log: CleanLog; readonly flags: Flags } {
  const firsts: number[] = []; // the first row of each step
  const stepOf = (row: number) => Math.floor(log.time[row]! / step);
  for (let row = 0; row < log.length; row++)
    if (row === 0 || stepOf(row) !== stepOf(row - 1)) firsts.push(row);
  const n = firsts.length;
  const reach = (inferCadence(log.time) ?? step) / 2;
  const coarse = {
    temperature: new Float64Array(n),
    humidity: new Float64Array(n),
    flags: { temperature: new Uint8Array(n), humidity: new Uint8Array(n) },
  };
  for (const quantity of ['air_temperature', 'relative_humidity'] as const) {
    const values = quantity === 'air_temperature' ? coarse.temperature : coarse.humidity;
    for (let i = 0; i < n; i++) {
      const rows = { first: firsts[i]!, end: firsts[i + 1] ?? log.length };
      const start = stepOf(rows.first) * step;
      const mean = meanOf(log, flags, quantity, rows, { start, end: start + step }, reach);
      values[i] = mean.value;
      flagsOf(coarse.flags, quantity)[i] = mean.flag;
    }
  }
  const rows = Uint32Array.from(firsts);
  return {
    log: {
      ...log,
      length: n,
      time: Float64Array.from(rows, (row) => (stepOf(row) + 0.5) * step),
      temperature: coarse.temperature,
      humidity: coarse.humidity,
    },
    flags: coarse.flags,
  };
}

function meanOf(
  log: CleanLog,
  flags: Flags,
  quantity: Measured,
  rows: { readonly first: number; readonly end: number },
  step: { readonly start: number; readonly end: number },
  reach: Milliseconds,
): { value: number; flag: number } {
  const values = valuesOf(log, quantity);
  const given = flagsOf(flags, quantity);
  const isUsed = (row: number) => !Number.isNaN(values[row]) && isUsable(given[row]!);
  const used: number[] = [];
  for (let row = rows.first; row < rows.end; row++) if (isUsed(row)) used.push(row);
  // the ends of the step may be nearer to a reading of the next one
  const before = nextUsed(log.time, isUsed, rows.first - 1, -1, step.start - (step.end - step.start));
  const after = nextUsed(log.time, isUsed, rows.end, 1, step.end + (step.end - step.start));
  let covered = 0;
  let weights = 0;
  let sum = 0;
  let flag = 0;
  for (const [i, row] of used.entries()) {
    const at = log.time[row]!;
    const from = Math.max(step.start, ((i === 0 ? before : log.time[used[i - 1]!]!) + at) / 2);
    const until = Math.min(step.end, (at + (i === used.length - 1 ? after : log.time[used[i + 1]!]!)) / 2);
    const [first, last] = [i === 0 ? step.start : from, i === used.length - 1 ? step.end : until];
    covered += Math.min(last, at + reach) - Math.max(first, at - reach);
    weights += until - from;
    sum += values[row]! * (until - from);
    flag = worse(flag, given[row]!);
  }
  if (used.length > 0 && covered >= LEAST_COVER * (step.end - step.start))
    return { value: rounded(sum / weights, DECIMALS[quantity]), flag };
  const allBad =
    rows.end > rows.first && given.subarray(rows.first, rows.end).every((each) => each === Flag.bad);
  return { value: NaN, flag: allBad ? Flag.bad : Flag.missing };
}

/** The instant of the next usable reading from a row on in a direction, up to a bound; infinite where there is none. */
function nextUsed(
  time: Float64Array,
  isUsed: (row: number) => boolean,
  from: number,
  direction: 1 | -1,
  bound: Instant,
): Instant {
  for (
    let row = from;
    row >= 0 && row < time.length && direction * (bound - time[row]!) >= 0;
    row += direction
  )
    if (isUsed(row)) return time[row]!;
  return direction * Infinity;
}
