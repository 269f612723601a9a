import { afterDew, emptyCourse, instantOf, START, STEP, STEPS } from './course.js';
import { DAY, HOUR, london, MONTH_END, MONTH_START } from './october.js';
import { drifting } from './random.js';

/** @import { Course, Saturation } from './course.js' */

/**
 * One kind of air over the lake. It arrives with a front and stays until the next.
 *
 * @typedef {object} AirMass
 * @property {number} from when its front begins to pass, ms since 1970 UTC
 * @property {number} takes how long the front takes [h]
 * @property {number} level how much warmer than the season [K]
 * @property {number} swing half the difference of day and night [K]; large under a clear sky
 * @property {number} dewPoint of the air as it arrives [°C]
 * @property {number} wet 0 dry, 1 raining all day
 */

/** Invented. Mean and range are those of a mild October by a lake in the north of England (from memory). */
/** @type {readonly AirMass[]} */
const AIR_MASSES = [
  { from: START, takes: 1, level: 0.5, swing: 3, dewPoint: 9.5, wet: 0.2 },
  { from: london(3, 14), takes: 8, level: 0.5, swing: 1.2, dewPoint: 10.5, wet: 0.9 },
  { from: london(5, 18), takes: 10, level: -1.5, swing: 4.6, dewPoint: 6, wet: 0 },
  { from: london(9, 20), takes: 9, level: 1.5, swing: 2.2, dewPoint: 10, wet: 0.3 },
  { from: london(12, 6), takes: 7, level: 0, swing: 1.4, dewPoint: 9, wet: 0.8 },
  // The first cold spell: air from the north under a clear sky.
  { from: london(13, 9), takes: 12, level: -4.6, swing: 5.4, dewPoint: 1.5, wet: 0 },
  { from: london(16, 12), takes: 10, level: 0.5, swing: 1.2, dewPoint: 9, wet: 1 },
  { from: london(19, 0), takes: 8, level: -1, swing: 3, dewPoint: 5.5, wet: 0.1 },
  { from: london(21, 15), takes: 6, level: 0, swing: 1.5, dewPoint: 7.5, wet: 0.7 },
  // The second, with two nights of frost, and after it warm, very damp air within three hours of a morning.
  { from: london(23, 6), takes: 12, level: -4.2, swing: 4.8, dewPoint: 0.5, wet: 0 },
  { from: london(25, 13), takes: 10, level: -5.3, swing: 5.2, dewPoint: -0.5, wet: 0 },
  { from: london(27, 4), takes: 3, level: 3.6, swing: 1.3, dewPoint: 11.6, wet: 0.5 },
  { from: london(29, 10), takes: 9, level: 0.5, swing: 2.4, dewPoint: 7, wet: 0.1 },
  { from: london(30, 20), takes: 8, level: 1, swing: 1.4, dewPoint: 8.5, wet: 0.8 },
];

const SEASON_FIRST = 12; // °C on 1 October
const SEASON_LAST = 8.5; // °C on 31 October

/** Coldest just before sunrise and warmest early in the afternoon: the rise is half as long as the fall. */
const COLDEST = 6; // h UTC
const WARMEST = 14; // h UTC

/** Under 1, so that the air cools fast at dusk and slowly towards the morning. */
const DUSK_BEND = 0.75;

/** Clouds, gusts: fluctuations of the air that no wave explains. */
const UNREST = { spread: 0.35, memory: 1.5 }; // K, h
/** No two days of one air mass are alike. */
const MOOD = { spread: 0.8, memory: 20 }; // K, h
/** Nor is the water in it even. */
const UNEVENNESS = { spread: 0.8, memory: 12 }; // K of dew point, h

/** Rain brings the air towards this share of saturation. */
const RAIN_SATURATION = 0.95;

const SUNRISE = 6.4; // h UTC, middle of the month
const SUNSET = 17.1; // h UTC
/** Swing under a clear sky [K]: measures how much of the sun comes through. */
const CLEAR_SWING = 5;

/**
 * The weather at the boat hall's north wall.
 *
 * @typedef {object} Weather
 * @property {Course} air
 * @property {Float64Array} sun share of the noon sun that comes through, 0 to 1, a value per step
 */

/**
 * @param {Saturation} saturation
 * @returns {Weather}
 */
export function weather(saturation) {
  const air = emptyCourse();
  const sun = new Float64Array(STEPS);
  const unrest = drifting(1_031, UNREST.spread, (UNREST.memory * HOUR) / STEP);
  const mood = drifting(5_003, MOOD.spread, (MOOD.memory * HOUR) / STEP);
  const unevenness = drifting(2_063, UNEVENNESS.spread, (UNEVENNESS.memory * HOUR) / STEP);
  for (let step = 0; step < STEPS; step++) {
    const instant = instantOf(step);
    const mass = airMassAt(instant, AIR_MASSES);
    const calm = season(instant) + mass.level + mass.swing * dailyWave(instant);
    const temperature = calm + mood() + unrest();
    air.temperature[step] = temperature;
    air.vapourPressure[step] = moisture(mass, temperature, unevenness(), saturation);
    sun[step] = sunHeight(instant) * Math.min(1, mass.swing / CLEAR_SWING);
  }
  return { air, sun };
}

/**
 * The air at an instant, mixed where a front is passing.
 *
 * @param {number} instant
 * @param {readonly AirMass[]} masses in order of time
 * @returns {AirMass}
 */
export function airMassAt(instant, masses) {
  let mass = masses[0];
  for (const next of masses) {
    if (instant < next.from) break;
    mass = mixed(mass, next, smooth((instant - next.from) / (next.takes * HOUR)));
  }
  return mass;
}

/**
 * @param {AirMass} old
 * @param {AirMass} next
 * @param {number} share of the next, 0 to 1
 * @returns {AirMass}
 */
function mixed(old, next, share) {
  const mix = (/** @type {number} */ a, /** @type {number} */ b) => a + (b - a) * share;
  return {
    from: next.from,
    takes: next.takes,
    level: mix(old.level, next.level),
    swing: mix(old.swing, next.swing),
    dewPoint: mix(old.dewPoint, next.dewPoint),
    wet: mix(old.wet, next.wet),
  };
}

/** From 0 to 1 without a kink at either end. @param {number} share */
function smooth(share) {
  const x = Math.min(1, share);
  return x * x * (3 - 2 * x);
}

/** @param {number} instant */
function season(instant) {
  const share = (instant - MONTH_START) / (MONTH_END - MONTH_START);
  return SEASON_FIRST + (SEASON_LAST - SEASON_FIRST) * share;
}

/** From -1 at the coldest to 1 at the warmest hour. @param {number} instant */
export function dailyWave(instant) {
  const sinceColdest = (hourOfDay(instant) - COLDEST + 24) % 24;
  const rise = WARMEST - COLDEST;
  if (sinceColdest < rise) return -Math.cos((Math.PI * sinceColdest) / rise);
  const fallen = (sinceColdest - rise) / (24 - rise);
  return Math.cos(Math.PI * fallen ** DUSK_BEND);
}

/** @param {number} instant */
function sunHeight(instant) {
  const share = (hourOfDay(instant) - SUNRISE) / (SUNSET - SUNRISE);
  return share <= 0 || share >= 1 ? 0 : Math.sin(Math.PI * share);
}

/** The sun knows no summer time: hours of UTC. @param {number} instant */
function hourOfDay(instant) {
  return (instant % DAY) / HOUR;
}

/**
 * Vapour pressure of the air that a mass has brought, after rain and dew.
 *
 * @param {AirMass} mass
 * @param {number} temperature °C
 * @param {number} unevenness K
 * @param {Saturation} saturation
 * @returns {number} hPa
 */
export function moisture(mass, temperature, unevenness, saturation) {
  const full = saturation(temperature);
  const brought = saturation(mass.dewPoint + unevenness);
  const rain = mass.wet * Math.max(0, RAIN_SATURATION * full - brought);
  return afterDew(brought + rain, full);
}
