import { bridgingLimit } from '../log/bridging.js';
import { inferCadence } from '../log/cadence.js';
import { type Log, type Measured, valuesOf } from '../log/log.js';
import { HOUR, MINUTE, type Milliseconds } from '../units.js';
import { DEFAULT_LIMITS } from './grossRange.js';
import { quantile } from './robust.js';

/** Weather at neighbouring places is alike for as long; a finer step costs more and shows no more. */
export const STEP: Milliseconds = 30 * MINUTE;
/** What changes more slowly is left out: the seasons, the weeks, most of the course from day to night. */
const SLOW = (6 * HOUR) / STEP;
/** Of a step, and of the time around it, so much must be known. */
const KNOWN = 0.5;
/** Values that stray further than this many times what nine in ten do are cut off there: faults, steps of units. */
const FURTHEST = 2;

/** How a quantity moves from hour to hour, in steps of half an hour counted from 1970 UTC. */
export interface Movement {
  /** The step of the first value. */
  readonly first: number;
  /** Departure from the running mean, in units of its own size; 0 where nothing is known. */
  readonly value: Float64Array;
}

const made = new WeakMap<Log, Map<Measured, Movement>>();

/** The movement of a log; made once, since each is compared with all others. */
export function movementOf(log: Log, quantity: Measured): Movement {
  const byQuantity = made.get(log) ?? new Map<Measured, Movement>();
  made.set(log, byQuantity);
  const movement = byQuantity.get(quantity) ?? moving(meansOf(log, quantity));
  byQuantity.set(quantity, movement);
  return movement;
}

/** Means over the steps of the straight lines between neighbouring readings; NaN where too little is known. */
function meansOf(log: Log, quantity: Measured): Movement {
  const { time, length } = log;
  const values = valuesOf(log, quantity);
  const { airTemperature, relativeHumidity } = DEFAULT_LIMITS;
  const [least, greatest] = quantity === 'air_temperature' ? airTemperature : relativeHumidity;
  const bridge = bridgingLimit(inferCadence(time));
  const first = Math.floor(time[0]! / STEP);
  const value = new Float64Array(Math.floor(time[length - 1]! / STEP) - first + 1);
  const known = new Float64Array(value.length);
  let before = NaN; // instant of the last reading with a value
  let valueBefore = NaN;
  for (let row = 0; row < length; row++) {
    const now = values[row]!;
    if (!(now >= least && now <= greatest)) continue;
    const instant = time[row]!;
    if (instant - before <= bridge) {
      const slope = (now - valueBefore) / (instant - before);
      for (let from = before; from < instant; ) {
        const step = Math.floor(from / STEP);
        const until = Math.min(instant, (step + 1) * STEP);
        value[step - first]! += (until - from) * (valueBefore + slope * ((from + until) / 2 - before));
        known[step - first]! += until - from;
        from = until;
      }
    }
    before = instant;
    valueBefore = now;
  }
  for (let step = 0; step < value.length; step++)
    value[step]! = known[step]! >= KNOWN * STEP ? value[step]! / known[step]! : NaN;
  return { first, value };
}

function moving({ first, value }: Movement): Movement {
  const sums = new Float64Array(value.length + 1);
  const counts = new Uint32Array(value.length + 1);
  for (let step = 0; step < value.length; step++) {
    const isKnown = !Number.isNaN(value[step]!);
    sums[step + 1] = sums[step]! + (isKnown ? value[step]! : 0);
    counts[step + 1] = counts[step]! + (isKnown ? 1 : 0);
  }
  const half = SLOW / 2;
  const departure = value.map((each, step) => {
    const from = Math.max(0, step - half);
    const to = Math.min(value.length, step + half + 1);
    const count = counts[to]! - counts[from]!;
    return count >= KNOWN * SLOW ? each - (sums[to]! - sums[from]!) / count : NaN;
  });
  const sizes = departure
    .map(Math.abs)
    .filter((size) => !Number.isNaN(size))
    .sort();
  const most = FURTHEST * quantile(sizes, 0.9);
  return {
    first,
    value: departure.map((each) =>
      most > 0 && !Number.isNaN(each) ? Math.max(-most, Math.min(most, each)) / most : 0,
    ),
  };
}
