import type { Measured } from '../log/log.js';
import { vapourPressure } from '../psychrometry/vapourPressure.js';
import { type Points, partnerAt, valueAt } from './points.js';

/**
 * Within this the vapour in the air has stayed what it was: 5 % between good readings, and 4 % for values
 * rounded to whole degrees and percent (own arithmetic for 20 °C and 50 %).
 */
const STEADY = 0.09;

/** A temperature and a humidity, in either order. */
export function vapourOf(quantity: Measured, value: number, partner: number): number {
  return quantity === 'air_temperature' ? vapourPressure(value, partner) : vapourPressure(partner, value);
}

/** The vapour pressure at a point; NaN where the other quantity cannot be used. */
export function vapourAt(points: Points, at: number): number {
  return vapourOf(points.quantity, valueAt(points, at), partnerAt(points, at));
}

/**
 * Whether the air, or the case of the sensor, was warmed or cooled and nothing else: the vapour pressure is the same
 * before and after. False where one of the two is not known.
 */
export function isSteady(before: number, after: number): boolean {
  return Math.abs(Math.log(after / before)) <= Math.log1p(STEADY);
}
