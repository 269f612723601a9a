import { exactDuration } from '../calendar/duration.js';
import { type Zone, zoneNamed } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import type { Milliseconds } from '../units.js';
import type { Complain } from './complaint.js';
import type { KeyPath } from './keyPath.js';

export function zoneFrom(name: string | undefined, path: KeyPath, complain: Complain): Zone | null {
  return name === undefined ? null : reworded(() => zoneNamed(name), name, path, complain);
}

export function durationFrom(
  text: string | undefined,
  path: KeyPath,
  complain: Complain,
): Milliseconds | null {
  if (text === undefined) return null;
  const duration = reworded(() => exactDuration(text), text, path, complain);
  if (!(duration > 0)) throw complain(path, 'must be longer than nothing', text);
  return duration;
}

/** What `read` gives; its error gets the place in the site file. */
function reworded<Value>(read: () => Value, text: string, path: KeyPath, complain: Complain): Value {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    throw complain(path, `is wrong: ${error.message}`, text, error.advice);
  }
}
