/**
 * Rows of a long column that are looked at in one call. A loop over all rows is entered once, before anything is
 * known of what it meets: its machine code then boxes every number that it keeps, and is thrown away at its end.
 * Called block by block it is compiled as any function is, and it keeps in the processor's cache what it reads.
 */
export const BLOCK = 4096;

/**
 * Calls `look` for the rows [from, until) of each block, in order. It should hand them on to a function that stands
 * by itself: code in a closure is compiled anew for each one that is made.
 */
export function inBlocks(length: number, look: (from: number, until: number) => void): void {
  for (let from = 0; from < length; from += BLOCK) look(from, Math.min(from + BLOCK, length));
}
