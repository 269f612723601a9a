import { HOUR, type Milliseconds } from '../units.js';

interface MaterialData {
  /** [kg/m³] */
  readonly density: number;
  /** [J/(kg K)] */
  readonly heatCapacity: number;
  /** [W/(m K)] */
  readonly conductivity: number;
}

/** Round values of the kind that building and engineering tables give; all from memory. */
const DATA = {
  steel: { density: 7850, heatCapacity: 480, conductivity: 50 },
  'cast iron': { density: 7200, heatCapacity: 460, conductivity: 50 },
  aluminium: { density: 2700, heatCapacity: 900, conductivity: 200 },
  brass: { density: 8500, heatCapacity: 380, conductivity: 110 },
  stone: { density: 2600, heatCapacity: 900, conductivity: 2.5 },
  brick: { density: 1800, heatCapacity: 850, conductivity: 0.8 },
  concrete: { density: 2300, heatCapacity: 900, conductivity: 1.7 },
  glass: { density: 2500, heatCapacity: 800, conductivity: 1 },
  wood: { density: 500, heatCapacity: 1600, conductivity: 0.13 },
} as const satisfies Readonly<Record<string, MaterialData>>;

export type Material = keyof typeof DATA;
export const MATERIALS = Object.keys(DATA) as readonly Material[];

export type Exposure = 'indoors' | 'outdoors';
export const EXPOSURES: readonly Exposure[] = ['indoors', 'outdoors'];

/** Surface resistances of ISO 6946 [m²K/W]: still air indoors beside a wall, and outdoors. */
const FILM_RESISTANCE: Readonly<Record<Exposure, number>> = { indoors: 0.13, outdoors: 0.04 };

/** Above this the inside lags behind the face, and one temperature for the whole is a rough guide (memory). */
const LUMPED_BIOT = 0.1;

/** A plate or block of one material under air. */
export interface Body {
  readonly material: Material;
  /** [mm], above 0. */
  readonly thickness: number;
  /** How many of its two sides the air reaches. */
  readonly faces: 1 | 2;
  readonly exposure: Exposure;
}

export interface Lag {
  /** ρ c (V/A) / h [ms]. */
  readonly timeConstant: Milliseconds;
  /** h (V/A) / k: resistance inside the body over that of the film of air on it. */
  readonly biot: number;
  /** Whether the Biot number is over 0.1, so that the body has no one temperature. */
  readonly indicative: boolean;
}

/**
 * How a body lags behind the air (lumped capacitance). V/A is the thickness over the number of faces; h is
 * 7.69 W/(m²K) indoors and 25 outdoors (ISO 6946). Worked value: steel, 6 mm, both faces, indoors: 0.408 h.
 * Wind, sun and what the body stands on are left out.
 */
export function lagOf({ material, thickness, faces, exposure }: Body): Lag {
  const { density, heatCapacity, conductivity } = DATA[material];
  const depth = thickness / 1000 / faces;
  const resistance = FILM_RESISTANCE[exposure];
  const biot = depth / conductivity / resistance;
  return {
    timeConstant: density * heatCapacity * depth * resistance * (HOUR / 3600),
    biot,
    indicative: biot > LUMPED_BIOT,
  };
}
