import { DAY, HOUR, type Instant } from '../units.js';

/** Degrees, north and east positive. */
export interface Position {
  readonly latitude: number;
  readonly longitude: number;
}

const J2000: Instant = Date.UTC(2000, 0, 1, 12);
const RADIANS = Math.PI / 180;
/**
 * Altitude of the sun's centre at sunrise and sunset [°]: its upper edge, 16 arc minutes above the centre, is
 * seen at a level horizon through air that lifts it by 34 (the almanacs' convention, from memory).
 */
const HORIZON = -50 / 60;

/**
 * Altitude of the sun's centre above a level horizon, without refraction [°].
 *
 * "Computing approximate solar coordinates" of the US Naval Observatory: about 1 arc minute within two
 * centuries of 2000. Worked value: 39.872° for 39.7425° N, 105.1786° W at 2003-10-17T19:30:30Z, as published
 * for the solar position algorithm of the US National Renewable Energy Laboratory.
 *
 * @param position latitude -90 to 90°, longitude -180 to 180°
 */
export function sunAltitude({ latitude, longitude }: Position, at: Instant): number {
  const { rightAscension, declination, meanLongitude } = coordinates(at);
  // Hour angle: mean solar time, plus the equation of time (mean longitude less right ascension).
  const meanTime = 360 * ((at - J2000) / DAY) + longitude;
  const hourAngle = (meanTime + meanLongitude - rightAscension) * RADIANS;
  const phi = latitude * RADIANS;
  const sine =
    Math.sin(phi) * Math.sin(declination) + Math.cos(phi) * Math.cos(declination) * Math.cos(hourAngle);
  return Math.asin(sine) / RADIANS;
}

/**
 * The stretches from sunset to sunrise in a stretch of time, cut at its ends: starts and ends in turn, each
 * a whole millisecond. None where the sun does not set, one over the whole time where it does not rise.
 *
 * Between the sun's highest and its lowest stand each half-day is searched for the one instant at which the
 * sun is at the horizon. Good to about a minute between 65° south and north, where weather moves the true
 * instant by as much; nearer the poles, where the sun only grazes the horizon, to some minutes.
 *
 * @param until after `from`
 */
export function nights(position: Position, from: Instant, until: Instant): Float64Array {
  const bounds: number[] = [];
  if (isNight(position, from)) bounds.push(from);
  let before = from;
  for (let half = Math.floor((2 * (from - J2000)) / DAY) - 1; before < until; half++) {
    const after = Math.min(standstill(position, half), until);
    if (after <= before) continue;
    if (isNight(position, before) !== isNight(position, after)) bounds.push(change(position, before, after));
    before = after;
  }
  if (bounds.length % 2 === 1) bounds.push(until);
  return Float64Array.from(bounds);
}

function isNight(position: Position, at: Instant): boolean {
  return sunAltitude(position, at) < HORIZON;
}

/** When the sun stands highest (`half` even) or lowest, counted in half-days from noon of 2000-01-01. */
function standstill({ longitude }: Position, half: number): Instant {
  const mean = J2000 + half * (DAY / 2) - (longitude / 360) * DAY;
  const { rightAscension, meanLongitude } = coordinates(mean);
  const equationOfTime = ((((meanLongitude - rightAscension) % 360) + 540) % 360) - 180;
  return Math.round(mean - (equationOfTime / 15) * HOUR);
}

/** The first millisecond after `before` that is night if `after` is, day if that is: one change between them. */
function change(position: Position, before: Instant, after: Instant): Instant {
  const becomes = isNight(position, after);
  let [low, high] = [before, after];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (isNight(position, middle) === becomes) high = middle;
    else low = middle;
  }
  return high;
}

interface Coordinates {
  /** [°] */
  readonly rightAscension: number;
  /** [rad] */
  readonly declination: number;
  /** [°], as large as time has made it. */
  readonly meanLongitude: number;
}

function coordinates(at: Instant): Coordinates {
  const days = (at - J2000) / DAY;
  const anomaly = (357.529 + 0.98560028 * days) * RADIANS;
  const meanLongitude = 280.459 + 0.98564736 * days;
  const longitude = (meanLongitude + 1.915 * Math.sin(anomaly) + 0.02 * Math.sin(2 * anomaly)) * RADIANS;
  const obliquity = (23.439 - 0.00000036 * days) * RADIANS;
  return {
    rightAscension: Math.atan2(Math.cos(obliquity) * Math.sin(longitude), Math.cos(longitude)) / RADIANS,
    declination: Math.asin(Math.sin(obliquity) * Math.sin(longitude)),
    meanLongitude,
  };
}
