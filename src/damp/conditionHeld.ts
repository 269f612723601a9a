import { InputError } from '../errors.js';
import type { CleanLog } from '../log/log.js';
import { columnOf } from '../log/pairs.js';
import type { Accuracy } from '../log/sensor.js';
import type { AirModel } from '../psychrometry/airModel.js';
import { quantities, type Trend } from '../psychrometry/quantities.js';
import type { Hectopascal, Kelvin, Milliseconds, Percent } from '../units.js';
import type { Companion } from './companion.js';
import type { Condition, Operand, SurfacePart } from './condition.js';
import {
  type Course,
  knownTime,
  lineCourse,
  minus,
  surfaceCourse,
  timeThatHolds,
} from './conditionCourse.js';
import { depositPoints } from './depositPoint.js';
import { errorShareOf } from './errorShare.js';
import { both, either, type Intervals } from './intervals.js';
import type { ModelledSurface } from './surface.js';
import { surfaceTemperature } from './surfaceTemperature.js';

/** One logger with all that its conditions are worked out from. */
export interface Station {
  /** Cleaned: one reading per instant, NaN where a value is missing or bad. */
  readonly log: CleanLog;
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  readonly accuracy: Accuracy;
  readonly surfaces: readonly StationSurface[];
}

export interface StationSurface {
  readonly surface: ModelledSurface;
  /** The second thermometer that models `measured` and `between` need; without it all is unknown to them. */
  readonly companion: Companion | null;
}

/** What quantities are computed for, the same at all loggers. */
export interface AirSettings {
  readonly pressure: Hectopascal;
  readonly model: AirModel;
}

/** When a condition held. `certain` lies within `expected`, that within `possible`, and that within `known`. */
export interface Held {
  /** When all that the condition names is known. */
  readonly known: Intervals;
  /** Held for every constant error within the sensors' accuracy. */
  readonly certain: Intervals;
  /** Held as measured. */
  readonly expected: Intervals;
  /** Held for some constant error within the sensors' accuracy. */
  readonly possible: Intervals;
}

/**
 * When a condition held at a logger. Between neighbouring good readings no further apart than the bridging
 * limit, quantities of the air, computed at the readings, run along straight lines, and a surface as its model
 * says. Crossings are exact to the millisecond.
 *
 * Errors are constant: a sensor that is off is off by as much all night. The condition is looked at for the
 * errors at which it is hardest and easiest to meet. What is compared within one logger shares that sensor's
 * error, and all four corners of its accuracy are tried; a difference that bends within the accuracy may lie
 * outside all four by a little, which is left out.
 *
 * @param own the logger that the condition is put to; `appliesTo` it
 * @param stationOf every logger that the condition names
 * @throws InputError for two masses of different time constants, whose difference this cannot solve
 */
export function heldTimes(
  condition: Condition,
  own: string,
  stationOf: (logger: string) => Station,
  air: AirSettings,
): Held {
  const evaluated = (operand: Operand) => evaluator(operand, stationOf(operand.logger ?? own), air);
  const left = evaluated(condition.left);
  const right = condition.right === null ? null : evaluated(condition.right);
  refuseTwoMasses(condition, left, right);
  const difference = ([leftErrors, rightErrors]: ErrorPair) =>
    right === null ? left.at(leftErrors) : minus(left.at(leftErrors), right.at(rightErrors));
  const timesOf = (course: Course) => timeThatHolds(course, condition.comparison, condition.offset);

  const measured = difference([NO_ERRORS, NO_ERRORS]);
  const known = knownTime(measured);
  const expected = both(timesOf(measured), known); // stamps may have parts of milliseconds, crossings do not
  let certain = expected;
  let possible = expected;
  for (const errors of errorPairs(left, right)) {
    const held = timesOf(difference(errors));
    certain = both(certain, held);
    possible = either(possible, held);
  }
  // within its accuracy a reading may reach where a quantity is defined, and the reading itself is not
  return { known, certain, expected, possible: both(possible, known) };
}

/** When several conditions held at once: none of them is known to have held where one of them is unknown. */
export function heldTogether(one: Held, other: Held): Held {
  return {
    known: both(one.known, other.known),
    certain: both(one.certain, other.certain),
    expected: both(one.expected, other.expected),
    possible: both(one.possible, other.possible),
  };
}

/** By how much readings, and a surface besides, are off. */
interface Errors {
  readonly temperature: Kelvin;
  readonly humidity: Percent;
  readonly surface: Kelvin;
}
type ErrorPair = readonly [left: Errors, right: Errors];

const NO_ERRORS: Errors = { temperature: 0, humidity: 0, surface: 0 };

/** An operand at one logger. */
interface Evaluator {
  readonly station: Station;
  /** Its course if everything were off by so much. */
  at(errors: Errors): Course;
  /** The errors among which it is least and greatest. */
  readonly extremes: readonly Errors[];
  /** Greatest error of its surface besides that of the air's thermometer [K]. */
  readonly own: Kelvin;
  /** Of its course [ms]. */
  readonly timeConstant: Milliseconds;
}

function evaluator(operand: Operand, station: Station, air: AirSettings): Evaluator {
  return 'quantity' in operand
    ? quantityEvaluator(operand.quantity, station, air)
    : surfaceEvaluator(operand.surface, operand.part, station, air);
}

function quantityEvaluator(name: string, station: Station, { pressure, model }: AirSettings): Evaluator {
  const { log, bridge } = station;
  const course = (values: Float64Array) => lineCourse(log.time, values, bridge);
  if (name === 'air_temperature') {
    return {
      station,
      at: ({ temperature }) => course(log.temperature.map((t) => t + temperature)),
      extremes: endsOf({ temperature: 1, humidity: 0 }, station.accuracy),
      own: 0,
      timeConstant: 0,
    };
  }
  if (name === 'relative_humidity') {
    return {
      station,
      at: ({ humidity }) => course(log.humidity.map((u) => u + humidity)),
      extremes: endsOf({ temperature: 0, humidity: 1 }, station.accuracy),
      own: 0,
      timeConstant: 0,
    };
  }
  const quantity = quantities.find((each) => each.name === name)!;
  return {
    station,
    at(errors) {
      const { temperature, humidity } = offBy(log, errors);
      return course(temperature.map((t, i) => quantity.of(t, humidity[i]!, pressure, model)));
    },
    extremes: endsOf(quantity.trend, station.accuracy),
    own: 0,
    timeConstant: 0,
  };
}

function surfaceEvaluator(
  name: string,
  part: SurfacePart,
  station: Station,
  { model }: AirSettings,
): Evaluator {
  const { log, bridge, accuracy } = station;
  const { surface, companion } = station.surfaces.find((each) => each.surface.name === name)!;
  const temperatures = surfaceTemperature(log, surface, bridge, companion);
  const { timeConstant } = temperatures;
  const { shared, own } = errorShareOf(surface);
  const surfaceAt = (errors: Errors) =>
    surfaceCourse(log.time, temperatures, bridge, shared * errors.temperature + errors.surface);
  if (part === 'temperature') {
    const most = { temperature: accuracy.temperature, humidity: 0, surface: own };
    return { station, at: surfaceAt, extremes: [negative(most), most], own, timeConstant };
  }
  return {
    station,
    at(errors) {
      const exact: Accuracy = { temperature: 0, humidity: 0 };
      const { pairs, expected } = depositPoints(offBy(log, errors), exact, model.formula);
      return minus(surfaceAt(errors), lineCourse(log.time, columnOf(pairs, expected), bridge));
    },
    extremes: marginExtremes(shared, own, accuracy),
    own,
    timeConstant,
  };
}

/** The errors at which a margin is least and greatest; `withErrors` of depositPoint.ts says why. */
function marginExtremes(shared: number, own: Kelvin, { temperature, humidity }: Accuracy): Errors[] {
  const following: Errors = { temperature, humidity: -humidity, surface: own };
  const apart: Errors = { temperature: -temperature, humidity: -humidity, surface: own };
  const greatest = shared === 1 ? [following] : shared === 0 ? [apart] : [following, apart];
  return greatest.flatMap((errors) => [negative(errors), errors]);
}

function endsOf(trend: Trend, accuracy: Accuracy): Errors[] {
  const most: Errors = {
    temperature: trend.temperature * accuracy.temperature,
    humidity: trend.humidity * accuracy.humidity,
    surface: 0,
  };
  return [negative(most), most];
}

function negative({ temperature, humidity, surface }: Errors): Errors {
  return { temperature: -temperature, humidity: -humidity, surface: -surface };
}

/** The errors to try: of two sensors each its own; of one sensor the same for both sides. */
function errorPairs(left: Evaluator, right: Evaluator | null): ErrorPair[] {
  if (right === null) return left.extremes.map((errors) => [errors, NO_ERRORS]);
  if (left.station !== right.station) {
    return left.extremes.flatMap((errors) => right.extremes.map((others): ErrorPair => [errors, others]));
  }
  const { accuracy } = left.station;
  const pairs: ErrorPair[] = [];
  for (const temperature of eitherWay(accuracy.temperature)) {
    for (const humidity of eitherWay(accuracy.humidity)) {
      for (const ofLeft of eitherWay(left.own)) {
        for (const ofRight of eitherWay(right.own)) {
          pairs.push([
            { temperature, humidity, surface: ofLeft },
            { temperature, humidity, surface: ofRight },
          ]);
        }
      }
    }
  }
  return pairs;
}

function eitherWay(error: number): number[] {
  return error === 0 ? [0] : [-error, error];
}

/** The log as it would be, had its sensor been off by so much; humidities that are changed are held to 0..100 %. */
function offBy(log: CleanLog, { temperature, humidity }: Errors): CleanLog {
  return {
    ...log,
    temperature: temperature === 0 ? log.temperature : log.temperature.map((t) => t + temperature),
    humidity:
      humidity === 0 ? log.humidity : log.humidity.map((u) => Math.min(Math.max(u + humidity, 0), 100)),
  };
}

function refuseTwoMasses({ text }: Condition, left: Evaluator, right: Evaluator | null): void {
  if (right === null) return;
  const [one, other] = [left.timeConstant, right.timeConstant];
  if (one === 0 || other === 0 || one === other) return;
  throw new InputError(
    'two surfaces that follow the air at different speeds cannot be compared with each other',
    { text },
    'compare each of them with a number or with the air',
  );
}
