import type { Series } from './series.js';

/** A step back by more than this share of the shift is the clocks going back, not a late reading. */
const STEP_BACK = 0.5;
/** A step on of up to so many usual steps goes on without a hole. */
const GOES_ON = 1.5;

/**
 * Places the readings whose stamps came twice, when daylight saving time ended, in order of input.
 *
 * Each run of such stamps is looked at as a whole. Where the stamps step back by about the shift of the
 * clocks, the readings before are of the first pass, those after of the second. Where each stamp stands
 * twice in a row (an export sorted by local time), the first is of the first pass, the second of the
 * second. Where the stamps pass but once, they belong to the pass that joins on to the readings around
 * them; to the first, where both do or neither.
 *
 * @param series in order of time but for strays; times of `repeated` rows are those of the first pass
 */
export function placeRepeatedHour(series: Series): void {
  const { repeated } = series;
  let from = 0;
  while (from < repeated.length) {
    let to = from + 1;
    while (to < repeated.length && repeated[to]!.row === repeated[to - 1]!.row + 1) to++;
    placeRun(series, repeated[from]!.row, repeated[to - 1]!.row + 1, repeated[from]!.shift);
    from = to;
  }
}

/** One unbroken run of rows [from, to). */
function placeRun(series: Series, from: number, to: number, shift: number): void {
  const { time } = series;
  let furthestBack = 0;
  let split = -1;
  let twins = 0;
  for (let row = from + 1; row < to; row++) {
    const step = time[row]! - time[row - 1]!;
    if (step < furthestBack) [furthestBack, split] = [step, row];
    if (step === 0) twins++;
  }
  if (split >= 0 && -furthestBack >= STEP_BACK * shift) {
    move(time, split, to, shift);
  } else if (twins > 0 && 2 * twins >= to - from - 1) {
    for (let row = from + 1; row < to; row++) {
      // compare with the first pass of the row before, which has not been moved unless it was a twin itself
      const before = time[row - 1]!;
      if (time[row] === before) time[row] = time[row]! + shift;
      else if (time[row] === before - shift) time[row] = before;
    }
  } else if (isSecondPass(series, from, to, shift)) {
    move(time, from, to, shift);
  }
}

function move(time: Float64Array, from: number, to: number, shift: number): void {
  for (let row = from; row < to; row++) time[row] = time[row]! + shift;
}

function isSecondPass({ time, length }: Series, from: number, to: number, shift: number): boolean {
  const steps: number[] = [];
  for (let row = Math.max(1, from - 20); row < Math.min(length, to + 20); row++) {
    const step = time[row]! - time[row - 1]!;
    if (step > 0 && row !== to) steps.push(step);
  }
  steps.sort((a, b) => a - b);
  const usual = steps[steps.length >> 1] ?? 0;
  const goesOn = (step: number) => step > 0 && step <= GOES_ON * usual;
  const joinsBefore = from > 0 && goesOn(time[from]! - time[from - 1]!);
  const joinsAfter = to < length && goesOn(time[to]! - (time[to - 1]! + shift));
  return joinsAfter && !joinsBefore;
}
