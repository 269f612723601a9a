import type { Period } from '../calendar/period.js';
import { InputError } from '../errors.js';
import { add, close, type Tally, tally } from '../period/stretches.js';
import { HOUR, type Instant, type Milliseconds, type Percent } from '../units.js';
import { belowZero, turningPoint, valueAt } from './relaxation.js';
import type { SurfaceCourse } from './surfaceHumidity.js';
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

/**
 * Moisture of a board [%] some time later, its equilibrium having moved along a straight line meanwhile: the
 * exact solution of dM/dt = (E − M) / τ.
 *
 * @param moisture at first [%]
 * @param before, after equilibrium at first and at last [%]
 * @param elapsed [ms], above 0
 * @param timeConstant τ [ms], above 0
 * @example boardMoistureAfter(24 * HOUR, 10, 16.037, 16.037, 57.9 * HOUR) // 12.05
 */
export function boardMoistureAfter(
  elapsed: Milliseconds,
  moisture: Percent,
  before: Percent,
  after: Percent,
  timeConstant: Milliseconds,
): Percent {
  const slope = (after - before) / elapsed;
  return valueAt(elapsed, moisture, slope, moisture - before + slope * timeConstant, timeConstant);
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
}

// Project rules; no published model says what to do with missing readings.
/** A hole up to this long, or half a time constant, is crossed on the straight line. */
const CARRIED: Milliseconds = 2 * HOUR;
const CARRIED_CONSTANTS = 0.5;
/** After this many time constants 5 % of a wrong start are left. */
const SETTLING_CONSTANTS = 3;

/**
 * Moisture of a board that follows the equilibrium of the air at its surface, in each period. It starts at
 * equilibrium and is unsettled for 3 τ. Its equilibrium moves along straight lines between readings. Over a
 * hole of at most 2 h, τ/2 or the bridging limit, whichever is longest, its state is carried along the line,
 * but the time of a hole beyond the bridging limit stays unknown; after a longer one it starts anew.
 *
 * Air colder or damper than the wood equation reaches is taken at its edge, −1.1 °C and 99 %: the equilibrium
 * changes by 0.014 % a kelvin there at most, and what it is in fog is not known, only that it is no less.
 *
 * @param periods in order of time, none overlapping another
 */
export function board(
  course: SurfaceCourse,
  periods: readonly Period[],
  { timeConstant, bridge }: BoardOptions,
): BoardSummary[] {
  if (!(timeConstant > 0 && timeConstant < Number.POSITIVE_INFINITY)) {
    throw new InputError('the time constant of a board must be longer than nothing', {
      text: String(timeConstant),
    });
  }
  const { time, temperature, humidity } = course;
  const carried = Math.max(CARRIED, CARRIED_CONSTANTS * timeConstant, bridge);
  const account = open(periods, timeConstant);
  let start: Instant = Number.NEGATIVE_INFINITY;
  let before: Percent = NaN;
  let moisture: Percent = NaN;
  let settled: Instant = NaN;
  for (let i = 0; i < time.length; i++) {
    const equilibrium = equilibriumMoisture(
      Math.max(temperature[i]!, COLDEST_TABULATED),
      Math.min(humidity[i]!, DAMPEST_TABULATED),
    );
    if (Number.isNaN(equilibrium)) continue;
    const end = time[i]!;
    if (end - start <= carried) {
      const after = boardMoistureAfter(end - start, moisture, before, equilibrium, timeConstant);
      if (end - start <= bridge) book(account, start, end, moisture, after, before, equilibrium, settled);
      moisture = after;
    } else {
      moisture = equilibrium;
      settled = end + Math.ceil(SETTLING_CONSTANTS * timeConstant);
    }
    start = end;
    before = equilibrium;
  }
  return results(account);
}

interface Account {
  readonly periods: readonly Period[];
  readonly timeConstant: Milliseconds;
  readonly known: Tally;
  readonly unsettled: Tally;
  readonly abovePanelLimit: Tally;
  readonly aboveDecayLimit: Tally;
  /** Integral of the moisture over the known time of each period [% × ms]. */
  readonly integral: Float64Array;
  readonly max: Float64Array;
  /** Where `belowZero` leaves its answers. */
  readonly bounds: Float64Array;
  /** The first period that may still gain time. */
  next: number;
}

function open(periods: readonly Period[], timeConstant: Milliseconds): Account {
  return {
    periods,
    timeConstant,
    known: tally(periods),
    unsettled: tally(periods),
    abovePanelLimit: tally(periods),
    aboveDecayLimit: tally(periods),
    integral: new Float64Array(periods.length),
    max: new Float64Array(periods.length).fill(NaN),
    bounds: new Float64Array(4),
    next: 0,
  };
}

/** Books the time between two readings: moisture from `first` to `last`, equilibrium from `before` to `after`. */
function book(
  account: Account,
  start: Instant,
  end: Instant,
  first: Percent,
  last: Percent,
  before: Percent,
  after: Percent,
  settled: Instant,
): void {
  const { periods, timeConstant, integral, max } = account;
  add(account.known, start, end);
  add(account.unsettled, start, Math.min(end, settled));

  const slope = (after - before) / (end - start);
  const bend = first - before + slope * timeConstant;
  // The moisture moves towards its equilibrium, so it turns where the two cross and never
  // passes the bounds of both.
  const turns = first < before !== last < after;
  while (account.next < periods.length && periods[account.next]!.end <= start) account.next++;
  for (let p = account.next; p < periods.length && periods[p]!.start < end; p++) {
    const from = Math.max(start, periods[p]!.start);
    const until = Math.min(end, periods[p]!.end);
    const at = from === start ? first : valueAt(from - start, first, slope, bend, timeConstant);
    const then = until === end ? last : valueAt(until - start, first, slope, bend, timeConstant);
    // What the moisture fell short of its equilibrium is what it has moved since, times τ.
    const middle = before + slope * ((from + until) / 2 - start);
    integral[p]! += middle * (until - from) - timeConstant * (then - at);

    let highest = Math.max(at, then);
    if (turns && bend < 0) {
      const turn = start + turningPoint(slope, bend, timeConstant);
      if (turn > from && turn < until) highest = valueAt(turn - start, first, slope, bend, timeConstant);
    }
    // Written so that the first value, compared with NaN, is taken.
    if (!(highest <= max[p]!)) max[p] = highest;
  }

  // Most pieces lie on one side of a limit and need no solving.
  const lowest = turns ? Math.min(first, before, after) : Math.min(first, last);
  const highest = turns ? Math.max(first, before, after) : Math.max(first, last);
  const bookAbove = (above: Tally, limit: Percent) => {
    if (lowest > limit) add(above, start, end);
    else if (highest > limit) {
      const count = belowZero(limit - first, -slope, -bend, timeConstant, end - start, account.bounds);
      for (let b = 0; b < count; b += 2)
        add(above, start + account.bounds[b]!, start + account.bounds[b + 1]!);
    }
  };
  bookAbove(account.abovePanelLimit, PANEL_LIMIT);
  bookAbove(account.aboveDecayLimit, DECAY_LIMIT);
}

function results(account: Account): BoardSummary[] {
  const { periods, known, unsettled, abovePanelLimit, aboveDecayLimit, integral, max } = account;
  for (const each of [known, unsettled, abovePanelLimit, aboveDecayLimit]) close(each);
  return periods.map((period, p) => ({
    period,
    mean: integral[p]! / known.time[p]!,
    max: max[p]!,
    abovePanelLimit: abovePanelLimit.time[p]!,
    aboveDecayLimit: aboveDecayLimit.time[p]!,
    known: known.time[p]!,
    unknown: period.end - period.start - known.time[p]!,
    unsettled: unsettled.time[p]!,
  }));
}
