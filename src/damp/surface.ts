import type { Kelvin, Milliseconds } from '../units.js';
import type { Body, Lag } from './material.js';
import type { Position } from './sun.js';

/** A thing that is being protected: its name and a model of its temperature. */
export type ModelledSurface = { readonly name: string } & SurfaceModel;

export type SurfaceModel = Air | Mass | Measured | Between | NightSky;

/** As warm as the air at every moment (a thin sheet, a light fabric). */
interface Air {
  readonly model: 'air';
}

/** Follows the air with a lag. */
interface Mass {
  readonly model: 'mass';
  /** Time in which 63 % of a difference to the air is made up [ms], above 0. */
  readonly timeConstant: Milliseconds;
  /** What the time constant was worked out from; absent where it was stated itself. */
  readonly body?: Body & Omit<Lag, 'timeConstant'>;
}

/** As warm as a second thermometer says, which sits on it. */
interface Measured {
  readonly model: 'measured';
  readonly thermometer: Thermometer;
  /** How far the second thermometer may be off, either way [K]. */
  readonly accuracy: Kelvin;
  /** Where the accuracy comes from. */
  readonly accuracySource: 'site' | 'assumed';
}

/** Another logger, or a further column of temperatures in the logger's own file. */
export type Thermometer = { readonly logger: string } | { readonly column: string };

/** Inside face of a wall or pane: between the air of its own logger and that of another, outside. */
interface Between {
  readonly model: 'between';
  /** The logger outside. */
  readonly outside: string;
  /** (surface − outside) / (inside − outside) of ISO 13788, 0 to 1. */
  readonly temperatureFactor: number;
  /** How far the thermometer outside may be off, either way [K]. */
  readonly outsideAccuracy: Kelvin;
  readonly accuracySource: 'site' | 'assumed';
}

/** Open to the sky: colder than the air from sunset to sunrise, as warm as the air by day. */
interface NightSky {
  readonly model: 'night-sky';
  /** How much colder [K], 0 to 10. An assumption: cloud, wind and shelter are not in the log. */
  readonly drop: Kelvin;
  readonly position: Position;
}

/** A surface with what it is made of, for the models of wood and mould. */
export type Surface = ModelledSurface & SurfaceTraits;

export interface SurfaceTraits {
  /** The timber of the surface, null where it is not to be followed. */
  readonly board: Board | null;
  readonly mould: MouldTraits;
}

/** A board whose moisture is followed. */
export interface Board {
  /** Time in which its moisture makes up 63 % of its distance to equilibrium [ms], above 0. */
  readonly timeConstant: Milliseconds;
  /** An estimate was worked out from thickness and faces, and is good to a factor of 3. */
  readonly timeConstantSource: 'site' | 'estimate';
}

export const MOULD_CLASSES = ['very sensitive', 'sensitive', 'medium resistant', 'resistant'] as const;
export type MouldClass = (typeof MOULD_CLASSES)[number];

export interface MouldTraits {
  readonly class: MouldClass;
  /** Speed at which a growth declines in dry times, relative to pine, 0.1 to 1. */
  readonly decline: number;
}

/**
 * Our choice: planed timber, board and paper count as sensitive, and 0.25 is the decline that the published
 * fits of such materials used.
 */
export const ASSUMED_TRAITS: SurfaceTraits = { board: null, mould: { class: 'sensitive', decline: 0.25 } };
