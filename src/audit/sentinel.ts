import { Flag, isUsable } from '../log/flag.js';
import { type Measured, valuesOf } from '../log/log.js';
import type { Range } from '../log/sensor.js';
import { type AuditInput, type Check, type Found, findingOn } from './check.js';
import { episodesIn, times } from './episodes.js';
import { nameOf, rowsHolding, rowsOutside } from './range.js';

/**
 * Numbers that programs and sensors write instead of a value, in whatever unit (common practice, no source;
 * 85, -127 and -0.0625 are the start-up register, the missing sensor and the lost ground of one-wire
 * thermometers, by the data sheet as quoted in public driver threads).
 */
const CODES = [
  -9999, -999, -999.9, -127, -99.9, -99, 255, 998, 999, 999.9, 9999, 32767, 3276.7, 65535, 6553.5, 2147483647,
];
/** The missing sensor is a temperature in °C to the driver, and may have been converted with all others [°C]. */
const NO_SENSOR = -127;
/** Codes that may also be true temperatures: they count only where the readings beside them are far off [°C]. */
const CODES_WITHIN = [85, -0.0625];
/** A code that the unit of the log makes an everyday temperature is none: 255 K is -18 °C [°C]. */
const EVERYDAY: Range = [-60, 60];
/** Humidity alone: what a driver answers when it has failed. */
const HUMIDITY_CODE = -1;
/** So far from both neighbours no air changes from one reading to the next and back [K]. */
const FAR: number = 10;
/** A neighbour further away than so many cadences says nothing. */
const NEAR_CADENCES = 3;
/** What stands on one side of a value: nothing that tells, values like it, or only values far off. */
const Side = { none: 0, near: 1, far: 2 } as const;

/** Numbers that stand for "no value". */
export const sentinel: Check = {
  name: 'sentinel',
  looksFor: 'numbers that stand for "no value", such as -999, -127, or 85 after a restart',
  method:
    `Exactly one of ${CODES.join(', ')} for either quantity, in the unit of the log; ${HUMIDITY_CODE} % humidity; ` +
    `a temperature of 0 together with 0 %; ${CODES_WITHIN.join(' and ')} °C where the readings to either side of it are ` +
    `more than ${FAR} K away, or those to one side where within ${NEAR_CADENCES} cadences of the other there is none.`,
  source: 'common practice, no source; 0/0 after the naught check of GHCN-Daily',
  advice:
    'the sensor did not answer: look at plug and wire; 85 after a restart is a conversion that was not waited for',
  learns: true,
  *run(input) {
    const { log, toCelsius } = input;
    const naught = toCelsius(0);
    const both = rowsHolding(log, 'relative_humidity', 0).filter((row) => {
      const temperature = log.temperature[row]!;
      return temperature === 0 || temperature === naught;
    });
    yield* findings(input, 'air_temperature', both, '0 together with a humidity of 0');
    yield* findings(input, 'relative_humidity', both, '0 together with a temperature of 0');
    const codes = temperatureCodes(toCelsius);
    yield* byValue(input, 'air_temperature', codes);
    yield* loneValues(input, codes);
    yield* byValue(
      input,
      'relative_humidity',
      new Map([...CODES, HUMIDITY_CODE].map((code) => [code, code])),
    );
  },
};

/** The codes as they stand in a log of °C, each with what was written for it. */
function temperatureCodes(toCelsius: AuditInput['toCelsius']): Map<number, number> {
  const [least, greatest] = EVERYDAY;
  const codes = CODES.map((code) => [toCelsius(code), code] as const);
  return new Map([
    [NO_SENSOR, NO_SENSOR],
    ...codes.filter(([celsius]) => celsius < least || celsius > greatest),
  ]);
}

/** The codes next to 0: between them there is none, and nearly all values lie there. */
function besideNaught(codes: ReadonlyMap<number, number>): Range {
  const below = Math.max(...[...codes.keys()].filter((code) => code < 0));
  const above = Math.min(...[...codes.keys()].filter((code) => code > 0));
  return [below, above];
}

/** @param codes values that stand for "missing" wherever they occur, and how they were written */
function* byValue(
  input: AuditInput,
  quantity: Measured,
  codes: ReadonlyMap<number, number>,
): Generator<Found> {
  const values = valuesOf(input.log, quantity);
  const [below, above] = besideNaught(codes);
  const rowsByValue = new Map<number, number[]>();
  for (const row of rowsOutside(input, quantity, [below / 2, above / 2])) {
    const value = values[row]!;
    if (!codes.has(value)) continue;
    const rows = rowsByValue.get(value);
    if (rows === undefined) rowsByValue.set(value, [row]);
    else rows.push(row);
  }
  for (const [value, rows] of rowsByValue) yield* findings(input, quantity, rows, `${codes.get(value)}`);
}

/** @param codes what says nothing about the values beside it */
function* loneValues(input: AuditInput, codes: ReadonlyMap<number, number>): Generator<Found> {
  const { log, flags } = input;
  const carried = log.inputFlags?.temperature;
  // what an earlier run has let pass it saw among readings that cleaning may have taken out since
  const isOpen = (row: number) => (carried?.[row] ?? 0) === 0 && isUsable(flags.temperature[row]!);
  for (const code of CODES_WITHIN) {
    const rows = rowsHolding(log, 'air_temperature', code);
    if (rows.length === 0) continue;
    const before = sidesOf(input, code, codes, rows, -1);
    const after = sidesOf(input, code, codes, rows.toReversed(), 1).reverse();
    const lone = rows.filter(
      (row, i) =>
        isOpen(row) &&
        before[i]! + after[i]! > Side.none &&
        before[i] !== Side.near &&
        after[i] !== Side.near,
    );
    yield* findings(input, 'air_temperature', lone, `${code}`);
  }
}

function* findings(
  input: AuditInput,
  quantity: Measured,
  rows: readonly number[],
  what: string,
): Generator<Found> {
  for (const episode of episodesIn(input, rows)) {
    yield {
      finding: findingOn(input.log, episode, {
        check: 'sentinel',
        severity: 'warning',
        quantity,
        message: `${nameOf(quantity)} ${what} stands for "no value"${times(episode.length)}`,
      }),
      marks: [{ quantity, rows: episode, flag: Flag.missing }],
    };
  }
}

/**
 * How far off the readings on one side of each of these rows are.
 *
 * Readings of the same instant, readings without a temperature and readings that are `code` too are passed
 * over, so that all of a stretch of them are judged alike, whatever the order of the lines of an instant.
 *
 * @param rows with the temperature `code`, those that lie furthest to that side first
 * @param step -1 for the side before, 1 for the side after
 */
function sidesOf(
  { log, flags, cadence }: AuditInput,
  code: number,
  codes: ReadonlyMap<number, number>,
  rows: readonly number[],
  step: 1 | -1,
): Uint8Array {
  const { time, temperature } = log;
  const reach = cadence === null ? Infinity : NEAR_CADENCES * cadence;
  const sides = new Uint8Array(rows.length);
  let met = NaN; // the last instant with the code, and what stands to the side of it
  let here: number = Side.none;
  for (const [i, row] of rows.entries()) {
    const instant = time[row]!;
    if (instant !== met) {
      let next = row;
      let side: number | null = null;
      while (time[next] === instant) next += step;
      while (side === null && Math.abs(time[next]! - instant) <= reach) {
        const there = time[next]!;
        let off = Infinity;
        for (; time[next] === there; next += step) {
          const value = temperature[next]!;
          if (
            value !== code &&
            !Number.isNaN(value) &&
            !codes.has(value) &&
            isUsable(flags.temperature[next]!)
          )
            off = Math.min(off, Math.abs(value - code));
        }
        if (off < Infinity) side = off > FAR ? Side.far : Side.near;
        else if (there === met) side = here;
      }
      here = side ?? Side.none;
      met = instant;
    }
    sides[i] = here;
  }
  return sides;
}
