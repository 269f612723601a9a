/** A stream of random numbers that a seed settles, and the draws that are made from it. */
export interface Random {
  /** From 0 up to, not including, 1. */
  unit(): number;
  between(least: number, greatest: number): number;
  /** A whole number, both ends included. */
  whole(least: number, greatest: number): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
  chance(share: number): boolean;
  oneOf<T>(choices: readonly T[]): T;
  shuffled<T>(items: readonly T[]): T[];
}

/** A 32-bit counter hashed by multiplication and shifts (mulberry32, from memory; in the public domain). */
export function randomFrom(seed: number): Random {
  let state = seed >>> 0;
  const unit = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let x = Math.imul(state ^ (state >>> 15), state | 1);
    x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
    return ((x ^ (x >>> 14)) >>> 0) / 2 ** 32;
  };
  const whole = (least: number, greatest: number) => least + Math.floor(unit() * (greatest - least + 1));
  return {
    unit,
    whole,
    between: (least, greatest) => least + unit() * (greatest - least),
    normal: () => Math.sqrt(-2 * Math.log(1 - unit())) * Math.cos(2 * Math.PI * unit()),
    chance: (share) => unit() < share,
    oneOf: (choices) => choices[whole(0, choices.length - 1)]!,
    shuffled: (items) => {
      const left = [...items];
      return items.map(() => left.splice(whole(0, left.length - 1), 1)[0]!);
    },
  };
}

/**
 * First-order autoregressive noise, a value per call.
 *
 * @param spread standard deviation
 * @param memory calls after which 1/e of a departure is left
 */
export function drifting(random: Random, spread: number, memory: number): () => number {
  const keeps = Math.exp(-1 / memory);
  const kick = spread * Math.sqrt(1 - keeps * keeps);
  let value = spread * random.normal();
  return () => {
    value = keeps * value + kick * random.normal();
    return value;
  };
}
