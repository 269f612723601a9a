import { START, STEP } from './course.js';
import { MONTH_END, MONTH_START } from './october.js';
import { normal } from './random.js';

/** @import { Course, Saturation } from './course.js' */

/**
 * @typedef {object} Reading
 * @property {number} time ms since 1970 UTC
 * @property {number} temperature °C
 * @property {number} humidity %
 */

/**
 * @typedef {object} Sensor
 * @property {number} cadence ms, a multiple of the course's step
 * @property {number} temperatureDecimals
 * @property {number} humidityDecimals
 * @property {number} seed
 */

/**
 * Instants [ms since 1970 UTC].
 *
 * @typedef {object} Span
 * @property {number} start of the course
 * @property {number} from first reading
 * @property {number} until end of the readings
 */

/** @type {Span} */
const OCTOBER = { start: START, from: MONTH_START, until: MONTH_END };

/** Flicker of a good sensor at rest: enough that no quiet hour reads like a stuck one. */
const TEMPERATURE_FLICKER = 0.04; // K
const HUMIDITY_FLICKER = 0.25; // %

/**
 * What a sensor in this air writes down.
 *
 * @param {Course} course
 * @param {Sensor} sensor
 * @param {Saturation} saturation
 * @param {Span} [span]
 * @returns {Reading[]}
 */
export function readings(course, sensor, saturation, { start, from, until } = OCTOBER) {
  const { cadence, temperatureDecimals, humidityDecimals, seed } = sensor;
  const flicker = normal(seed);
  const taken = [];
  for (let time = from; time < until; time += cadence) {
    const step = (time - start) / STEP;
    const temperature = course.temperature[step];
    const humidity = (100 * course.vapourPressure[step]) / saturation(temperature);
    taken.push({
      time,
      temperature: rounded(temperature + TEMPERATURE_FLICKER * flicker(), temperatureDecimals),
      humidity: rounded(Math.min(100, humidity + HUMIDITY_FLICKER * flicker()), humidityDecimals),
    });
  }
  return taken;
}

/**
 * @param {number} value
 * @param {number} decimals
 */
function rounded(value, decimals) {
  const nearest = Number(value.toFixed(decimals));
  return nearest === 0 ? 0 : nearest; // toFixed gives -0.0 for a small negative number
}
