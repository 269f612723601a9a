import type { Points } from '../../src/audit/points.js';
import { type Pieces, piecesOf } from '../../src/log/pieces.js';

/** Temperatures a minute apart, all of them or some, beside a humidity that stays. */
export function pointsOf(
  values: Float64Array,
  rows: Pieces = piecesOf(values.length === 0 ? [] : [0, values.length]),
): Points {
  return {
    quantity: 'air_temperature',
    count: rows.count,
    rows,
    times: values.map((_, row) => 60_000 * row),
    values,
    partners: new Float64Array(values.length).fill(60),
    partnerFlags: new Uint8Array(values.length).fill(1),
  };
}
