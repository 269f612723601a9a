import { formatWallMinute } from '../calendar/print.js';
import { Flag } from '../log/flag.js';
import { rowAt } from '../log/pieces.js';
import type { Milliseconds } from '../units.js';
import { blipsOf, type Unrest, unrestOf } from './blips.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { counted, episodesIn } from './episodes.js';
import { withoutHabits } from './habits.js';
import { tableFor } from './limits.js';
import { judgement, lineAt, type Points, pointsOf, rowsAt, timeAt, valueAt } from './points.js';
import { nameOf, QUANTITIES, unitOf } from './range.js';

/** Ten times a value and the line may differ by the log's own scatter, by so many robust standard deviations. */
const SPREADS = 4;
/** But by this at least, in a log that is nearly still, and by four times as much at most [K, %]. */
const LEAST = { air_temperature: 0.5, relative_humidity: 1.5 } as const;
const MOST = 4;
const ROUNDING = 1e-6;
/** So many readings in a row: that each of them fits is a proof that a spike does not have. */
const LONGEST = 6;

/** Values that have lost their decimal point. */
export const decimalShift: Check = {
  name: 'decimal_shift',
  looksFor: 'values ten times too large or too small, as when a decimal point is lost or moved',
  method:
    `Up to ${LONGEST} values that lie off the line between their neighbours as a spike does, and on it once divided or multiplied by ten: to ` +
    `within ${SPREADS} robust standard deviations of the log, between ${LEAST.air_temperature} K or ${LEAST.relative_humidity} % and ${MOST} times that. What is ten times too large must be a whole number. ` +
    'Bad (flag 4). Nothing is repaired.',
  source: 'common practice, no source; limits are our own',
  advice: 'a cut or garbled line on its way to the server: look at the line itself',
  learns: true,
  cannot: (input) => withoutHabits(input),
  *run(input) {
    const { cadence } = input;
    if (cadence === null) return;
    for (const quantity of QUANTITIES) {
      const points = pointsOf(input, quantity);
      const unrest = unrestOf(points, cadence);
      if (unrest !== null) yield* shiftsOf(input, points, cadence, unrest);
    }
  },
};

function* shiftsOf(
  input: AuditInput,
  points: Points,
  cadence: Milliseconds,
  unrest: Unrest,
): Generator<Found> {
  const { quantity, rows } = points;
  const floor = tableFor('spike', quantity);
  const least = LEAST[quantity];
  const tolerance = Math.min(Math.max(SPREADS * unrest.spread, least), MOST * least);
  const place = new Map<number, number>();
  for (const { before, first, after } of blipsOf(
    points,
    cadence,
    { table: floor, share: 1, own: 0 },
    LONGEST,
  )) {
    for (let at = first; at < after; at++) {
      const expected = lineAt(points, valueAt, before, after, at);
      const off = valueAt(points, at);
      const large = Math.abs(off / 10 - expected) <= tolerance && isWhole(off);
      const small = Math.abs(off * 10 - expected) <= tolerance;
      if (large || small) place.set(rowAt(rows, at), at);
    }
  }
  for (const episode of episodesIn(input, [...place.keys()])) {
    const places = episode.map((row) => place.get(row)!);
    const all = rowsAt(points, input.log, places);
    const at = places[0]!;
    yield {
      finding: findingOn(input.log, all, {
        check: 'decimal_shift',
        severity: 'warning',
        quantity,
        message:
          episode.length > 1
            ? `${counted(episode.length, 'value')} of ${nameOf(quantity)} with the decimal point in the wrong place`
            : `${nameOf(quantity)} ${Number(valueAt(points, at).toFixed(3))} ${unitOf(quantity)} at ` +
              `${formatWallMinute(timeAt(points, at), input.zone)} has its decimal point in the wrong place`,
        confidence: 'likely',
        count: episode.length,
      }),
      marks: [judgement(input.log, quantity, all, Flag.bad)],
    };
  }
}

/** But for the arithmetic from °F. */
function isWhole(value: number): boolean {
  return Math.abs(value - Math.round(value)) <= ROUNDING;
}
