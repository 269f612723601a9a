import type { Span, TimeAxis } from '../../report/document.js';
import { SLIVERS } from './frame.js';

/** A stretch on the axis, in parts of its width. */
export interface Sliver {
  readonly from: number;
  readonly width: number;
}

/**
 * Stretches of time as a picture can show them: cut to the axis, rounded outwards to whole slivers so
 * that the shortest is still there, joined where they touch. Never more than half as many as slivers.
 *
 * @param spans in any order, overlapping or not; empty ones count for nothing
 * @returns ascending, with at least a sliver between them
 */
export function slivers(spans: readonly Span[], { from, until }: Pick<TimeAxis, 'from' | 'until'>): Sliver[] {
  const scale = SLIVERS / (until - from);
  const filled = new Uint8Array(SLIVERS + 1);
  for (const span of spans) {
    const start = Math.max(span.from, from);
    const end = Math.min(span.until, until);
    if (start < end) filled.fill(1, Math.floor((start - from) * scale), Math.ceil((end - from) * scale));
  }
  filled[SLIVERS] = 0;
  const found: Sliver[] = [];
  for (let at = filled.indexOf(1); at >= 0; ) {
    const end = filled.indexOf(0, at);
    found.push({ from: at, width: end - at });
    at = filled.indexOf(1, end);
  }
  return found;
}
