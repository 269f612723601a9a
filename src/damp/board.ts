import type { Period } from '../calendar/period.js';
import { InputError } from '../errors.js';
import { HOUR, type Instant, type Milliseconds, type Percent } from '../units.js';
import {
  boundsOf,
  type ClimateSteps,
  climateSteps,
  FIELDS,
  humidityOf,
  KNOWN,
  START,
  temperatureOf,
} from './climateSteps.js';
import { longestCarried, settlingOf } from './lagging.js';
import type { SurfaceCourse } from './surfaceCourse.js';
import { COLDEST_TABULATED, DAMPEST_TABULATED, equilibriumMoisture } from './wood.js';

// A pine stick of 12.7 mm follows the air with a time constant of 10 h (Fosberg & Deeming 1971, fire weather).
const STICK_RADIUS = 6.35; // mm
const STICK_TIME_CONSTANT: Milliseconds = 10 * HOUR;
/** Square of the first zero of the Bessel function J0: slowest mode of a cylinder (from memory). */
const CYLINDER_MODE = 5.783;

/** How fast moisture moves in the stick [mm²/ms], from its time constant: 1.94e-10 m²/s. */
export const MOISTURE_DIFFUSIVITY = STICK_RADIUS ** 2 / (CYLINDER_MODE * STICK_TIME_CONSTANT);

/** Above this a panel in a service-class 2 structure is too wet (as quoted in a text on timber preservation). */
export const PANEL_LIMIT: Percent = 18;
/** Below this most fungi cannot grow in wood (Smulski 1996, as quoted). */
export const DECAY_LIMIT: Percent = 20;

/**
 * Time in which the mean moisture of a board makes up 63 % of its distance to equilibrium [ms]: slowest mode
 * of diffusion, L² / (π² D), with the D of a pine stick. **An estimate, good to a factor of 3 either way**: D
 * rises 8-fold between 2.5 and 18 % of moisture, and paint, end grain and still air all change it.
 *
 * @param thickness [mm], above 0; else InputError
 * @param faces on how many sides the air reaches the wood; with one the way is twice as long
 * @example boardTimeConstant(20, 2) / HOUR // 58
 */
export function boardTimeConstant(thickness: number, faces: 1 | 2): Milliseconds {
  if (!(thickness > 0 && thickness < Number.POSITIVE_INFINITY)) {
    throw new InputError('the thickness of a board must be more than nothing', { text: String(thickness) });
  }
  const way = faces === 2 ? thickness : 2 * thickness;
  return way ** 2 / (Math.PI ** 2 * MOISTURE_DIFFUSIVITY);
}

/** Moisture of a board in a period. `known + unknown` is the length of the period, to the millisecond. */
export interface BoardSummary {
  readonly period: Period;
  /** Over the known time, settled or not, weighted by time [%]; NaN where there is none. */
  readonly mean: Percent;
  /** Largest in it [%]. */
  readonly max: Percent;
  /** Time above `PANEL_LIMIT` and above `DECAY_LIMIT` [ms]. */
  readonly abovePanelLimit: Milliseconds;
  readonly aboveDecayLimit: Milliseconds;
  readonly known: Milliseconds;
  readonly unknown: Milliseconds;
  /** Of the known time: the board's moisture still shows how it was assumed to have started [ms]. */
  readonly unsettled: Milliseconds;
}

export interface BoardOptions {
  /** [ms], above 0 and finite; else InputError. */
  readonly timeConstant: Milliseconds;
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  /** By how much the humidity was read too low [%]; 0 if absent. It is held to 0..100 % with that. */
  readonly error?: Percent;
}

/**
 * Moisture of a board that follows the equilibrium of the air at its surface, in each period.
 *
 * The exact first-order response to steps of at most a quarter of an hour, each with the equilibrium of the mean
 * temperature and humidity of its known time: what averaging takes from a board that answers in hours or days lies
 * far below what is known of it. See `lagging` for how it starts, settles and is carried over holes; a hole counts as
 * air between that before and that after it. Its time beyond the bridging limit stays unknown.
 *
 * Air colder or damper than the wood equation reaches is taken at its edge, −1.1 °C and 99 %: the equilibrium
 * changes by 0.014 % a kelvin there at most, and what it is in fog is not known, only that it is no less.
 *
 * @param periods in order of time, none overlapping another
 */
export function board(
  course: SurfaceCourse,
  periods: readonly Period[],
  options: BoardOptions,
): BoardSummary[] {
  return boardFrom(climateSteps(course, boundsOf(periods), options.bridge), periods, options);
}

/** The same where the steps are at hand, cut at the bounds of the periods. */
export function boardFrom(
  steps: ClimateSteps,
  periods: readonly Period[],
  { timeConstant, bridge, error = 0 }: BoardOptions,
): BoardSummary[] {
  if (!(timeConstant > 0 && timeConstant < Number.POSITIVE_INFINITY)) {
    throw new InputError('the time constant of a board must be longer than nothing', {
      text: String(timeConstant),
    });
  }
  const { count, records } = steps;
  const carried = longestCarried(timeConstant, bridge);
  const account = open(periods, timeConstant);
  let equilibrium = Number.NaN;
  let moisture = Number.NaN;
  let until = Number.NEGATIVE_INFINITY;
  let settledFrom = Number.NaN;
  for (let step = 0; step < count; step++) {
    const start = records[FIELDS * step + START]!;
    const known = records[FIELDS * step + KNOWN]!;
    const before = equilibrium;
    equilibrium = equilibriumMoisture(
      Math.max(temperatureOf(steps, step), COLDEST_TABULATED),
      Math.max(0, Math.min(humidityOf(steps, step) + error, DAMPEST_TABULATED)),
    );
    const hole = start - until;
    if (hole > carried) {
      moisture = equilibrium;
      settledFrom = start + settlingOf(timeConstant);
    } else if (hole > 0) {
      moisture = approaching((before + equilibrium) / 2, moisture, hole, timeConstant);
    }
    const last = approaching(equilibrium, moisture, known, timeConstant);
    book(account, start, known, Math.max(0, settledFrom - start), equilibrium, moisture, last);
    moisture = last;
    until = start + known;
  }
  return results(account);
}

/** Where the moisture comes to in a time in which the equilibrium stays. */
function approaching(
  equilibrium: Percent,
  moisture: Percent,
  duration: Milliseconds,
  timeConstant: Milliseconds,
): Percent {
  return moisture + (moisture - equilibrium) * Math.expm1(-duration / timeConstant);
}

interface Account {
  readonly periods: readonly Period[];
  readonly timeConstant: Milliseconds;
  /** Per period [ms]. */
  readonly known: Float64Array;
  readonly unsettled: Float64Array;
  readonly abovePanelLimit: Float64Array;
  readonly aboveDecayLimit: Float64Array;
  /** Integral of the moisture over the known time of each period [% × ms]. */
  readonly integral: Float64Array;
  readonly max: Float64Array;
  /** The first period that may still gain time. */
  next: number;
}

function open(periods: readonly Period[], timeConstant: Milliseconds): Account {
  return {
    periods,
    timeConstant,
    known: new Float64Array(periods.length),
    unsettled: new Float64Array(periods.length),
    abovePanelLimit: new Float64Array(periods.length),
    aboveDecayLimit: new Float64Array(periods.length),
    integral: new Float64Array(periods.length),
    max: new Float64Array(periods.length).fill(Number.NaN),
    next: 0,
  };
}

/** Books a step in which the moisture runs from `first` to `last`, towards the equilibrium. */
function book(
  account: Account,
  start: Instant,
  known: Milliseconds,
  unsettled: Milliseconds,
  equilibrium: Percent,
  first: Percent,
  last: Percent,
): void {
  const { periods, timeConstant } = account;
  while (account.next < periods.length && periods[account.next]!.end <= start) account.next++;
  const p = account.next;
  if (p === periods.length || start < periods[p]!.start) return;
  account.known[p]! += known;
  account.unsettled[p]! += Math.min(unsettled, known);
  // What the moisture fell short of its equilibrium is what it has moved since, times τ.
  account.integral[p]! += equilibrium * known - timeConstant * (last - first);
  const highest = Math.max(first, last);
  // Written so that the first value, compared with NaN, is taken.
  if (!(highest <= account.max[p]!)) account.max[p] = highest;
  if (highest <= PANEL_LIMIT) return;
  account.abovePanelLimit[p]! += timeAbove(PANEL_LIMIT, equilibrium, first, last, known, timeConstant);
  account.aboveDecayLimit[p]! += timeAbove(DECAY_LIMIT, equilibrium, first, last, known, timeConstant);
}

function timeAbove(
  limit: Percent,
  equilibrium: Percent,
  first: Percent,
  last: Percent,
  known: Milliseconds,
  timeConstant: Milliseconds,
): Milliseconds {
  if (first > limit && last > limit) return known;
  if (!(first > limit || last > limit)) return 0;
  const crossing = Math.round(timeConstant * Math.log((first - equilibrium) / (limit - equilibrium)));
  return first > limit ? crossing : known - crossing;
}

function results(account: Account): BoardSummary[] {
  const { periods, known, unsettled, abovePanelLimit, aboveDecayLimit, integral, max } = account;
  return periods.map((period, p) => ({
    period,
    mean: integral[p]! / known[p]!,
    max: max[p]!,
    abovePanelLimit: abovePanelLimit[p]!,
    aboveDecayLimit: aboveDecayLimit[p]!,
    known: known[p]!,
    unknown: period.end - period.start - known[p]!,
    unsettled: unsettled[p]!,
  }));
}
