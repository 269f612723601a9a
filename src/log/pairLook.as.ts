// AssemblyScript, compiled by `.wasm.js` to what `pairLook.ts` runs.
// biome-ignore-all lint/suspicious/noGlobalIsNan: it is there for numbers only

import { BLOCK } from './blocks';
import { Found, Most, Place } from './pairTerms';

/** By row of a block. */
export const temperature = memory.data(8 * BLOCK, 16);
export const humidity = memory.data(8 * BLOCK, 16);
/** The same, and of the row behind it: a `Found`, or the number of a pair. */
export const numbers = memory.data(4 * (BLOCK + 1), 16);
export const time = memory.data(8 * (BLOCK + 1), 16);
/** The first and the last place that was met. */
export const bounds = memory.data(8, 16);
/** By table what was summed. */
export const sums = memory.data(8 * Most.tables, 16);
/** By place whether it was met, or by number the values of all tables; either needs more memory. */
export const table = __heap_base;

/**
 * Finds the places of pairs, and marks them.
 *
 * @returns how many pairs stand alone
 */
export function findPlaces(count: i32): i32 {
  let lowest = load<i32>(bounds);
  let highest = load<i32>(bounds, 4);
  let alone = 0;
  for (let i = 0; i < count; i++) {
    const t = load<f64>(temperature + (i << 3));
    const u = load<f64>(humidity + (i << 3));
    const tenthsOfT = nearest(t * Place.stepsPerUnit);
    const tenthsOfU = nearest(u * Place.stepsPerUnit);
    if (
      tenthsOfT / Place.stepsPerUnit === t &&
      tenthsOfU / Place.stepsPerUnit === u &&
      t >= Place.coldest &&
      t <= Place.hottest &&
      u >= 0 &&
      u <= Place.dampest
    ) {
      const place = (<i32>tenthsOfT - Place.stepsPerUnit * Place.coldest) * Place.row + <i32>tenthsOfU;
      store<u32>(table + (place << 2), 1);
      store<u32>(numbers + (i << 2), place + 1);
      lowest = min(lowest, place);
      highest = max(highest, place);
    } else if (isNaN(t + u)) store<u32>(numbers + (i << 2), Found.nothing);
    else {
      store<u32>(numbers + (i << 2), <u32>Found.alone);
      alone++;
    }
  }
  store<i32>(bounds, lowest);
  store<i32>(bounds, highest, 4);
  return alone;
}

/**
 * Sums the areas under the straight lines from row to row, of up to `Most.tables` tables at once: what is read beyond the
 * last of them is summed, too, and nobody asks for it.
 *
 * @param count of steps
 * @param length of an entry, in bytes
 * @param skipped bytes of it, where the first of the tables stands
 */
export function sumAreas(count: i32, length: i32, skipped: i32): void {
  let one = f64x2.splat(0);
  let two = one;
  let three = one;
  let four = one;
  let at = table + <usize>(load<u32>(numbers) * length + skipped);
  for (let i = 0; i < count; i++) {
    const before = at;
    at = table + <usize>(load<u32>(numbers + (i << 2), 4) * length + skipped);
    const span = f64x2.splat(load<f64>(time + (i << 3), 8) - load<f64>(time + (i << 3)));
    one = f64x2.add(one, f64x2.mul(f64x2.add(v128.load(before), v128.load(at)), span));
    two = f64x2.add(two, f64x2.mul(f64x2.add(v128.load(before, 16), v128.load(at, 16)), span));
    three = f64x2.add(three, f64x2.mul(f64x2.add(v128.load(before, 32), v128.load(at, 32)), span));
    four = f64x2.add(four, f64x2.mul(f64x2.add(v128.load(before, 48), v128.load(at, 48)), span));
  }
  const half = f64x2.splat(0.5);
  v128.store(sums, f64x2.mul(one, half));
  v128.store(sums, f64x2.mul(two, half), 16);
  v128.store(sums, f64x2.mul(three, half), 32);
  v128.store(sums, f64x2.mul(four, half), 48);
}
