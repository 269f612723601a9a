import { InputError } from '../errors.js';
import type { CleanLog } from '../log/log.js';
import { firstFrom } from '../log/span.js';
import type { Instant, Kelvin, Milliseconds } from '../units.js';
import { type Companion, companionTemperature } from './companion.js';
import { lagging } from './lagging.js';
import { nights, type Position } from './sun.js';
import type { ModelledSurface } from './surface.js';
import { wallTemperature } from './temperatureFactor.js';

/** A surface's temperature at every reading, and how it moves in between. */
export interface SurfaceTemperature {
  /** [°C], NaN where what the model needs is missing. */
  readonly values: Float64Array;
  /** What the surface moves towards: the air for a mass, else itself without a drop at night [°C]. */
  readonly towards: Float64Array;
  /** The lag behind that [ms], 0 where there is none. */
  readonly timeConstant: Milliseconds;
  /** Rows at which it begins anew, ascending: between such a row and the one before it the model knows nothing. */
  readonly starts: Uint32Array;
  /** Per stretch between them the instant from which a mass no longer shows how it was started; empty for other models. */
  readonly settledFrom: readonly Instant[];
  /** Starts and ends, in turn, of the time in which the surface is colder by `drop`. */
  readonly nights: Float64Array;
  readonly drop: Kelvin;
}

/**
 * Temperature of a surface by its model.
 *
 * `air`: the air's. `mass`: see `massOf`. `measured`: the companion's, on the straight line between its
 * readings, looked at when the log was read. `between`: Te + f (Ti − Te) with the companion's temperature for
 * Te (ISO 13788, meant for means of a day and longer; moment by moment the wall has no thermal mass here).
 * `night-sky`: the air's, from sunset to sunrise less the assumed drop.
 *
 * @param bridge bridging limit [ms]
 * @param companion the second thermometer of `measured` and `between`; null where it is not at hand
 */
export function surfaceTemperature(
  log: CleanLog,
  surface: ModelledSurface,
  bridge: Milliseconds,
  companion: Companion | null = null,
): SurfaceTemperature {
  const { time, temperature: air } = log;
  switch (surface.model) {
    case 'air':
      return following(air);
    case 'mass':
      return massOf(log, surface, bridge);
    case 'measured': {
      const { values, starts } = companionTemperature(time, companion);
      return following(values, values, starts);
    }
    case 'between': {
      const { values: outside, starts } = companionTemperature(time, companion);
      const values = outside.map((te, i) => wallTemperature(air[i]!, te, surface.temperatureFactor));
      return following(values, values, starts);
    }
    case 'night-sky':
      return droppingAtNight(log, surface.drop, surface.position);
  }
}

const NEVER = new Float64Array(0);
const AT_ONCE: readonly Instant[] = [];
const ONE = new Uint32Array(0);

/** The number of the stretch in which a row lies, counted from 0. */
export function stretchOf(starts: Uint32Array, row: number): number {
  return firstFrom(starts, row + 1);
}

/** All models end here: code that has met one kind of object need not be compiled again for the next surface. */
function courseOf(
  values: Float64Array,
  towards: Float64Array,
  starts: Uint32Array,
  settledFrom: readonly Instant[],
  timeConstant: Milliseconds,
  nights: Float64Array,
  drop: Kelvin,
): SurfaceTemperature {
  return { values, towards, timeConstant, starts, settledFrom, nights, drop };
}

/** The rows [first, end) only. */
export function rowsOf(
  { values, towards, starts, settledFrom, timeConstant, nights, drop }: SurfaceTemperature,
  first: number,
  end: number,
): SurfaceTemperature {
  const before = stretchOf(starts, first);
  return courseOf(
    values.subarray(first, end),
    towards.subarray(first, end),
    starts.slice(before, firstFrom(starts, end)).map((row) => row - first),
    settledFrom.slice(before),
    timeConstant,
    nights,
    drop,
  );
}

/** A surface that is what its values say, from reading to reading on straight lines; at night less by `drop`. */
function following(
  values: Float64Array,
  towards: Float64Array = values,
  starts: Uint32Array = ONE,
  nights: Float64Array = NEVER,
  drop: Kelvin = 0,
): SurfaceTemperature {
  return courseOf(values, towards, starts, AT_ONCE, 0, nights, drop);
}

function droppingAtNight(log: CleanLog, drop: Kelvin, position: Position): SurfaceTemperature {
  const { time, temperature: air, length } = log;
  const bounds = length === 0 ? new Float64Array(0) : nights(position, time[0]!, time[length - 1]! + 1);
  const values = new Float64Array(length);
  let next = 0;
  for (let i = 0; i < length; i++) {
    while (next < bounds.length && bounds[next]! <= time[i]!) next++;
    values[i] = next % 2 === 1 ? air[i]! - drop : air[i]!;
  }
  return following(values, air, undefined, bounds, drop);
}

/**
 * A mass obeys dTs/dt = (T − Ts) / τ (lumped capacitance; good for bodies of metal, indicative for thick
 * masonry); see `lagging` for how it starts, settles and is carried over holes.
 *
 * An air temperature that is wrong by a constant makes the surface wrong by the same constant, once settled.
 */
function massOf(
  { time, temperature: air }: CleanLog,
  { name, timeConstant }: ModelledSurface & { readonly model: 'mass' },
  bridge: Milliseconds,
): SurfaceTemperature {
  if (!(timeConstant > 0 && timeConstant < Number.POSITIVE_INFINITY)) {
    throw new InputError(`the time constant of surface "${name}" must be longer than nothing`, {
      text: String(timeConstant),
    });
  }
  const { values, starts, settledFrom } = lagging(time, air, timeConstant, bridge);
  return courseOf(values, air, starts, settledFrom, timeConstant, NEVER, 0);
}
