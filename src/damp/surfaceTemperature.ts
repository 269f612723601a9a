import { InputError } from '../errors.js';
import { nextGood } from '../log/bridging.js';
import type { Log } from '../log/log.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { valueAt } from './relaxation.js';
import type { Surface } from './surface.js';

/** A surface's temperature at every reading, and how it moves in between. */
export interface SurfaceTemperature {
  /** [°C], NaN where the air temperature is missing. */
  readonly values: Float64Array;
  /** Per reading the instant from which the model no longer shows how it was started. */
  readonly settledFrom: Float64Array;
  /** The lag behind the air [ms], 0 where there is none. */
  readonly timeConstant: Milliseconds;
}

// Both limits are project rules; no published model says what to do with missing air temperatures.
/** A hole up to this long, or half a time constant, is crossed on the straight line. */
const CARRIED: Milliseconds = 2 * HOUR;
const CARRIED_CONSTANTS = 0.5;
/** After this many time constants 5 % of a wrong start are left. */
const SETTLING_CONSTANTS = 3;

/** How long before a moment readings must be there for the surface's temperature to be settled then [ms]. */
export function settlingTime(surface: Surface): Milliseconds {
  return surface.model === 'air' ? 0 : Math.ceil(SETTLING_CONSTANTS * surface.timeConstant);
}

/**
 * Temperature of a surface by its model, from the air temperature.
 *
 * A mass obeys dTs/dt = (T − Ts) / τ, solved exactly for air temperature that is linear between readings, so
 * the step does not matter (lumped capacitance; good for bodies of metal, indicative for thick masonry). It
 * starts at the air's value and has settled 3 τ later. Over a hole of at most 2 h, τ/2 or the bridging limit,
 * whichever is longest, it is carried on the straight line; after a longer one it starts anew.
 *
 * An air temperature that is wrong by a constant makes the surface wrong by the same constant, once settled.
 *
 * @param bridge bridging limit [ms]
 */
export function surfaceTemperature(log: Log, surface: Surface, bridge: Milliseconds): SurfaceTemperature {
  const { time, temperature: air, length } = log;
  const settledFrom = new Float64Array(length).fill(Number.NEGATIVE_INFINITY);
  if (surface.model === 'air') return { values: air, settledFrom, timeConstant: 0 };

  const { name, timeConstant } = surface;
  if (!(timeConstant > 0 && timeConstant < Number.POSITIVE_INFINITY)) {
    throw new InputError(`the time constant of surface "${name}" must be longer than nothing`, {
      text: String(timeConstant),
    });
  }
  const carried = Math.max(CARRIED, CARRIED_CONSTANTS * timeConstant, bridge);
  const values = new Float64Array(length).fill(NaN);
  let previous = -1;
  let settled: Instant = NaN;
  for (let i = nextGood(air, 0); i < length; i = nextGood(air, i + 1)) {
    const step = previous < 0 ? Number.POSITIVE_INFINITY : time[i]! - time[previous]!;
    if (step <= carried) {
      const slope = (air[i]! - air[previous]!) / step;
      const bend = values[previous]! - air[previous]! + slope * timeConstant;
      values[i] = valueAt(step, values[previous]!, slope, bend, timeConstant);
    } else {
      values[i] = air[i]!;
      settled = time[i]! + settlingTime(surface);
    }
    settledFrom[i] = settled;
    previous = i;
  }
  return { values, settledFrom, timeConstant };
}
