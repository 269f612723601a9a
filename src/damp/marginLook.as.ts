// AssemblyScript, compiled by `.wasm.js` to what `marginLook.ts` runs.
// biome-ignore-all lint/suspicious/noGlobalIsNan: it is there for numbers only

import { BLOCK } from '../log/blocks';
import { Code, Most, Scale, Step } from './marginTerms';

// What makes it fast: a surface is held against all its levels at once, and nothing is branched over that is not nearly
// always alike. What is kept of a pair of values takes 16 bytes: fetching it from memory is most of the time.

/** By row of the block, and of the one behind it. */
export const time = memory.data(8 * (BLOCK + 1), 16);
export const surface = memory.data(8 * (BLOCK + 1), 16);
export const towards = memory.data(8 * (BLOCK + 1), 16);
export const numbers = memory.data(4 * (BLOCK + 1), 16);
/** By row of the block, of the step after it: a `Step`, its code, and the smallest that its margin can be, in steps. */
export const steps = memory.data(BLOCK, 16);
export const codes = memory.data(2 * BLOCK, 16);
export const least = memory.data(4 * BLOCK, 16);
/** By level: in which bytes of an entry its line stands, four each, and how far above that it lies. */
export const picks = memory.data(32, 16);
export const aboves = memory.data(32, 16);
/** By number of a pair of values the lines; the first is that of the deposit points as measured. */
export const entries = __heap_base;

const FURTHEST: f64 = Scale.furthest;

function heightOf(temperature: f64): i32 {
  const held = temperature > FURTHEST ? FURTHEST : temperature < -FURTHEST ? -FURTHEST : temperature;
  return <i32>(held * Scale.perKelvin);
}

function linesOf(row: i32): v128 {
  return v128.load(entries + <usize>load<u32>(numbers + (row << 2)) * (4 * Most.lines));
}

/**
 * Says how the steps of a block lie to the levels.
 *
 * A course whose second derivative is nowhere beyond b/τ² strays by (b/τ²) t²/8 at most from its chord; here
 * b = Ts − T + (ΔT/t) τ.
 *
 * @param bridge bridging limit [ms]; negative where `steps` are told and need not be found
 * @param timeConstant τ [ms], 0 where there is none
 * @param rounding so near to a level is neither side of it [K]
 */
export function look(count: i32, bridge: f64, timeConstant: f64, levels: i32, rounding: f64): void {
  const all = (1 << levels) - 1;
  const rate = timeConstant > 0 ? 1 / timeConstant : 0;
  const firstPick = v128.load(picks);
  const lastPick = v128.load(picks, 16);
  const firstAbove = v128.load(aboves);
  const lastAbove = v128.load(aboves, 16);
  let value = load<f64>(surface);
  let height = heightOf(value);
  let lines = linesOf(0);
  let over = i32x4.sub(i32x4.splat(height), lines);
  let isKnown = !isNaN(value) && i32x4.extract_lane(lines, 0) !== Scale.missing;
  for (let i = 0; i < count; i++) {
    const row = i << 3;
    const length = load<f64>(time + row, 8) - load<f64>(time + row);
    const from = load<f64>(towards + row);
    const share = length * rate;
    const stray = (abs(share * (value - from) + load<f64>(towards + row, 8) - from) * share) / 8;
    const overBefore = over;
    const wasKnown = isKnown;
    const wasHeld = height === heightOf(FURTHEST) || height === heightOf(-FURTHEST);

    value = load<f64>(surface + row, 8);
    height = heightOf(value);
    lines = linesOf(i + 1);
    over = i32x4.sub(i32x4.splat(height), lines);
    isKnown = !isNaN(value) && i32x4.extract_lane(lines, 0) !== Scale.missing;

    const isEven = bridge >= 0 ? length <= bridge && wasKnown && isKnown : load<u8>(steps + i) === Step.even;
    if (!isEven) {
      store<u8>(steps + i, Step.other);
      store<u16>(codes + (i << 1), Code.notEven);
      store<i32>(least + (i << 2), Scale.missing);
      continue;
    }
    const highest = i32x4.max_s(over, overBefore);
    const lowest = i32x4.min_s(over, overBefore);
    const clear = (stray < FURTHEST ? heightOf(stray + rounding) : 2 * heightOf(FURTHEST)) + Scale.cutOff;
    const unclear = i32x4.splat(clear);
    const below =
      i32x4.bitmask(i32x4.add(i32x4.sub(i8x16.swizzle(highest, firstPick), firstAbove), unclear)) |
      (i32x4.bitmask(i32x4.add(i32x4.sub(i8x16.swizzle(highest, lastPick), lastAbove), unclear)) << 4);
    const above =
      i32x4.bitmask(i32x4.sub(unclear, i32x4.sub(i8x16.swizzle(lowest, firstPick), firstAbove))) |
      (i32x4.bitmask(i32x4.sub(unclear, i32x4.sub(i8x16.swizzle(lowest, lastPick), lastAbove))) << 4);
    store<u8>(steps + i, Step.even);
    store<u16>(codes + (i << 1), (below & all) | ((all & ~(below | above)) << Code.crossed));
    const isHeld = wasHeld || height === heightOf(FURTHEST) || height === heightOf(-FURTHEST);
    store<i32>(least + (i << 2), isHeld ? Scale.missing : i32x4.extract_lane(lowest, 0) - clear);
  }
}
