import type { Milliseconds } from '../units.js';
import { hasHabits } from './blips.js';
import type { AuditInput, Unevaluated } from './check.js';
import { type Points, pointsOf } from './points.js';
import { QUANTITIES } from './range.js';

/** The quantities of which there are too few readings to tell what is usual. */
export function withoutHabits(
  input: AuditInput,
  has: (points: Points, cadence: Milliseconds) => boolean = hasHabits,
): Unevaluated[] {
  return QUANTITIES.filter((quantity) => {
    const points = pointsOf(input, quantity);
    // of what was never measured there is nothing to be said
    return points.count > 0 && (input.cadence === null || !has(points, input.cadence));
  }).map((quantity) => ({ quantity, reason: 'too few readings' }));
}
