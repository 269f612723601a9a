import { afterDew, emptyCourse, instantOf, STEPS, shareOf } from './course.js';
import { HOUR, london } from './october.js';

/** @import { Course, Saturation } from './course.js' */
/** @import { Weather } from './weather.js' */

/** Slates and boards follow the air outside slowly; air comes in under the eaves. Invented. */
const LOFT = {
  lag: 2.5 * HOUR,
  sunGain: 4, // K under the full noon sun
  airChange: 3 * HOUR,
  timberChange: 2.5 * HOUR,
};
/** Rafters take days to come to terms with the air around them. */
const TIMBER_MEMORY = 120 * HOUR;
const TIMBER_AT_FIRST = 0.78; // share of saturation that the timber is in balance with

/**
 * The unheated roof space: the weather with a lag, warmed by sun on the roof, its moisture held by timber.
 *
 * @param {Weather} weather
 * @param {Saturation} saturation
 * @returns {Course}
 */
export function loft({ air, sun }, saturation) {
  const course = emptyCourse();
  let temperature = air.temperature[0];
  let vapour = air.vapourPressure[0];
  let timber = TIMBER_AT_FIRST;
  for (let step = 0; step < STEPS; step++) {
    temperature += (air.temperature[step] + LOFT.sunGain * sun[step] - temperature) * shareOf(LOFT.lag);
    const full = saturation(temperature);
    vapour += (air.vapourPressure[step] - vapour) * shareOf(LOFT.airChange);
    vapour += (timber * full - vapour) * shareOf(LOFT.timberChange);
    timber += (vapour / full - timber) * shareOf(TIMBER_MEMORY);
    course.temperature[step] = temperature;
    course.vapourPressure[step] = afterDew(vapour, full);
  }
  return course;
}

/** Thin sheet metal with a door and two rows of slots. */
const LOCKER = { lag: 2 * HOUR, airChange: 1.5 * HOUR };
/** What the chargers add in the end, plugged in only and at work [K], and how fast it comes and goes. */
const CHARGERS = { idle: 1.4, busy: 8, lag: 0.7 * HOUR };

/** Evenings on which the launch's batteries are charged: day, hours from and until. */
const CHARGED = [
  [2, 18, 22],
  [5, 17, 21],
  [9, 18, 23],
  [12, 17, 21],
  [16, 18, 22],
  [19, 17, 22],
  [23, 18, 22],
  [26, 16, 20],
  [30, 18, 22],
];

/**
 * The metal cabinet: the weather with a short lag, and heat on the evenings when batteries are charged.
 *
 * @param {Weather} weather
 * @param {Saturation} saturation
 * @returns {Course}
 */
export function locker({ air }, saturation) {
  const course = emptyCourse();
  let walls = air.temperature[0];
  let vapour = air.vapourPressure[0];
  let heat = 0;
  for (let step = 0; step < STEPS; step++) {
    walls += (air.temperature[step] - walls) * shareOf(LOCKER.lag);
    heat += ((charging(instantOf(step)) ? CHARGERS.busy : CHARGERS.idle) - heat) * shareOf(CHARGERS.lag);
    vapour += (air.vapourPressure[step] - vapour) * shareOf(LOCKER.airChange);
    course.temperature[step] = walls + heat;
    course.vapourPressure[step] = afterDew(vapour, saturation(walls + heat));
  }
  return course;
}

/** @param {number} instant */
function charging(instant) {
  return CHARGED.some(([day, from, until]) => london(day, from) <= instant && instant < london(day, until));
}
