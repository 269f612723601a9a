import { formatDuration } from '../calendar/print.js';
import type { Confidence } from '../log/finding.js';
import { Flag } from '../log/flag.js';
import { placeFrom, rowAt } from '../log/pieces.js';
import { firstFrom } from '../log/span.js';
import { HOUR, type Instant, type Milliseconds, type Percent } from '../units.js';
import { type AuditInput, type Check, type Found, fewOf, findingOn, partOf, partsOf } from './check.js';
import { LIMITS, NOTHING_STATED, type OwnLimits } from './limits.js';
import {
  instantsOf,
  judgement,
  otherThan,
  type Points,
  partnerAt,
  pointsApart,
  pointsOf,
  rowsOfRuns,
  timeAt,
  valueAt,
} from './points.js';
import { nameOf, QUANTITIES, unitOf } from './range.js';
import { resolutionOf, stepChanges } from './resolution.js';
import { lengthOf, type Run, runsOf, stretchesIn, type Unchanged, unusualOf } from './runs.js';

/** Fewer equal readings than this are no stretch. */
const LEAST = 6;
/** So many times what only one stretch in a hundred of the log exceeds. */
const UNUSUAL = 3;
/** An interval of more cadences ends a stretch. */
const JOINS = 3;
/** A log with fewer stretches knows no usual one. */
const LEAST_STRETCHES = 4;
/** The other quantity moves as it always does when its mean step is at least this part of its mean step in the whole log. */
const MOVES = 0.5;
/** Without a history, so long, while the other quantity ranges over so much [K, %]: no thermostat holds that. */
const LONG: Milliseconds = 72 * HOUR;
const FAR = { airTemperature: 3, relativeHumidity: 10 };
/** Steps wider than this are whole degrees, or whole degrees Fahrenheit [K]; whole percent [%]. */
const COARSE = 0.4;
/** A humidity beyond these lies at a rail, which is another check's question [%]. */
const RAILS = [1, 99.5] as const;

/** Values that stay the same for too long. */
export const flatLine: Check = {
  name: 'flat_line',
  looksFor: 'values that stay exactly the same for too long',
  method:
    'Temperature and humidity both unchanged for 3 h where they are written in tenths, 7 h with humidity in whole percent, 15 h ' +
    'with temperature in whole degrees too (questionable, flag 3); for 12, 24 and 48 h they are bad (flag 4), unless the log holds nothing else. One quantity ' +
    `alone unchanged for ${LIMITS.flatLine.alone / HOUR} h while the other moves as it always does is questionable. Never under ${LEAST} readings, nor under ` +
    `${UNUSUAL} times the stretch that only one in a hundred of this log's own exceeds; where the log changes from tenths to whole numbers or back, each part by itself.`,
  source: 'simulations of quiet rooms, our own; the two outcomes after IOOS QARTOD, test 8 (flat line)',
  advice:
    'the program repeats its last reading when the sensor does not answer: restart it, then look at plug and wire',
  limits: ({ ownLimits }) =>
    (['questionable', 'bad'] as const).map((flag) => {
      const stated = ownLimits?.flatLine[flag] ?? null;
      const { fine, mixed, coarse } = LIMITS.flatLine;
      return {
        limit: `both unchanged, ${flag}`,
        value:
          stated === null
            ? `${[fine, mixed, coarse].map((each) => formatDuration(each[flag])).join(', ')} by resolution`
            : formatDuration(stated),
        isStated: stated !== null,
        key: `limits.flat_line.${flag}_after`,
      };
    }),
  learns: true,
  *run(input) {
    const { cadence } = input;
    if (cadence === null) return;
    const all = QUANTITIES.map((quantity) => pointsOf(input, quantity));
    const both = runsOf(all[0]!, LEAST, shortestOf(input.ownLimits), bothOf(cadence));
    const alone = all.map((points) => runsOf(points, LEAST, LIMITS.flatLine.alone, oneOf(cadence)));
    // in most logs there is none, however they may be divided
    if (both.length + alone[0]!.length + alone[1]!.length === 0) return;
    const changes = all.flatMap((points) => stepChanges(points).map((place) => timeAt(points, place)));
    const [temperature, humidity] = all.map((points) => alike(points, changes));
    const frozen: Uint32Array[] = [];
    const hung = temperature!.flatMap((part, i) => [
      ...bothUnchanged(input, part.points, runsIn(part, both), humidity![i]!.points, cadence, frozen),
    ]);
    yield* fewOf(
      input,
      hung,
      (count) => `temperature and humidity both stay the same for too long, ${count} times`,
    );
    for (const [i, parts] of [temperature!, humidity!].entries()) {
      const one = parts.flatMap((part) => [
        ...oneUnchanged(input, part.points, runsIn(part, alone[i]!), cadence, frozen),
      ]);
      const name = nameOf(all[i]!.quantity);
      yield* fewOf(input, one, (count) => `${name} stays the same for too long, ${count} times`);
    }
  },
};

const bothOf = (cadence: Milliseconds): Unchanged => ({ reach: JOINS * cadence, both: true });
const oneOf = (cadence: Milliseconds): Unchanged => ({ reach: JOINS * cadence, both: false });

/** Where both quantities stay for less time than this, no resolution makes it questionable. */
const shortestOf = ({ flatLine }: OwnLimits = NOTHING_STATED): Milliseconds =>
  flatLine.questionable ?? LIMITS.flatLine.fine.questionable;

/** Points of which all are written in the same steps, and the place of the first of them in the whole log. */
interface Part {
  readonly points: Points;
  readonly origin: number;
}

/** The parts of a log in which it is written alike, by the instants at which others begin. */
function alike(points: Points, changes: readonly Instant[]): Part[] {
  const instants = [...new Set(changes)].sort((a, b) => a - b);
  const places = instants.map((instant) => placeFrom(points.rows, firstFrom(points.times, instant)));
  return pointsApart(points, places).map((each, i) => ({ points: each, origin: places[i - 1] ?? 0 }));
}

/** What of stretches of the whole log lies in a part. */
function runsIn({ points, origin }: Part, runs: readonly Run[]): Run[] {
  return runs
    .map(({ first, last }) => ({
      first: Math.max(first - origin, 0),
      last: Math.min(last - origin, points.count - 1),
    }))
    .filter(({ first, last }) => first <= last);
}

const lasts = (points: Points, { first, last }: Run): Milliseconds =>
  timeAt(points, last) - timeAt(points, first);

/** Of stretches those that are long enough; a change of the steps may have cut them. */
function longOf(points: Points, runs: readonly Run[], lasting: Milliseconds): Run[] {
  return runs.filter((run) => lengthOf(run) >= LEAST && lasts(points, run) >= lasting);
}

/** @param frozen gets the rows that are told */
function* bothUnchanged(
  input: AuditInput,
  points: Points,
  runs: readonly Run[],
  humidities: Points,
  cadence: Milliseconds,
  frozen: Uint32Array[],
): Generator<Found> {
  const { count } = points;
  const long = longOf(points, runs, shortestOf(input.ownLimits));
  if (long.length === 0) return;
  const limits = limitsFor(points, humidities, input.ownLimits);
  for (const run of unusualOf(points, long, UNUSUAL, bothOf(cadence))) {
    if (lasts(points, run) < limits.questionable) continue;
    const lasting = lasts(points, run);
    // in fog the humidity stands at its end for all the night, and says nothing of the sensor
    if (isAtRail(partnerAt(points, run.first)) && lasting < LIMITS.flatLine.alone) continue;
    // a log that knows no other reading says neither how finely it is written nor that its sensor ever moved
    const moved = run.first > 0 || run.last < count - 1;
    const flag = lasting >= limits.bad && moved ? Flag.bad : Flag.questionable;
    const rows = rowsOfRuns(points, input.log, [run]);
    frozen.push(rows);
    const at = run.first;
    for (const part of partsOf(rows, input.asked)) {
      yield {
        finding: findingOn(input.log, part, {
          check: 'flat_line',
          severity: 'warning',
          quantity: 'air_temperature',
          message: `temperature and humidity stay at ${tell(valueAt(points, at))} °C and ${tell(partnerAt(points, at))} % for ${formatDuration(lasting)}${partOf(part, rows)}`,
          confidence: flag === Flag.bad ? 'certain' : 'likely',
          count: instantsOf(part, input.log),
        }),
        marks: QUANTITIES.map((quantity) => judgement(input.log, quantity, part, flag)),
      };
    }
  }
}

function limitsFor(temperatures: Points, humidities: Points, { flatLine }: OwnLimits = NOTHING_STATED) {
  const kelvins = resolutionOf(temperatures.values, temperatures.count, temperatures.rows);
  const percent = resolutionOf(humidities.values, humidities.count, humidities.rows);
  const { fine, mixed, coarse } = LIMITS.flatLine;
  // what never changes does not tell its step, which may be a wide one
  const byResolution = !(kelvins <= COARSE) ? coarse : !(percent <= COARSE) ? mixed : fine;
  return {
    questionable: flatLine.questionable ?? byResolution.questionable,
    bad: flatLine.bad ?? byResolution.bad,
  };
}

/** @param frozen rows that are told already */
function* oneUnchanged(
  input: AuditInput,
  points: Points,
  runs: readonly Run[],
  cadence: Milliseconds,
  frozen: readonly Uint32Array[],
): Generator<Found> {
  const { quantity, count, rows } = points;
  const how = oneOf(cadence);
  const long = longOf(points, runs, LIMITS.flatLine.alone);
  let always: number | null | undefined; // asked for by few
  for (const run of unusualOf(points, long, UNUSUAL, how)) {
    const row = rowAt(rows, run.first);
    if (frozen.some((told) => told[firstFrom(told, row)] === row)) continue;
    const level = valueAt(points, run.first);
    if (quantity === 'relative_humidity' && isAtRail(level)) continue;
    if (always === undefined) always = usualUnrest(points, how);
    if (!partnerMoves(points, run, always)) continue;
    const found = rowsOfRuns(points, input.log, [run]);
    for (const part of partsOf(found, input.asked)) {
      yield {
        finding: findingOn(input.log, part, {
          check: 'flat_line',
          severity: 'warning',
          quantity,
          message:
            `${nameOf(quantity)} stays at ${tell(level)} ${unitOf(quantity)} for ${formatDuration(lasts(points, run))} ` +
            `while ${nameOf(otherThan(quantity))} moves as it always does${partOf(part, found)}`,
          confidence: likelihood(run, count),
          count: instantsOf(part, input.log),
        }),
        marks: [judgement(input.log, quantity, part, Flag.questionable)],
      };
    }
  }
}

const isAtRail = (humidity: Percent) => humidity <= RAILS[0] || humidity >= RAILS[1];

/** A value that never moves again, or has not moved since the start, is surer than one that does. */
function likelihood({ first, last }: Run, count: number): Confidence {
  return first === 0 || last === count - 1 ? 'likely' : 'possible';
}

/** Mean step of the other quantity in the whole log; null where there is no "as always". */
function usualUnrest(points: Points, how: Unchanged): number | null {
  if (stretchesIn(points, how, LEAST_STRETCHES) < LEAST_STRETCHES) return null;
  return partnerUnrest(points, { first: 0, last: points.count - 1 });
}

/**
 * Whether the other quantity says that the air changes. A log that knew hardly any other value has no "as always":
 * there it must move far, and for long.
 *
 * @param always its mean step in the whole log; null where there is no "as always"
 */
function partnerMoves(points: Points, run: Run, always: number | null): boolean {
  if (always !== null) return partnerUnrest(points, run) >= Math.max(MOVES * always, Number.MIN_VALUE);
  const far = points.quantity === 'air_temperature' ? FAR.relativeHumidity : FAR.airTemperature;
  return lasts(points, run) >= LONG && partnerRange(points, run) >= far;
}

function partnerRange(points: Points, run: Run): number {
  let least = Infinity;
  let greatest = -Infinity;
  for (let at = run.first; at <= run.last; at++) {
    const partner = partnerAt(points, at);
    // NaN is neither
    if (partner < least) least = partner;
    if (partner > greatest) greatest = partner;
  }
  return greatest - least;
}

/** Mean step of the other quantity over a stretch; NaN where it has none. */
function partnerUnrest(points: Points, { first, last }: Run): number {
  let sum = 0;
  let steps = 0;
  let partner = Number.NaN;
  for (let at = first; at <= last; at++) {
    const before = partner;
    partner = partnerAt(points, at);
    const step = Math.abs(partner - before);
    if (Number.isNaN(step)) continue;
    sum += step;
    steps++;
  }
  return sum / steps;
}

const tell = (value: number) => `${Number(value.toFixed(2))}`;
