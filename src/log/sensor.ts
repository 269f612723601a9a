import type { Kelvin, Percent } from '../units.js';

/** How far a sensor's readings may be off, either way, 0 or more. */
export interface Accuracy {
  readonly temperature: Kelvin;
  readonly humidity: Percent;
}

/** From the least to the greatest value, both counted in. */
export type Range = readonly [least: number, greatest: number];
