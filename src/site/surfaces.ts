import { nearest } from '../calendar/nearest.js';
import { boardTimeConstant } from '../damp/board.js';
import { lagOf } from '../damp/material.js';
import type { Position } from '../damp/sun.js';
import { ASSUMED_TRAITS, type Board, type Surface, type SurfaceModel } from '../damp/surface.js';
import type { Kelvin } from '../units.js';
import type { Complain } from './complaint.js';
import { durationFrom } from './fromText.js';
import type { KeyPath } from './keyPath.js';
import { refuseRepeats } from './repeats.js';
import { MODEL_KEYS, type ModelName, type StatedLogger, type StatedSurface } from './schema.js';
import { ASSUMED_ACCURACY, ASSUMED_SURFACES } from './site.js';

/** What the surfaces of a logger may refer to. */
export interface Surroundings {
  readonly position: Position | null;
  readonly loggers: readonly StatedLogger[];
}

/** The surfaces beside a logger. Throws an InputError about the first that its model cannot be made of. */
export function surfacesFrom(
  logger: StatedLogger,
  path: KeyPath,
  surroundings: Surroundings,
  complain: Complain,
): readonly Surface[] {
  const stated = logger.surface ?? [];
  if (stated.length === 0) return ASSUMED_SURFACES;
  const pathOf = (place: number): KeyPath => [...path, 'surface', place];
  refuseRepeats(
    stated.map(({ name }) => name),
    (place) => [...pathOf(place), 'name'],
    complain,
  );
  return stated.map((surface, place) => {
    const about = statementsOf(surface, pathOf(place), complain);
    about.refuseOtherModels();
    return {
      name: surface.name,
      ...modelFrom(surface, logger.id, surroundings, about),
      board: boardFrom(surface, about),
      mould: {
        class: surface.mould_class ?? ASSUMED_TRAITS.mould.class,
        decline: surface.mould_decline ?? ASSUMED_TRAITS.mould.decline,
      },
    };
  });
}

type Key = keyof StatedSurface;

/** Asks and complains about the keys of one surface. */
interface Statements {
  readonly path: KeyPath;
  readonly complain: Complain;
  /** The error about a key that is there. */
  wrong(key: Key, what: string, advice: string): Error;
  /** The error about a key that is not; `line` shows how it is written, `why` what it is for. */
  missing(key: Key, line: string, why: string): Error;
  /** The value of a key that has to be there. */
  need<K extends Key>(key: K, line: string, why: string): NonNullable<StatedSurface[K]>;
  refuseBoth(kept: Key, other: Key): void;
  refuseOtherModels(): void;
}

function statementsOf(stated: StatedSurface, path: KeyPath, complain: Complain): Statements {
  const wrong = (key: Key, what: string, advice: string) =>
    complain([...path, key], what, stated[key], advice);
  const missing = (key: Key, line: string, why: string) =>
    complain([...path, key], 'is missing', undefined, `${why}, a line such as ${line}`);
  return {
    path,
    complain,
    wrong,
    missing,
    need(key, line, why) {
      const value = stated[key];
      if (value !== undefined) return value as NonNullable<typeof value>;
      throw missing(key, line, why);
    },
    refuseBoth(kept, other) {
      if (stated[kept] === undefined || stated[other] === undefined) return;
      throw wrong(other, `cannot stand beside ${kept}`, 'keep the one that you know better');
    },
    refuseOtherModels() {
      for (const model of Object.keys(MODEL_KEYS) as ModelName[]) {
        if (model === stated.model) continue;
        const key = MODEL_KEYS[model].find((each) => stated[each] !== undefined);
        if (key === undefined) continue;
        throw wrong(key, `has no meaning for model = "${stated.model}"`, `it belongs to model = "${model}"`);
      }
    },
  };
}

function modelFrom(
  stated: StatedSurface,
  own: string,
  { position, loggers }: Surroundings,
  about: Statements,
): SurfaceModel {
  const { model } = stated;
  switch (model) {
    case 'air':
      return { model };
    case 'mass':
      return massFrom(stated, about);
    case 'measured': {
      about.refuseBoth('logger', 'column');
      if (stated.column !== undefined) {
        return {
          model,
          thermometer: { column: stated.column },
          ...accuracyOf(stated.accuracy_K),
        };
      }
      const logger = about.need(
        'logger',
        'logger = "hull", or column = "hull_temp" for a column of its own file',
        'model = "measured" needs the thermometer on the surface',
      );
      const other = otherLogger(logger, 'logger', own, loggers, about);
      return {
        model,
        thermometer: { logger },
        ...accuracyOf(stated.accuracy_K ?? other.sensor?.air_temperature_accuracy_K),
      };
    }
    case 'between': {
      const outside = about.need(
        'outside',
        'outside = "north-wall"',
        'model = "between" needs the logger outside',
      );
      const other = otherLogger(outside, 'outside', own, loggers, about);
      const temperatureFactor = about.need(
        'temperature_factor',
        'temperature_factor = 0.7',
        'model = "between" needs how near the surface is to the air inside, from 0 to 1 (ISO 13788)',
      );
      const { accuracy, accuracySource } = accuracyOf(other.sensor?.air_temperature_accuracy_K);
      return { model, outside, temperatureFactor, outsideAccuracy: accuracy, accuracySource };
    }
    case 'night-sky': {
      const drop = about.need(
        'drop_K',
        'drop_K = 3',
        'model = "night-sky" needs how much colder than the air the surface is at night (your assumption)',
      );
      if (position !== null) return { model, drop, position };
      throw about.wrong(
        'model',
        'needs to know where the site is',
        'add latitude_deg and longitude_deg to the top part, before the first [table]: night is when the sun is down there',
      );
    }
  }
}

function massFrom(stated: StatedSurface, about: Statements): SurfaceModel {
  const model = 'mass';
  about.refuseBoth('time_constant', 'material');
  const timeConstant = durationFrom(stated.time_constant, [...about.path, 'time_constant'], about.complain);
  const { material } = stated;
  if (material === undefined) {
    const measure = MODEL_KEYS.mass.find((key) => key !== 'time_constant' && stated[key] !== undefined);
    if (measure !== undefined) {
      throw about.wrong(measure, 'needs material beside it', 'a line such as material = "steel"');
    }
    if (timeConstant !== null) return { model, timeConstant };
    throw about.missing(
      'time_constant',
      'time_constant = "PT3H", or material, thickness_mm, faces and exposure, of which it is worked out',
      'model = "mass" needs the time in which the surface makes up 63 % of a step of the air',
    );
  }
  const why = `material = "${material}" needs more to work out the time constant`;
  const body = {
    material,
    thickness: about.need('thickness_mm', 'thickness_mm = 6', why),
    faces: about.need('faces', 'faces = 2 (how many of its two sides the air reaches)', why),
    exposure: about.need('exposure', 'exposure = "indoors" or exposure = "outdoors"', why),
  };
  const { timeConstant: workedOut, ...rest } = lagOf(body);
  return { model, timeConstant: workedOut, body: { ...body, ...rest } };
}

function boardFrom(stated: StatedSurface, about: Statements): Board | null {
  about.refuseBoth('board_time_constant', 'wood_thickness_mm');
  const { wood_thickness_mm: thickness } = stated;
  if (thickness !== undefined) {
    const faces = about.need(
      'wood_faces',
      'wood_faces = 2',
      'wood_thickness_mm needs to know how many of its two sides the air reaches',
    );
    return { timeConstant: boardTimeConstant(thickness, faces), timeConstantSource: 'estimate' };
  }
  if (stated.wood_faces !== undefined) {
    throw about.wrong(
      'wood_faces',
      'needs wood_thickness_mm beside it',
      'a line such as wood_thickness_mm = 20',
    );
  }
  const path = [...about.path, 'board_time_constant'];
  const timeConstant = durationFrom(stated.board_time_constant, path, about.complain);
  return timeConstant === null ? null : { timeConstant, timeConstantSource: 'site' };
}

function otherLogger(
  id: string,
  key: 'logger' | 'outside',
  own: string,
  loggers: readonly StatedLogger[],
  about: Statements,
): StatedLogger {
  if (id === own) {
    throw about.wrong(
      key,
      'must be another logger than its own',
      'a surface as warm as the air at its own logger has model = "air"',
    );
  }
  const found = loggers.find((logger) => logger.id === id);
  if (found !== undefined) return found;
  const others = loggers.map((logger) => logger.id).filter((other) => other !== own);
  const meant = nearest(id, others);
  const advice =
    meant.length > 0
      ? `did you mean ${meant.join(' or ')}?`
      : others.length > 0
        ? `the others here: ${others.join(', ')}`
        : 'describe it too, under a line [[logger]]';
  throw about.wrong(key, 'is no logger of this file', advice);
}

function accuracyOf(stated: Kelvin | undefined) {
  return stated === undefined
    ? { accuracy: ASSUMED_ACCURACY.temperature, accuracySource: 'assumed' as const }
    : { accuracy: stated, accuracySource: 'site' as const };
}
