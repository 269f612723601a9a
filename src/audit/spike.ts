import { formatWallMinute } from '../calendar/print.js';
import { Flag } from '../log/flag.js';
import { rowAt } from '../log/pieces.js';
import type { Kelvin, Milliseconds } from '../units.js';
import { type Blip, blipsOf, isLasting, offLine, smallest, unrestOf } from './blips.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { isSteady, vapourAt, vapourOf } from './coherence.js';
import { episodesIn } from './episodes.js';
import { withoutHabits } from './habits.js';
import { type ByInterval, limitAt, tableFor } from './limits.js';
import {
  judgement,
  lineAt,
  otherThan,
  type Points,
  partnerAt,
  pointsOf,
  rowsAt,
  timeAt,
  valueAt,
} from './points.js';
import { nameOf, QUANTITIES, unitOf } from './range.js';
import { changesInForce } from './stated.js';

/** A blip must stand out of the log's own scatter by so many robust standard deviations. */
const SPREADS = 10;
/** And out of what one reading in fifty does by this factor: showers and ovens are habits of a room. */
const SELDOM = 3;
/** In a quiet log this share of the limit is enough, where the other quantity stays what it was. */
const QUIET = 0.5;
/** Within this the other quantity stays what it was: as much as rounding and a passing breath make [K, %]. */
const STILL = { air_temperature: 1, relative_humidity: 2 } as const;
/** Steam warms a room by more than rounding and scatter do, and not by much (own estimate) [K]. */
const WARMS = { least: 0.5, spreads: 3, most: 3 } as const;
/** The readings of one and the same error are off by the same, give or take this share. */
const ALIKE = 0.25;

/** Single readings that jump and come back. */
export const spike: Check = {
  name: 'spike',
  looksFor: 'one to three readings that jump away and come straight back',
  method:
    'Distance from the straight line in time between the reading before and the one after, which must lie close to each other. ' +
    `Beyond a limit that grows with the interval (2.4 K and 18 % at 10 min, 3.6 K and 27 % at 1 h), and beyond ${SPREADS} ` +
    `robust standard deviations and ${SELDOM} times the 98th percentile of the log's own distances; half that limit is enough where the ` +
    `other quantity stays (within ${STILL.air_temperature} K or ${STILL.relative_humidity} %), and what lasts over an hour counts only there. What warming or cooling alone explains ` +
    '(the vapour pressure stays what it was), or warm moisture that comes in, is no spike. Questionable (flag 3); bad (flag 4) beyond 12 K or 60 % at 10 min, ' +
    '19.4 K or 80 % at 1 h, where the other quantity does not move.',
  source:
    'IOOS QARTOD, test 6 (spike); a blip, not a step: Graybeal et al. 2004, J. Appl. Meteor. 43; limits from tables of ' +
    'WMO (from memory), EPA and NWS (by way of MADIS), chosen by us',
  advice:
    'a disturbed transmission, a loose plug or a falling supply; more of them in the cold point to the battery',
  limits: ({ ownLimits }) => changesInForce('spike', 'spike', ownLimits),
  learns: true,
  cannot: (input) => withoutHabits(input),
  *run(input) {
    const { cadence } = input;
    if (cadence === null) return;
    // both are looked at before either is judged
    const all = QUANTITIES.map((quantity) => pointsOf(input, quantity));
    const [temperature] = all.map((points) => unrestOf(points, cadence)?.spread ?? 0);
    for (const points of all) yield* spikesOf(input, points, cadence, temperature!);
  },
};

/** @param scatter the temperature's robust standard deviation */
function* spikesOf(
  input: AuditInput,
  points: Points,
  cadence: Milliseconds,
  scatter: Kelvin,
): Generator<Found> {
  const { quantity } = points;
  const unrest = unrestOf(points, cadence);
  if (unrest === null) return;
  const own = Math.max(SPREADS * unrest.spread, SELDOM * unrest.seldom);
  const floor = tableFor('spike', quantity, input.ownLimits);
  const spikes: number[] = [];
  const bad = new Set<number>();
  // a site that states a limit means it
  const quiet = floor === tableFor('spike', quantity) ? QUIET : 1;
  for (const blip of blipsOf(points, cadence, { table: floor, share: quiet, own })) {
    if (isExplained(points, blip) || isSteam(points, blip, scatter)) continue;
    if (!isAlone(points, blip) && (isLasting(points, blip) || !isBeyond(points, blip, floor))) continue;
    const places = Array.from({ length: blip.after - blip.first }, (_, i) => blip.first + i);
    spikes.push(...places);
    if (isImpossible(points, blip)) for (const row of rowsAt(points, input.log, places)) bad.add(row);
  }
  const place = new Map(spikes.map((at) => [rowAt(points.rows, at), at]));
  for (const episode of episodesIn(input, [...place.keys()])) {
    const rows = rowsAt(
      points,
      input.log,
      episode.map((row) => place.get(row)!),
    );
    yield {
      finding: findingOn(input.log, rows, {
        check: 'spike',
        severity: 'warning',
        quantity,
        message: message(input, points, place, episode),
        confidence: rows.some((row) => bad.has(row)) ? 'certain' : 'likely',
        count: episode.length,
      }),
      marks: [
        judgement(
          input.log,
          quantity,
          rows.filter((row) => bad.has(row)),
          Flag.bad,
        ),
        judgement(
          input.log,
          quantity,
          rows.filter((row) => !bad.has(row)),
          Flag.questionable,
        ),
      ],
    };
  }
}

/** Whether moisture came in, which is warm where it comes from a shower or a pan. */
function isSteam(points: Points, blip: Blip, scatter: Kelvin): boolean {
  if (points.quantity !== 'relative_humidity' || offLine(points, valueAt, blip) < 0) return false;
  const warmer = offLine(points, partnerAt, blip);
  return warmer >= Math.max(WARMS.least, WARMS.spreads * scatter) && warmer <= WARMS.most;
}

function isBeyond(points: Points, { before, first, after }: Blip, limits: ByInterval): boolean {
  const sign = Math.sign(valueAt(points, first) - valueAt(points, before));
  return (
    smallest(points, before, after, sign) > limitAt(limits, timeAt(points, first) - timeAt(points, before))
  );
}

/** Whether its readings are off by the same while the other quantity stays: air shows itself in both, and comes and goes. */
function isAlone(points: Points, blip: Blip): boolean {
  const { before, first, after } = blip;
  if (!(Math.abs(offLine(points, partnerAt, blip)) <= STILL[otherThan(points.quantity)])) return false;
  const sign = Math.sign(valueAt(points, first) - valueAt(points, before));
  return smallest(points, before, after, sign) >= (1 - ALIKE) * Math.abs(offLine(points, valueAt, blip));
}

/** Whether the vapour pressure of each reading is what the readings around it let expect. */
function isExplained(points: Points, { before, first, after }: Blip): boolean {
  for (let at = first; at < after; at++) {
    const expected = vapourOf(
      points.quantity,
      lineAt(points, valueAt, before, after, at),
      lineAt(points, partnerAt, before, after, at),
    );
    if (!isSteady(expected, vapourAt(points, at))) return false;
  }
  return true;
}

/** No air does this, and the other quantity, which would show it, has not moved. */
function isImpossible(points: Points, blip: Blip): boolean {
  const { quantity } = points;
  const interval = timeAt(points, blip.first) - timeAt(points, blip.before);
  return (
    Math.abs(offLine(points, valueAt, blip)) > limitAt(tableFor('impossible', quantity), interval) &&
    Math.abs(offLine(points, partnerAt, blip)) <= limitAt(tableFor('spike', otherThan(quantity)), interval)
  );
}

function message(
  { log, zone }: AuditInput,
  points: Points,
  place: ReadonlyMap<number, number>,
  episode: readonly number[],
): string {
  const { quantity } = points;
  if (episode.length > 1 && log.time[episode.at(-1)!]! - log.time[episode[0]!]! > 0)
    return `${episode.length} values of ${nameOf(quantity)} jump away from the readings around them`;
  const at = place.get(episode[0]!)!;
  const tell = (number: number) => `${Number(number.toFixed(2))}`;
  return (
    `${nameOf(quantity)} ${tell(valueAt(points, at))} ${unitOf(quantity)} at ${formatWallMinute(log.time[episode[0]!]!, zone)}, ` +
    `between ${tell(valueAt(points, at - 1))} and ${tell(valueAt(points, at + 1))} ${unitOf(quantity)}`
  );
}
