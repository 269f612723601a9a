/**
 * @typedef {() => number} Draw
 */

/** Rounds thrown away at the start: near seeds give near first numbers. */
const WARM_UP = 20;

/**
 * Equally likely numbers, the same for the same seed on every machine.
 * Marsaglia's shift-register generator of 32 bits with the shifts 13, 17, 5 (J. Stat. Softw. 8(14), 2003;
 * from memory).
 *
 * @param {number} seed whole number other than 0
 * @returns {Draw} gives numbers from 0 up to, not including, 1
 */
export function uniform(seed) {
  let state = seed;
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
  for (let i = 0; i < WARM_UP; i++) next();
  return next;
}

/** Twelve uniform numbers have variance 1 together; their sum needs additions only. */
const SUMMED = 12;

/**
 * Nearly normal numbers of mean 0 and standard deviation 1, none beyond 6.
 *
 * @param {number} seed
 * @returns {Draw}
 */
export function normal(seed) {
  const draw = uniform(seed);
  return () => {
    let sum = 0;
    for (let i = 0; i < SUMMED; i++) sum += draw();
    return sum - SUMMED / 2;
  };
}

/**
 * Noise that remembers: neighbouring numbers are alike, and the likeness fades with time.
 *
 * @param {number} seed
 * @param {number} spread standard deviation, in the unit of the result
 * @param {number} steps time over which the likeness falls to 1/e, in calls
 * @returns {Draw}
 */
export function drifting(seed, spread, steps) {
  const draw = normal(seed);
  const kept = Math.exp(-1 / steps);
  const added = spread * Math.sqrt(1 - kept * kept);
  let value = spread * draw();
  return () => {
    value = kept * value + added * draw();
    return value;
  };
}
