import { Flag } from '../log/flag.js';
import { pieceAt, pieceOf, rowAt } from '../log/pieces.js';
import type { Milliseconds } from '../units.js';
import { type AuditInput, type Check, type Found, findingOn, partsOf } from './check.js';
import { vapourAt } from './coherence.js';
import { counted } from './episodes.js';
import { withoutHabits } from './habits.js';
import { limitAt, tableFor } from './limits.js';
import {
  instantsOf,
  judgement,
  type Points,
  partnerAt,
  pointsOf,
  rowsAt,
  timeAt,
  valueAt,
} from './points.js';
import { nameOf, QUANTITIES } from './range.js';
import { LEAST_HABITS, quantile, sampled, spreadOf } from './robust.js';

/** Beyond so many cadences a neighbour says nothing. */
const NEAR_CADENCES = 3;
/** Temperature and humidity as numbers must lie so far apart for an exchange to show. */
const APART = 12;
/** An exchanged value lies this near to what the other column said before [K, %]. */
const NEAR = { air_temperature: 3, relative_humidity: 6 } as const;
const NEAREST = Math.max(NEAR.air_temperature, NEAR.relative_humidity);
/** Vapour must come and go by this part of itself, whatever the log is used to. */
const LEAST_VAPOUR = 0.2;
/** Vapour follows humidity in proportion, and temperature by this part of itself a kelvin at most, in great cold. */
const STEEPEST = 1 / 6;
/** The two together must make this, or the vapour has moved by less: growth by a fifth of what comes of it is ln 1.2. */
const LEAST_CHANGE = 0.18;
/** And stand out of the log's own: robust standard deviations, and times what one reading in fifty does. */
const SPREADS = 10;
const SELDOM = 3;

/** Temperature and humidity that cannot both be true. */
export const inconsistent: Check = {
  name: 'inconsistent',
  looksFor: 'temperature and humidity that cannot both be true: exchanged, copied, or of different moments',
  method:
    `Exchanged: each value within ${NEAR.air_temperature} K or ${NEAR.relative_humidity} % of what the other column said just before; bad (flag 4), in the rows that are the fewer. ` +
    'Copied: both are the same number, and one of them is further from the reading before than a spike is allowed to be; that one is bad. ' +
    `Of different moments: for one reading the vapour pressure lies above both of its neighbours, or below both, by ${100 * LEAST_VAPOUR} % and ` +
    `by ${SPREADS} robust standard deviations and ${SELDOM} times the 98th percentile of the log's own; both values are questionable (flag 3).`,
  source: 'common practice, no source; limits are our own',
  advice: 'look at the order of the columns, and at what joins temperature and humidity to one row',
  learns: true,
  cannot: (input) => withoutHabits(input, ({ count }) => count >= LEAST_HABITS),
  *run(input) {
    const { cadence } = input;
    if (cadence === null) return;
    const points = pointsOf(input, 'air_temperature');
    if (points.count < LEAST_HABITS) return;
    const reach = NEAR_CADENCES * cadence;
    const striking = strikingIn(points);
    const exchanged = exchangedIn(points, striking, reach);
    yield* told(input, points, exchanged, (rows) => ({
      message: `temperature and humidity exchanged in ${counted(rows, 'reading')}`,
      flag: Flag.bad,
    }));
    const equal = [0, ...striking].filter((at) => valueAt(points, at) === partnerAt(points, at));
    const copied = copiedIn(points, equal, reach);
    for (const quantity of QUANTITIES) {
      for (const rows of partsOf(rowsAt(points, input.log, copied[quantity]), input.asked)) {
        const count = instantsOf(rows, input.log);
        yield {
          finding: findingOn(input.log, rows, {
            check: 'inconsistent',
            severity: 'warning',
            quantity,
            message: `${nameOf(quantity)} is a copy of the other value in ${counted(count, 'reading')}`,
            confidence: 'likely',
            count,
          }),
          marks: [judgement(input.log, quantity, rows, Flag.bad)],
        };
      }
    }
    const wrong = new Set([...exchanged, ...copied.air_temperature, ...copied.relative_humidity]);
    yield* told(
      input,
      points,
      strangersIn(points, striking, reach).filter((at) => !wrong.has(at)),
      (rows) => ({
        message: `temperature and humidity of ${counted(rows, 'reading')} do not belong together: the vapour comes and goes at once`,
        flag: Flag.questionable,
      }),
    );
  },
};

/** One finding for all of them: they have one cause. */
function* told(
  input: AuditInput,
  points: Points,
  places: readonly number[],
  as: (count: number) => { readonly message: string; readonly flag: Flag },
): Generator<Found> {
  for (const rows of partsOf(rowsAt(points, input.log, places), input.asked)) {
    const count = instantsOf(rows, input.log);
    const { message, flag } = as(count);
    yield {
      finding: findingOn(input.log, rows, {
        check: 'inconsistent',
        severity: flag === Flag.bad ? 'error' : 'warning',
        quantity: 'relative_humidity',
        message,
        confidence: flag === Flag.bad ? 'likely' : 'possible',
        count,
      }),
      marks: QUANTITIES.map((quantity) => judgement(input.log, quantity, rows, flag)),
    };
  }
}

/** Points at which a second look is worth while, ascending; the first has none before it to be compared with. */
function strikingIn(points: Points): number[] {
  const striking: number[] = [];
  for (let at = nextStriking(points, 1); at < points.count; at = nextStriking(points, at + 1))
    striking.push(at);
  return striking;
}

/**
 * The next point at which each value is near to what the other column said just before, or both values are the same
 * number, or the vapour may have come and gone. Nearly all points are passed over here; whether the other value can be
 * used at all is asked of those that are not.
 */
function nextStriking(points: Points, from: number): number {
  const { count, rows } = points;
  if (from >= count) return count;
  let before = rowAt(rows, from - 1);
  let row = rowAt(rows, from);
  for (let piece = pieceOf(rows, from); piece < rows.firsts.length; row = rows.firsts[++piece]!) {
    const { from: first, to } = pieceAt(rows, piece);
    while (row < to) {
      row = nextNoted(points, before, row, to);
      before = row;
      if (row === to) break;
      const at = rows.starts[piece]! + row - first;
      if (isNear(points, rowAt(rows, at - 1), row) || mayChangeAfter(points, at)) return at;
      row++;
    }
    before = to - 1;
  }
  return count;
}

/** The first of the rows [from, to) of a piece that is near to the one before it, or whose vapour may be another. */
function nextNoted({ values, partners }: Points, last: number, from: number, to: number): number {
  let valueBefore = values[last]!;
  let partnerBefore = partners[last]!;
  for (let row = from; row < to; row++) {
    const value = values[row]!;
    const partner = partners[row]!;
    if (Math.abs(value - partnerBefore) <= NEAREST && Math.abs(partner - valueBefore) <= NEAREST) return row;
    const least = partner * (LEAST_CHANGE - STEEPEST * Math.abs(value - valueBefore));
    if (value === partner || Math.abs(partner - partnerBefore) > least) return row;
    valueBefore = value;
    partnerBefore = partner;
  }
  return to;
}

/** Whether each value is near to what the other column said just before, or both values are the same number. */
function isNear({ values, partners }: Points, before: number, row: number): boolean {
  const value = values[row]!;
  const partner = partners[row]!;
  return (
    value === partner ||
    (Math.abs(value - partners[before]!) <= NEAREST && Math.abs(partner - values[before]!) <= NEAREST)
  );
}

/** Whether the vapour may be another at the point after this. */
function mayChangeAfter({ rows, count, values, partners }: Points, at: number): boolean {
  if (at + 1 === count) return false;
  const row = rowAt(rows, at);
  const after = rowAt(rows, at + 1);
  const least = partners[row]! * (LEAST_CHANGE - STEEPEST * Math.abs(values[after]! - values[row]!));
  return Math.abs(partners[after]! - partners[row]!) > least;
}

/** Points of which temperature and humidity stand in each other's place: those on the lesser side of each exchange. */
function exchangedIn(points: Points, striking: readonly number[], reach: Milliseconds): number[] {
  const { count } = points;
  const turns: number[] = []; // from each of these points on the columns are the other way round
  for (const at of striking) {
    const side = turns.length % 2;
    const value = valueAt(points, at - 1);
    const partner = partnerAt(points, at - 1);
    if (
      Math.abs(value - partner) >= APART &&
      Math.abs(valueAt(points, at) - partner) <= nearness(side, 'relative_humidity') &&
      Math.abs(partnerAt(points, at) - value) <= nearness(side, 'air_temperature') &&
      timeAt(points, at) - timeAt(points, at - 1) <= reach
    )
      turns.push(at);
  }
  if (turns.length === 0) return [];
  const ends = [...turns, count];
  const lengths = ends.map((end, turn) => end - (turns[turn - 1] ?? 0));
  const exchanged = lengths.reduce((sum, length, turn) => sum + (turn % 2) * length, 0);
  const lesser = exchanged <= count / 2 ? 1 : 0;
  const places: number[] = [];
  for (let turn = lesser; turn < ends.length; turn += 2)
    for (let at = turns[turn - 1] ?? 0; at < ends[turn]!; at++) places.push(at);
  return places;
}

/** @param side 1 where the columns are exchanged already, so that each holds the other quantity */
function nearness(side: number, quantity: keyof typeof NEAR): number {
  if (side === 0) return NEAR[quantity];
  return NEAR[quantity === 'air_temperature' ? 'relative_humidity' : 'air_temperature'];
}

/** Points whose two values are the same number, by the quantity that cannot be true. */
function copiedIn(points: Points, equal: readonly number[], reach: Milliseconds) {
  const copied = { air_temperature: [] as number[], relative_humidity: [] as number[] };
  let false_: keyof typeof copied | null = null; // of the stretch of copies that is going on
  for (const [i, at] of equal.entries()) {
    const last = equal[i - 1] ?? -1;
    let sound = at - 1; // the point before, if its values differ; where only one is known it says nothing
    while (sound > last && Number.isNaN(partnerAt(points, sound))) sound--;
    if (sound > last) false_ = null;
    if (false_ === null && sound > last && sound === at - 1) {
      const value = valueAt(points, at);
      const interval = timeAt(points, at) - timeAt(points, sound);
      const jumps = (from: number, quantity: keyof typeof copied) =>
        Math.abs(value - from) > limitAt(tableFor('spike', quantity), interval);
      const t = jumps(valueAt(points, sound), 'air_temperature');
      const h = jumps(partnerAt(points, sound), 'relative_humidity');
      if (interval <= reach && t !== h) false_ = t ? 'air_temperature' : 'relative_humidity';
    }
    if (false_ !== null) copied[false_].push(at);
  }
  return copied;
}

/** Points whose vapour pressure stands above or below that of both neighbours. */
function strangersIn(points: Points, striking: readonly number[], reach: Milliseconds): number[] {
  const { quantity, count } = points;
  const blip = (at: number, left = at - 1, right = at + 1) => {
    const instant = timeAt(points, at);
    if (Math.max(timeAt(points, right) - instant, instant - timeAt(points, left)) > reach) return NaN;
    const here = vapourAt(points, at);
    const before = here - vapourAt(points, left);
    const after = here - vapourAt(points, right);
    return before * after <= 0 ? 0 : Math.min(Math.abs(before), Math.abs(after));
  };
  const isMuch = (at: number, size: number) => size > LEAST_VAPOUR * vapourAt(points, at);
  const sizes = new Map<number, number>();
  for (const at of striking) {
    if (at === count - 1) continue;
    // one that jumps by itself is a spike, or out of range
    const value = valueAt(points, at);
    const alone = Math.min(
      Math.abs(value - valueAt(points, at - 1)),
      Math.abs(value - valueAt(points, at + 1)),
    );
    if (alone > limitAt(tableFor('spike', quantity), timeAt(points, at) - timeAt(points, at - 1))) continue;
    const size = blip(at);
    if (isMuch(at, size)) sizes.set(at, size);
  }
  if (sizes.size === 0) return [];
  const distances = sampled(count - 2, (place) => blip(place + 1)).sort();
  if (distances.length < LEAST_HABITS) return [];
  const away = distances.subarray(distances.findIndex((size) => size > 0));
  const own = Math.max(SPREADS * spreadOf(away), SELDOM * quantile(distances, 0.98));
  for (const [at, size] of sizes) if (size <= own) sizes.delete(at);
  // beside a greater stranger a good reading looks strange itself
  return [...sizes].flatMap(([at, size]) => {
    const isGreater = (other: number) => (sizes.get(other) ?? 0) > size;
    const left = isGreater(at - 1) ? Math.max(0, at - 2) : at - 1;
    const right = isGreater(at + 1) ? Math.min(count - 1, at + 2) : at + 1;
    const beside = blip(at, left, right);
    return beside > own && isMuch(at, beside) ? [at] : [];
  });
}
