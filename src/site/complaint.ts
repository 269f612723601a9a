import { InputError } from '../errors.js';
import { type KeyPath, pathText } from './keyPath.js';
import { keyPositions } from './keyPosition.js';

/** Makes the error for one key: `what` follows the key path, as in "… must be a number". */
export type Complain = (path: KeyPath, what: string, value?: unknown, advice?: string) => InputError;

export function complaintsAbout(toml: string, file: string): Complain {
  return (path, what, value, advice) => {
    const text = value === undefined ? {} : { text: written(value) };
    return new InputError(
      `${pathText(path)} ${what}`,
      { file, ...keyPositions(toml)(path), ...text },
      advice,
    );
  };
}

/** A value much as it stands in the file; its control characters are left for the message to show. */
function written(value: unknown): string {
  if (typeof value === 'string') return `"${value}"`;
  if (value instanceof Date) return value.toISOString();
  if (Array.isArray(value)) return `[${value.map(written).join(', ')}]`;
  if (typeof value !== 'object' || value === null) return String(value);
  const entries = Object.entries(value).map(([key, inner]) => `${key} = ${written(inner)}`);
  return `{ ${entries.join(', ')} }`;
}
