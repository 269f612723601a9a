import type { Complain } from './complaint.js';
import { type KeyPath, pathText } from './keyPath.js';

/** Throws an InputError about the first name that stands in the list before. */
export function refuseRepeats(
  names: readonly string[],
  pathOf: (place: number) => KeyPath,
  complain: Complain,
): void {
  const first = new Map<string, number>();
  for (const [place, name] of names.entries()) {
    const earlier = first.get(name);
    if (earlier !== undefined) {
      throw complain(pathOf(place), `is the same as ${pathText(pathOf(earlier))}`, name);
    }
    first.set(name, place);
  }
}
