import { DAY, MINUTE, MONTH_END, MONTH_START } from './october.js';

/** The shortest cadence of the three loggers; the other cadences are multiples of it. */
export const STEP = 5 * MINUTE;

/** Days worked before the month, so that slow walls and timber have forgotten how they were started. */
const LEAD = 6 * DAY;

/** First instant worked. */
export const START = MONTH_START - LEAD;

/** Steps worked, lead and month together. */
export const STEPS = (MONTH_END - START) / STEP;

/**
 * The air of one place, a value per step.
 *
 * @typedef {object} Course
 * @property {Float64Array} temperature °C
 * @property {Float64Array} vapourPressure hPa
 */

/** @typedef {(temperature: number) => number} Saturation °C to hPa, over liquid water */

/** @returns {Course} */
export function emptyCourse(steps = STEPS) {
  return { temperature: new Float64Array(steps), vapourPressure: new Float64Array(steps) };
}

/** @param {number} step @returns {number} ms since 1970 UTC */
export function instantOf(step) {
  return START + step * STEP;
}

/**
 * How much of a difference is made up in one step by what follows with a lag.
 *
 * @param {number} lag time constant [ms]
 */
export function shareOf(lag) {
  return 1 - Math.exp(-STEP / lag);
}

/** Above this share of saturation dew begins to take water out of the air. */
const DEW_BEGINS = 0.9;

/**
 * Vapour pressure that is left in the air beside wet grass, leaves and roofs: the more is offered, the
 * closer the air comes to saturation, and it never passes it. An invented curve with the right ends.
 *
 * @param {number} offered hPa
 * @param {number} saturation hPa
 * @returns {number} hPa
 */
export function afterDew(offered, saturation) {
  const share = offered / saturation;
  if (share <= DEW_BEGINS) return offered;
  const room = 1 - DEW_BEGINS;
  return saturation * (1 - room * Math.exp((DEW_BEGINS - share) / room));
}
