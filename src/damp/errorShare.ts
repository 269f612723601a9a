import type { Kelvin } from '../units.js';
import type { ModelledSurface } from './surface.js';

/** How the errors of thermometers reach the temperature of a surface. */
export interface ErrorShare {
  /** Part of the air thermometer's error that the surface is off by too, 0 to 1. */
  readonly shared: number;
  /** How far the surface may be off, either way, for reasons of its own [K]. */
  readonly own: Kelvin;
}

/** A surface that is worked out from the air's temperature is off by as much as that. */
export const FOLLOWING: ErrorShare = { shared: 1, own: 0 };

/** The share of a surface, by its model. */
export function errorShareOf(surface: ModelledSurface): ErrorShare {
  switch (surface.model) {
    case 'measured':
      return { shared: 0, own: surface.accuracy };
    case 'between': {
      // Ts = Te + f (Ti − Te): an error outside counts by what is left to the outside.
      const shared = surface.temperatureFactor;
      return { shared, own: (1 - shared) * surface.outsideAccuracy };
    }
    default:
      return FOLLOWING;
  }
}
