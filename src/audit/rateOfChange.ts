import { formatDuration } from '../calendar/print.js';
import { Flag } from '../log/flag.js';
import { rowAt } from '../log/pieces.js';
import { HOUR, type Milliseconds } from '../units.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { isSteady, vapourAt } from './coherence.js';
import { counted, episodesIn } from './episodes.js';
import { withoutHabits } from './habits.js';
import { limitAt, tableFor } from './limits.js';
import {
  judgement,
  type Points,
  partnerAt,
  pointsOf,
  rowsAt,
  timeAt,
  unquestioned,
  valueAt,
} from './points.js';
import { nameOf, QUANTITIES, unitOf } from './range.js';
import { LEAST_HABITS, quantile, spreadOf, strideOver } from './robust.js';
import { changesInForce } from './stated.js';
import { nextStep } from './steps.js';

/** A longer interval is a gap, and what happened in it is not known. */
const NEXT_CADENCES = 1.5;
const LONGEST: Milliseconds = 2 * HOUR;
/** A step must stand out of the log's own by so many robust standard deviations (decided with the tables). */
const SPREADS = 6;
/** And out of what one step in fifty is by this factor. */
const SELDOM = 3;
/** What a humidity must fall when cold, dry air comes in [%]: a sensor of which one half has failed shows nothing. */
const AIRING = 2;
/** Within this a temperature stays what it was; moist air that comes in may be warmer, as over a shower [K]. */
const STILL = 1;

/** Values that change faster than air does, and stay changed. */
export const rateOfChange: Check = {
  name: 'rate_of_change',
  looksFor: 'values that change faster than air does',
  method:
    'A step from one reading to the next, never across a gap, beyond a limit that grows with the interval (6 K and 25 % at 10 min, 10 K and 50 % at 1 h), ' +
    `beyond ${SPREADS} robust standard deviations of the log's own steps and beyond ${SELDOM} times their 98th percentile. What vapour pressure explains is real: ` +
    'air warmed or cooled and nothing else, moisture that comes in, cold dry air let in by a window. The value after ' +
    'the step is questionable (flag 3), never bad.',
  source:
    'IOOS QARTOD, test 7 (outcome); limits from tables of WMO (from memory), EPA and NWS (by way of MADIS), chosen by us',
  advice: 'was the logger carried to another place, or the sensor changed? if not, look at plug and wire',
  limits: ({ ownLimits }) => changesInForce('step', 'rate_of_change', ownLimits),
  learns: true,
  cannot: (input) =>
    withoutHabits(
      input,
      (points, cadence) =>
        putSteps(points, reachOf(cadence), new Float64Array(LEAST_HABITS)) === LEAST_HABITS,
    ),
  *run(input) {
    const { cadence } = input;
    if (cadence === null) return;
    // what jumps and comes back has been told, and so has the way back
    const all = QUANTITIES.map((quantity) => unquestioned(pointsOf(input, quantity), input));
    for (const points of all) yield* stepsOf(input, points, cadence);
  },
};

function* stepsOf(input: AuditInput, points: Points, cadence: Milliseconds): Generator<Found> {
  const { quantity, count, rows } = points;
  const reach = reachOf(cadence);
  const sizes = stepSizes(points, reach).sort();
  if (sizes.length < LEAST_HABITS) return;
  const own = Math.max(SPREADS * spreadOf(sizes), SELDOM * quantile(sizes, 0.98));
  const table = tableFor('step', quantity, input.ownLimits);
  const least = Math.max(own, table[0]![1]);
  const place = new Map<number, number>();
  for (let at = nextStep(points, 1, least); at < count; at = nextStep(points, at + 1, least)) {
    const interval = timeAt(points, at) - timeAt(points, at - 1);
    const size = Math.abs(valueAt(points, at) - valueAt(points, at - 1));
    if (interval > reach || size <= Math.max(own, limitAt(table, interval)) || isExplained(points, at))
      continue;
    place.set(rowAt(rows, at), at);
  }
  for (const episode of episodesIn(input, [...place.keys()])) {
    const places = episode.map((row) => place.get(row)!);
    const all = rowsAt(points, input.log, places);
    yield {
      finding: findingOn(input.log, all, {
        check: 'rate_of_change',
        severity: 'warning',
        quantity,
        message: message(points, places),
        confidence: 'possible',
        count: episode.length,
      }),
      marks: [judgement(input.log, quantity, all, Flag.questionable)],
    };
  }
}

const reachOf = (cadence: Milliseconds): Milliseconds => Math.min(NEXT_CADENCES * cadence, LONGEST);

/** Sizes of the steps from one reading to the next; of very many a part. */
function stepSizes(points: Points, reach: Milliseconds): Float64Array {
  const found = new Float64Array(Math.ceil(points.count / strideOver(points.count - 1)));
  return found.subarray(0, putSteps(points, reach, found));
}

/**
 * Sizes of every so many-th step, where the readings lie so near.
 *
 * @returns how many there are, `sizes` being large enough for them; else its length
 */
function putSteps({ count, rows, times, values }: Points, reach: Milliseconds, sizes: Float64Array): number {
  const { starts, firsts } = rows;
  const stride = strideOver(count - 1);
  let n = 0;
  for (let at = 1, piece = 0; at < count && n < sizes.length; at += stride) {
    while (at >= starts[piece + 1]!) piece++;
    const row = firsts[piece]! + at - starts[piece]!;
    const before = at > starts[piece]! ? row - 1 : rowAt(rows, at - 1);
    if (times[row]! - times[before]! <= reach) sizes[n++] = Math.abs(values[row]! - values[before]!);
  }
  return n;
}

/** Whether real air does this: see `method`. */
function isExplained(points: Points, at: number): boolean {
  if (isSteady(vapourAt(points, at - 1), vapourAt(points, at))) return true;
  const { quantity } = points;
  const step = valueAt(points, at) - valueAt(points, at - 1);
  const other = partnerAt(points, at) - partnerAt(points, at - 1);
  const [warmer, damper] = quantity === 'air_temperature' ? [step, other] : [other, step];
  if (warmer < -STILL && damper <= -AIRING) return true;
  return quantity === 'relative_humidity' && damper > 0 && warmer >= -STILL;
}

function message(points: Points, places: readonly number[]): string {
  const { quantity } = points;
  if (places.length > 1)
    return `${counted(places.length, 'step')} of ${nameOf(quantity)} faster than air changes`;
  const at = places[0]!;
  const [before, after] = [valueAt(points, at - 1), valueAt(points, at)].map((each) =>
    Number(each.toFixed(2)),
  );
  return (
    `${nameOf(quantity)} goes from ${before} to ${after} ${unitOf(quantity)} within ` +
    formatDuration(timeAt(points, at) - timeAt(points, at - 1))
  );
}
