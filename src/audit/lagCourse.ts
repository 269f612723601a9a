import type { Log } from '../log/log.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { FURTHEST, LAGS, type Likeness, likenessOf, WINDOW } from './likeness.js';
import { STEP } from './movement.js';

/**
 * No clock runs away faster: an oscillator without a crystal is off by 1 % (14 min a day; the figure of
 * builders of such boards, common practice without a source).
 */
const FASTEST = 0.012;
/** Of what both move at the same time, a line must have so much within the lags that are looked at. */
const INSIDE = 0.5;
/**
 * Correlation along the best line. Loggers that do not share their weather reach 0.27 by chance (own
 * simulation, 14 and more days, all lines tried), loggers outdoors some steps or 30 km apart 0.5 to 0.9.
 */
export const ALIKE = 0.4;
/**
 * By so much the line must fit better than a lag that stays, or stays but for one jump. In the invented sites of
 * the score and the published logs, whole and in parts, no pair without drift reached 0.005, though clocks were
 * set by an hour among them; of drifts of 2 h and more between loggers outdoors nearly all pass.
 */
const BETTER = 0.01;
/** A drift of less in all is not told from what shade and seasons do to the course of the day (project rule). */
export const LEAST_TOTAL: Milliseconds = HOUR;
/** Days to either side of a jump, at least. */
const BESIDE_JUMP = 3;
/** So many steps lie at either end between the rates that are tried first: whoever is alike is so for hours. */
const COARSE = 1.5;
/** Days are put together until there are no more than about so many, to find the line roughly. */
const ROUGHLY = 120;
/** Parts of a step, in which the best line is looked for when it is known roughly. */
const PARTS = 10;

/** How the lag of a logger behind another goes on in their common days. */
export interface LagCourse {
  readonly from: Instant;
  readonly until: Instant;
  /** Growth of the lag, time over time; above 0 the clock of the first runs fast, as seen from the second. */
  readonly rate: number;
  /** Whether the lag grows all the time, stays, or cannot be told. */
  readonly kind: 'drift' | 'steady' | 'unknown';
}

const known = new WeakMap<Log, WeakMap<Log, LagCourse | null>>();

/** The course of the lag of a log behind another; null where they have too few days, or too little, in common. */
export function lagCourseOf(own: Log, other: Log): LagCourse | null {
  const mirrored = known.get(other)?.get(own);
  if (mirrored !== undefined) return mirrored === null ? null : { ...mirrored, rate: -mirrored.rate };
  const courses = known.get(own) ?? new WeakMap<Log, LagCourse | null>();
  known.set(own, courses);
  const course = followed(own, other);
  courses.set(other, course);
  return course;
}

function followed(own: Log, other: Log): LagCourse | null {
  const likeness = likenessOf(own, other);
  if (likeness === null) return null;
  const { first, days } = likeness;
  const line = bestLine(likeness);
  if (line.alike < ALIKE) return null;
  const total = Math.abs(line.rate) * days * STEP;
  const isDrift = total >= LEAST_TOTAL && line.alike >= bestJump(likeness) + BETTER;
  return {
    from: first * STEP,
    until: (first + days * WINDOW) * STEP,
    rate: line.rate / WINDOW,
    kind: isDrift ? 'drift' : total < LEAST_TOTAL ? 'steady' : 'unknown',
  };
}

/** A lag that grows evenly. */
interface Line {
  /** In the middle of the days [steps]. */
  readonly lag: number;
  /** Growth [steps a day]. */
  readonly rate: number;
  /** Correlation of the two when the lag is taken out. */
  readonly alike: number;
}

/** The line along which the two are most alike: roughly first, among whole steps, then more finely. */
function bestLine(likeness: Likeness): Line {
  const { days } = likeness;
  const grain = (2 * COARSE) / days;
  const most = Math.ceil((FASTEST * WINDOW) / grain);
  let best: Line = { lag: 0, rate: 0, alike: -1 };
  const sums = { shared: new Float64Array(LAGS), possible: new Float64Array(LAGS) };
  const together = Math.max(1, Math.floor(days / ROUGHLY));
  const blocks = together === 1 ? likeness : blocksOf(likeness, together);
  addUp(blocks, 0, sums);
  const least = INSIDE * sums.possible[FURTHEST]!;
  for (let turn = -most; turn <= most; turn++) {
    addUp(blocks, turn * grain * together, sums);
    for (let lag = 0; lag < LAGS; lag++) {
      if (!(sums.possible[lag]! >= least)) continue;
      const alike = sums.shared[lag]! / sums.possible[lag]!;
      if (alike > best.alike) best = { lag: lag - FURTHEST, rate: turn * grain, alike };
    }
  }
  const rough = best;
  for (let turn = -PARTS; turn <= PARTS; turn++) {
    for (let part = -PARTS; part <= PARTS; part++) {
      const [lag, rate] = [rough.lag + part / PARTS, rough.rate + (turn * grain) / PARTS];
      const alike = alikeAlong(likeness, lag, rate, least);
      if (alike > best.alike) best = { lag, rate, alike };
    }
  }
  return best;
}

/** Sums of so many days each; what is left of them at the end is left out. */
function blocksOf({ first, days, shared, possible }: Likeness, together: number): Likeness {
  const count = Math.floor(days / together);
  const sums = { shared: new Float64Array(count * LAGS), possible: new Float64Array(count * LAGS) };
  for (let day = 0; day < count * together; day++) {
    const to = Math.floor(day / together) * LAGS;
    for (let lag = 0; lag < LAGS; lag++) {
      sums.shared[to + lag]! += shared[day * LAGS + lag]!;
      sums.possible[to + lag]! += possible[day * LAGS + lag]!;
    }
  }
  return { first, days: count, ...sums };
}

/** Sums over the days by the lag in the middle of them, of a lag that grows at a rate [steps a day]. */
function addUp(
  { days, shared, possible }: Likeness,
  rate: number,
  into: { readonly shared: Float64Array; readonly possible: Float64Array },
): void {
  into.shared.fill(0);
  into.possible.fill(0);
  for (let day = 0; day < days; day++) {
    const shift = Math.round(rate * (day - (days - 1) / 2));
    const start = day * LAGS + shift;
    const end = Math.min(LAGS, LAGS - shift);
    for (let lag = Math.max(0, -shift); lag < end; lag++) {
      into.shared[lag]! += shared[start + lag]!;
      into.possible[lag]! += possible[start + lag]!;
    }
  }
}

/** As `addUp` for one line, between whole steps; days beyond the lags that are looked at do not count. */
function alikeAlong({ days, shared, possible }: Likeness, lag: number, rate: number, least: number): number {
  let [sum, most] = [0, 0];
  for (let day = 0; day < days; day++) {
    const place = lag + rate * (day - (days - 1) / 2) + FURTHEST;
    const below = Math.floor(place);
    if (below < 0 || below + 1 >= LAGS) continue;
    const at = day * LAGS + below;
    const share = place - below;
    sum += (1 - share) * shared[at]! + share * shared[at + 1]!;
    most += (1 - share) * possible[at]! + share * possible[at + 1]!;
  }
  return most > 0 && most >= least ? sum / most : 0;
}

/** How alike the two are with a lag that stays, or one before a day and another from then on: a clock that was set. */
function bestJump({ days, shared, possible }: Likeness): number {
  const all = { shared: new Float64Array(LAGS), possible: new Float64Array(LAGS) };
  for (let at = 0; at < shared.length; at++) {
    all.shared[at % LAGS]! += shared[at]!;
    all.possible[at % LAGS]! += possible[at]!;
  }
  const before = { shared: new Float64Array(LAGS), possible: new Float64Array(LAGS) };
  let best = 0;
  for (let day = 0; day < days; day++) {
    let [first, second, alikeFirst, alikeSecond] = [0, 0, 0, 0];
    for (let lag = 0; lag < LAGS; lag++) {
      before.shared[lag]! += shared[day * LAGS + lag]!;
      before.possible[lag]! += possible[day * LAGS + lag]!;
      const alike = before.shared[lag]! / before.possible[lag]!;
      const then = (all.shared[lag]! - before.shared[lag]!) / (all.possible[lag]! - before.possible[lag]!);
      if (alike > alikeFirst) [first, alikeFirst] = [lag, alike];
      if (then > alikeSecond) [second, alikeSecond] = [lag, then];
    }
    if (day + 1 < BESIDE_JUMP || days - 1 - day < BESIDE_JUMP) continue;
    const sum = before.shared[first]! + all.shared[second]! - before.shared[second]!;
    best = Math.max(best, sum / (before.possible[first]! + all.possible[second]! - before.possible[second]!));
  }
  return best;
}
