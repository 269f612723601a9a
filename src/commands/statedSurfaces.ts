import { exactDuration } from '../calendar/duration.js';
import { ASSUMED_TRAITS, type Surface } from '../damp/surface.js';
import { InputError } from '../errors.js';

/** Whether a surface is stated, as `NAME=DURATION`, and not only named. */
export function isStated(text: string): boolean {
  return text.includes('=');
}

/** The surfaces of `--surface NAME=DURATION`: masses by their time constants; one of no time is as warm as the air. */
export function statedSurfaces(texts: readonly string[]): Surface[] {
  const surfaces = texts.map(parseSurface);
  const names = surfaces.map(({ name }) => name);
  const twice = names.find((name, i) => names.indexOf(name) < i);
  if (twice === undefined) return surfaces;
  throw new InputError('two surfaces have the same name', { text: twice }, 'name each of them differently');
}

function parseSurface(text: string): Surface {
  const at = text.lastIndexOf('=');
  const name = text.slice(0, at).trim();
  if (at < 0 || name === '') {
    throw new InputError('a surface is a name and a time constant', { text }, 'such as --surface winch=PT3H');
  }
  const timeConstant = exactDuration(text.slice(at + 1));
  if (timeConstant === 0) return { name, model: 'air', ...ASSUMED_TRAITS };
  return { name, model: 'mass', timeConstant, ...ASSUMED_TRAITS };
}
