import type { Milliseconds } from '../units.js';

/**
 * A thing that is being protected, with a model of its temperature. `air`: as warm as the air at every
 * moment (a thin sheet, a light fabric). `mass`: follows the air with a lag.
 */
export type Surface =
  | { readonly name: string; readonly model: 'air' }
  | {
      readonly name: string;
      readonly model: 'mass';
      /** Time in which 63 % of a difference to the air is made up [ms], above 0. */
      readonly timeConstant: Milliseconds;
    };
