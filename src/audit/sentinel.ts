import { Flag, isUsable } from '../log/flag.js';
import { flagsOf, type Measured, valuesOf } from '../log/log.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { episodesOf, times } from './episodes.js';
import { nameOf } from './range.js';

/**
 * Numbers that programs and sensors write instead of a value (common practice, no source; 85, -127 and
 * -0.0625 are the start-up register, the missing sensor and the lost ground of one-wire thermometers, by
 * the data sheet as quoted in public driver threads).
 */
const CODES = [
  -9999, -999, -999.9, -127, -99.9, -99, 255, 998, 999, 999.9, 9999, 32767, 3276.7, 65535, 6553.5, 2147483647,
];
/** Codes that may also be true temperatures: they count only where the readings beside them are far off. */
const CODES_WITHIN = [85, -0.0625];
/** So far from both neighbours no air changes from one reading to the next and back [K]. */
const FAR: number = 10;
/** A neighbour further away than so many cadences says nothing. */
const NEAR_CADENCES = 3;

/** Numbers that stand for "no value". */
export const sentinel: Check = {
  name: 'sentinel',
  looksFor: 'numbers that stand for "no value", such as -999, -127, or 85 after a restart',
  method:
    `Exactly one of ${CODES.join(', ')} for either quantity; 0 °C together with 0 %; ` +
    `${CODES_WITHIN.join(' and ')} °C where both neighbours are more than ${FAR} K away or the reading is the first after a gap.`,
  source: 'common practice, no source; 0/0 after the naught check of GHCN-Daily',
  advice:
    'the sensor did not answer: look at plug and wire; 85 after a restart is a conversion that was not waited for',
  *run(input) {
    const { log, toCelsius } = input;
    const both: number[] = [];
    for (let row = 0; row < log.length; row++) {
      if (log.temperature[row] === 0 && log.humidity[row] === 0) both.push(row);
    }
    yield* findings(input, 'air_temperature', both, '0 °C together with 0 %');
    yield* findings(input, 'relative_humidity', both, '0 % together with 0 °C');
    yield* byValue(input, 'air_temperature', CODES.map(toCelsius), CODES_WITHIN.map(toCelsius));
    yield* byValue(input, 'relative_humidity', [...CODES, -1], []);
  },
};

/**
 * @param codes values that stand for "missing" wherever they occur
 * @param codesWithin values that do so where they stand alone
 */
function* byValue(
  input: AuditInput,
  quantity: Measured,
  codes: readonly number[],
  codesWithin: readonly number[],
): Generator<Found> {
  const values = valuesOf(input.log, quantity);
  const flag = flagsOf(input.flags, quantity);
  const known = new Set(codes);
  // between these there is no code: nearly every value is passed over by two comparisons
  const below = Math.max(...codes.filter((code) => code < 0));
  const above = Math.min(...codes.filter((code) => code > 0));
  const rowsByValue = new Map<number, number[]>();
  for (let row = 0; row < values.length; row++) {
    const value = values[row]!;
    const is =
      value > below && value < above ? codesWithin.includes(value) && isLone(input, row) : known.has(value);
    if (!is || !isUsable(flag[row]!)) continue;
    const rows = rowsByValue.get(value);
    if (rows === undefined) rowsByValue.set(value, [row]);
    else rows.push(row);
  }
  for (const [value, rows] of rowsByValue) yield* findings(input, quantity, rows, `${value}`);
}

function* findings(
  { log, cadence }: AuditInput,
  quantity: Measured,
  rows: readonly number[],
  what: string,
): Generator<Found> {
  for (const episode of episodesOf(rows, log.time, cadence)) {
    yield {
      finding: findingOn(log, episode, {
        check: 'sentinel',
        severity: 'warning',
        quantity,
        message: `${nameOf(quantity)} ${what} stands for "no value"${times(episode.length)}`,
      }),
      marks: [{ quantity, rows: episode, flag: Flag.missing }],
    };
  }
}

/** Whether the temperature of a row is far from both of its neighbours, or stands first after a gap. */
function isLone({ log, cadence }: AuditInput, row: number): boolean {
  const value = log.temperature[row]!;
  const near = cadence === null ? Infinity : NEAR_CADENCES * cadence;
  const differs = (step: -1 | 1): boolean | null => {
    let other = row + step;
    while (
      other >= 0 &&
      other < log.length &&
      (Number.isNaN(log.temperature[other]) || log.temperature[other] === value)
    ) {
      other += step;
    }
    if (other < 0 || other >= log.length || Math.abs(log.time[other]! - log.time[row]!) > near) return null;
    return Math.abs(log.temperature[other]! - value) > FAR;
  };
  const before = differs(-1);
  const after = differs(1);
  return before !== false && after !== false && (before === true || after === true);
}
