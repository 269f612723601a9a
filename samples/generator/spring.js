import { emptyCourse, STEP } from './course.js';
import { DAY, HOUR, MINUTE } from './october.js';
import { drifting } from './random.js';
import { readings } from './readings.js';
import { airMassAt, dailyWave, moisture } from './weather.js';

/** @import { Saturation } from './course.js' */
/** @import { Reading } from './readings.js' */
/** @import { AirMass } from './weather.js' */

// A week in April by the same lake, before the season: the logger hangs beside the winch on the slipway.

/** All of it lies in summer time. */
const OFFSET = HOUR;
/** 13 April 2026, 00:00 summer time. */
const START = Date.UTC(2026, 3, 12, 23);
const END = START + 7 * DAY;

/** @param {number} day of April @param {number} hour summer time */
const april = (day, hour) => Date.UTC(2026, 3, day, hour) - OFFSET;

/** Invented: three clear cold days from the north, then at dawn the first mild air, damp from the sea. */
/** @type {readonly AirMass[]} */
const AIR_MASSES = [
  { from: START, takes: 1, level: 4.2, swing: 3.4, dewPoint: -1.5, wet: 0 },
  { from: april(16, 5), takes: 2.5, level: 13.2, swing: 1.6, dewPoint: 10.2, wet: 0 },
  { from: april(17, 15), takes: 10, level: 8.5, swing: 2.6, dewPoint: 4.5, wet: 0.1 },
];

const UNREST = { spread: 0.3, memory: 1.5 }; // K, h
const UNEVENNESS = { spread: 0.35, memory: 12 }; // K of dew point, h

const SENSOR = { cadence: 15 * MINUTE, temperatureDecimals: 1, humidityDecimals: 1, seed: 7_019 };

/**
 * The log of the slipway as its database exports it: every cell in quotes, SQL stamps with the offset.
 *
 * @param {Saturation} saturation
 */
export function slipwayText(saturation) {
  const steps = (END - START) / STEP;
  const air = emptyCourse(steps);
  const unrest = drifting(7_001, UNREST.spread, (UNREST.memory * HOUR) / STEP);
  const unevenness = drifting(7_013, UNEVENNESS.spread, (UNEVENNESS.memory * HOUR) / STEP);
  for (let step = 0; step < steps; step++) {
    const instant = START + step * STEP;
    const mass = airMassAt(instant, AIR_MASSES);
    const temperature = mass.level + mass.swing * dailyWave(instant) + unrest();
    air.temperature[step] = temperature;
    air.vapourPressure[step] = moisture(mass, temperature, unevenness(), saturation);
  }
  const rows = readings(air, SENSOR, saturation, { start: START, from: START, until: END });
  return ['"recorded_at","temp_c","rh"', ...rows.map(line)].map((text) => `${text}\n`).join('');
}

/** @param {Reading} reading */
function line({ time, temperature, humidity }) {
  const stamp = new Date(time + OFFSET).toISOString().slice(0, 19).replace('T', ' ');
  return [`${stamp}+01:00`, temperature.toFixed(1), humidity.toFixed(1)].map((cell) => `"${cell}"`).join(',');
}
