import type { Celsius, Kelvin, Percent } from '../units.js';
import type { Condition, SurfacePart } from './condition.js';

// Several texts of the coating trade give these and attach them to ISO 8502-4 and ISO 12944-7; ISO 8502-4 itself
// speaks of the probability of condensation. The product sheet wins.
const PAINTING_MARGIN: Kelvin = 3;
const PAINTING_DAMPEST: Percent = 85;
const PAINTING_COLDEST: Celsius = 5;
const PAINTING_HOTTEST: Celsius = 40;

/** By how much the air outside must be drier for airing to be worth it [g/m³] (our choice). */
const AIRING_GAIN = 1;

/** When these surfaces may be painted. */
export function paintingConditions(surfaces: readonly string[]): Condition[] {
  return [
    ofTheAir('relative_humidity', '<=', PAINTING_DAMPEST),
    ofTheAir('air_temperature', '>=', PAINTING_COLDEST),
    ofTheAir('air_temperature', '<=', PAINTING_HOTTEST),
    ...surfaces.flatMap((surface) => [
      ofASurface(surface, 'margin', '>=', PAINTING_MARGIN),
      ofASurface(surface, 'temperature', '>=', PAINTING_COLDEST),
      ofASurface(surface, 'temperature', '<=', PAINTING_HOTTEST),
    ]),
  ];
}

/** When air from outside dries the room of the logger that is looked at. */
export function airingConditions(outdoor: string): Condition[] {
  const quantity = 'absolute_humidity';
  return [
    {
      text: `${outdoor}/${quantity}<=${quantity}-${AIRING_GAIN}`,
      left: { logger: outdoor, quantity },
      comparison: '<=',
      right: { logger: null, quantity },
      offset: -AIRING_GAIN,
    },
  ];
}

export const FROST_FREE: readonly Condition[] = [ofTheAir('air_temperature', '>', 0)];

function ofTheAir(quantity: string, comparison: Condition['comparison'], offset: number): Condition {
  const text = `${quantity}${comparison}${offset}`;
  return { text, left: { logger: null, quantity }, comparison, right: null, offset };
}

function ofASurface(
  surface: string,
  part: SurfacePart,
  comparison: Condition['comparison'],
  offset: number,
): Condition {
  const text = `${surface}.${part}${comparison}${offset}`;
  return { text, left: { logger: null, surface, part }, comparison, right: null, offset };
}
