import { Flag } from '../log/flag.js';
import type { Measured } from '../log/log.js';
import { type AuditInput, type Check, type Found, findingOn, partsOf } from './check.js';
import { counted } from './episodes.js';
import { foreignIn, type Rewriting } from './foreign.js';
import { instantsOf, judgement, pointsOf, rowsOfRuns } from './points.js';

const FAHRENHEIT: Rewriting = {
  forward: (celsius) => 1.8 * celsius + 32,
  backward: (fahrenheit) => (fahrenheit - 32) / 1.8,
  factor: 1.8,
  // the two scales meet at -40; nearer than this to it they cannot be told apart [K]
  least: 8,
  most: Infinity,
  tolerance: 2,
  partnerTolerance: 10,
};

const FRACTION: Rewriting = {
  forward: (percent) => percent / 100,
  backward: (fraction) => 100 * fraction,
  factor: 0.01,
  least: 8,
  // as much above saturation as wet sensors show
  most: 1.04,
  tolerance: 8,
  partnerTolerance: 3,
};

/** A log that changes its unit on the way. */
export const unitChange: Check = {
  name: 'unit_change',
  looksFor: 'a change from °C to °F, or from percent to fractions, in the middle of a log',
  method:
    'From one reading to the next the level changes as from °C to °F or back (within 2 K), the steps between readings grow by ' +
    '1.8, and the humidity stays within 10 %; or humidity falls to a hundredth while the temperature stays within 3 K. The stretch that is ' +
    'written unlike most readings of the log, from one such change to the opposite one or to an end of the log, is bad (flag 4). Nothing is converted.',
  source: 'own arithmetic; 5 readings on either side are compared for the level, 48 for the steps',
  advice:
    'the program on the device, or the query behind the export, was changed: export the stretch by itself with --temperature-unit',
  learns: true,
  *run(input) {
    yield* changesOf(input, 'air_temperature', FAHRENHEIT, ['°F among °C', '°C among °F']);
    yield* changesOf(input, 'relative_humidity', FRACTION, [
      'fractions among percent',
      'percent among fractions',
    ]);
  },
};

function* changesOf(
  input: AuditInput,
  quantity: Measured,
  rewriting: Rewriting,
  [forward, backward]: readonly [string, string],
): Generator<Found> {
  if (input.cadence === null) return;
  const points = pointsOf(input, quantity);
  for (const stretch of foreignIn(points, input.cadence, rewriting)) {
    for (const rows of partsOf(rowsOfRuns(points, input.log, [stretch]), input.asked)) {
      const values = instantsOf(rows, input.log);
      yield {
        finding: findingOn(input.log, rows, {
          check: 'unit_change',
          severity: 'error',
          quantity,
          message: `${counted(values, 'value')} in ${stretch.isForward ? forward : backward}`,
          confidence: 'likely',
          count: values,
        }),
        marks: [judgement(input.log, quantity, rows, Flag.bad)],
      };
    }
  }
}
