import type { Period } from '../calendar/period.js';
import { InputError } from '../errors.js';
import { inBlocks } from '../log/blocks.js';
import { nextGood, rowsTelling } from '../log/bridging.js';
import { add, close, type Tally, tally } from '../period/stretches.js';
import { HOUR, type Milliseconds, type Percent } from '../units.js';
import { type Follower, lagging } from './lagging.js';
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
 * Moisture of a board that follows the equilibrium of the air at its surface, in each period; see `lagging` for
 * how it starts, settles and is carried over holes. The time of a hole beyond the bridging limit stays unknown.
 *
 * Air colder or damper than the wood equation reaches is taken at its edge, −1.1 °C and 99 %: the equilibrium
 * changes by 0.014 % a kelvin there at most, and what it is in fog is not known, only that it is no less.
 *
 * @param periods in order of time, none overlapping another
 */
export function board(
  course: SurfaceCourse,
  periods: readonly Period[],
  { timeConstant, bridge, error = 0 }: BoardOptions,
): BoardSummary[] {
  if (!(timeConstant > 0 && timeConstant < Number.POSITIVE_INFINITY)) {
    throw new InputError('the time constant of a board must be longer than nothing', {
      text: String(timeConstant),
    });
  }
  const { time } = course;
  const equilibrium = equilibria(course, error);
  const account = open(
    periods,
    time,
    equilibrium,
    lagging(time, equilibrium, timeConstant, bridge),
    timeConstant,
  );
  const { first, end } = rowsTelling(time, periods, bridge);
  let i = nextGood(equilibrium, first);
  while (i < end) {
    const j = nextGood(equilibrium, i + 1);
    if (j < time.length && time[j]! - time[i]! <= bridge) book(account, i, j);
    i = bookOn(account, bridge, j);
  }
  return results(account);
}

/**
 * Books the time from row `from` on as long as all goes on as in the step before: within the period, above the same
 * limits, settled or not, the moisture without a turn. Small and without calls, so that the machine code for it is
 * there at once.
 *
 * @returns the row from which on there is more to do
 */
function bookOn(account: Account, bridge: Milliseconds, from: number): number {
  const { time, equilibrium, moisture, timeConstant, known, unsettled, above, integral, max, next } = account;
  const { values, settledFrom } = moisture;
  const start = from < time.length ? time[from]! : Number.NaN;
  if (next >= account.periods.length || start !== known.until || Number.isNaN(max[next]!)) return from;
  const end = account.ends[next]!;
  const isSettled = unsettled.until !== start;
  const [panel, decay] = above;
  const overPanel = panel.times.until === start;
  const overDecay = decay.times.until === start;
  const least = overDecay ? decay.limit : overPanel ? panel.limit : Number.NEGATIVE_INFINITY;
  const greatest = overDecay ? Number.POSITIVE_INFINITY : overPanel ? decay.limit : panel.limit;
  let i = from;
  for (; i + 1 < time.length; i++) {
    const first = values[i]!;
    const last = values[i + 1]!;
    const highest = Math.max(first, last);
    if (!(highest <= greatest && Math.min(first, last) > least)) break;
    if (first < equilibrium[i]! !== last < equilibrium[i + 1]!) break;
    if (!(time[i + 1]! <= end && time[i + 1]! - time[i]! <= bridge)) break;
    if (!(isSettled ? settledFrom[i]! <= time[i]! : settledFrom[i]! >= time[i + 1]!)) break;
    const middle = (equilibrium[i]! + equilibrium[i + 1]!) / 2;
    integral[next]! += middle * (time[i + 1]! - time[i]!) - timeConstant * (last - first);
    if (highest > max[next]!) max[next] = highest;
  }
  known.until = time[i]!;
  if (!isSettled) unsettled.until = time[i]!;
  if (overPanel) panel.times.until = time[i]!;
  if (overDecay) decay.times.until = time[i]!;
  return i;
}

function equilibria({ temperature, humidity }: SurfaceCourse, error: Percent): Float64Array {
  const values = new Float64Array(humidity.length);
  inBlocks(values.length, (from, until) => putEquilibria(temperature, humidity, error, values, from, until));
  return values;
}

function putEquilibria(
  temperature: Float64Array,
  humidity: Float64Array,
  error: Percent,
  into: Float64Array,
  from: number,
  until: number,
): void {
  for (let i = from; i < until; i++) {
    into[i] = equilibriumMoisture(
      Math.max(temperature[i]!, COLDEST_TABULATED),
      Math.max(0, Math.min(humidity[i]! + error, DAMPEST_TABULATED)),
    );
  }
}

interface TimesAbove {
  readonly limit: Percent;
  readonly times: Tally;
}

interface Account {
  readonly periods: readonly Period[];
  readonly time: Float64Array;
  readonly equilibrium: Float64Array;
  readonly moisture: Follower;
  readonly timeConstant: Milliseconds;
  readonly known: Tally;
  readonly unsettled: Tally;
  /** Limits in ascending order, and the times above them. */
  readonly above: readonly [panel: TimesAbove, decay: TimesAbove];
  /** Integral of the moisture over the known time of each period [% × ms]. */
  readonly integral: Float64Array;
  readonly max: Float64Array;
  /** When each period ends. */
  readonly ends: Float64Array;
  /** Where `belowZero` leaves its answers. */
  readonly bounds: Float64Array;
  /** The first period that may still gain time. */
  next: number;
}

function open(
  periods: readonly Period[],
  time: Float64Array,
  equilibrium: Float64Array,
  moisture: Follower,
  timeConstant: Milliseconds,
): Account {
  return {
    periods,
    time,
    equilibrium,
    moisture,
    timeConstant,
    known: tally(periods),
    unsettled: tally(periods),
    above: [
      { limit: PANEL_LIMIT, times: tally(periods) },
      { limit: DECAY_LIMIT, times: tally(periods) },
    ],
    integral: new Float64Array(periods.length),
    max: new Float64Array(periods.length).fill(Number.NaN),
    ends: Float64Array.from(periods, ({ end }) => end),
    bounds: new Float64Array(4),
    next: 0,
  };
}

/** Books the time between rows `i` and `j`. By rows, because numbers would be boxed on their way in. */
function book(account: Account, i: number, j: number): void {
  const { periods, time, equilibrium, moisture, timeConstant, integral, max, bounds } = account;
  const start = time[i]!;
  const end = time[j]!;
  const first = moisture.values[i]!;
  const last = moisture.values[j]!;
  const before = equilibrium[i]!;
  const after = equilibrium[j]!;
  add(account.known, start, end);
  add(account.unsettled, start, Math.min(end, moisture.settledFrom[i]!));

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

  const highest = turns ? Math.max(first, before, after) : Math.max(first, last);
  if (highest <= PANEL_LIMIT) return;
  const lowest = turns ? Math.min(first, before, after) : Math.min(first, last);
  for (const { limit, times } of account.above) {
    if (lowest > limit) add(times, start, end);
    else if (highest > limit) {
      const count = belowZero(limit - first, -slope, -bend, timeConstant, end - start, bounds);
      for (let b = 0; b < count; b += 2) add(times, start + bounds[b]!, start + bounds[b + 1]!);
    }
  }
}

function results(account: Account): BoardSummary[] {
  const { periods, known, unsettled, above, integral, max } = account;
  const [panel, decay] = above;
  for (const each of [known, unsettled, panel.times, decay.times]) close(each);
  return periods.map((period, p) => ({
    period,
    mean: integral[p]! / known.time[p]!,
    max: max[p]!,
    abovePanelLimit: panel.times.time[p]!,
    aboveDecayLimit: decay.times.time[p]!,
    known: known.time[p]!,
    unknown: period.end - period.start - known.time[p]!,
    unsettled: unsettled.time[p]!,
  }));
}
