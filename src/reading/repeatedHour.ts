import type { Series } from './series.js';

/** A step on of up to so many usual steps goes on without a hole. */
const GOES_ON = 1.5;
/** Two readings of one instant speak more against a placing than a hole and a step back together. */
const DUPLICATE = 3;

/**
 * Places the readings whose stamps came twice, when daylight saving time ended, in order of input.
 *
 * All readings up to some place are of the first pass, all from there on of the second: the place is the
 * one that leaves the fewest readings on the same instant, holes and steps back. Where that is as good,
 * all of them are of the first pass. An export sorted by local time has each stamp twice in a row instead:
 * the first is of the first pass, the second of the second. Strays that come after the hour has passed go
 * where there is no reading yet.
 *
 * @param series in order of time but for strays; times of `repeated` rows are those of the first pass
 */
export function placeRepeatedHour(series: Series): void {
  const { repeated, time } = series;
  const taken = new Set<number>();
  let from = 0;
  while (from < repeated.length) {
    const { shift } = repeated[from]!;
    const rows = [repeated[from]!.row];
    let to = from + 1;
    while (to < repeated.length && goesOnAt(series, rows[0]!, rows.at(-1)!, repeated[to]!.row)) {
      rows.push(repeated[to++]!.row);
    }
    placeRun(series, rows, shift, taken);
    for (const row of rows) taken.add(time[row]!);
    from = to;
  }
}

/** Whether only late readings from before the hour stand between two rows of it. */
function goesOnAt({ time }: Series, first: number, last: number, next: number): boolean {
  for (let row = last + 1; row < next; row++) if (time[row]! > time[first]!) return false;
  return true;
}

/** One run of rows, unbroken but for late readings. */
function placeRun(series: Series, rows: readonly number[], shift: number, taken: ReadonlySet<number>): void {
  const { time } = series;
  const stamps = rows.map((row) => time[row]!);
  if (stamps.every((stamp) => taken.has(stamp) && !taken.has(stamp + shift))) {
    move(time, rows, shift);
    return;
  }
  const { split, duplicates } = bestSplit(series, rows, stamps, shift);
  if (isInPairs(series, rows, stamps, duplicates)) {
    for (let i = 1; i < rows.length; i++) {
      if (stamps[i] === stamps[i - 1]) time[rows[i]!] = stamps[i]! + shift;
    }
  } else {
    move(time, rows.slice(split), shift);
  }
}

function move(time: Float64Array, rows: readonly number[], shift: number): void {
  for (const row of rows) time[row] = time[row]! + shift;
}

/** Where the second pass begins, and how many readings share their instant with another then. */
function bestSplit(
  series: Series,
  rows: readonly number[],
  stamps: readonly number[],
  shift: number,
): { split: number; duplicates: number } {
  const { time, length } = series;
  const usual = usualStep(series, rows[0]!, rows.at(-1)! + 1);
  const cost = (step: number) => (step < 0 || step > GOES_ON * usual ? 1 : 0);
  const before = rows[0]! > 0 ? time[rows[0]! - 1]! : NaN;
  const after = rows.at(-1)! + 1 < length ? time[rows.at(-1)! + 1]! : NaN;
  const last = stamps.length;
  const inFront = duplicatesUpTo(stamps);
  const behind = duplicatesUpTo(stamps.toReversed()).reverse();
  // steps within a pass are the same for every split: only what the split changes counts
  const costAt = (split: number): number => {
    const start = stamps[0]! - before + (split === 0 ? shift : 0);
    const end = after - stamps[last - 1]! - (split === last ? 0 : shift);
    const step = split > 0 && split < last ? stamps[split]! - stamps[split - 1]! : NaN;
    const duplicates = inFront[split]! + behind[split]!;
    return cost(start) + cost(end) + cost(step + shift) - cost(step) + DUPLICATE * duplicates;
  };
  let split = last;
  let least = costAt(last);
  for (let at = 0; at < last; at++) {
    const here = costAt(at);
    if (here < least) [split, least] = [at, here];
  }
  return { split, duplicates: inFront[split]! + behind[split]! };
}

/** For every number of stamps from the first on, how many of those stood there before. */
function duplicatesUpTo(stamps: readonly number[]): number[] {
  const seen = new Set<number>();
  const counts = [0];
  stamps.forEach((stamp, i) => {
    seen.add(stamp);
    counts.push(i + 1 - seen.size);
  });
  return counts;
}

/** Whether each stamp stands twice in a row because of the order of the export, not because each line does. */
function isInPairs(
  { time }: Series,
  rows: readonly number[],
  stamps: readonly number[],
  duplicates: number,
): boolean {
  const first = rows[0]!;
  if (first > 1 && time[first - 1] === time[first - 2]) return false;
  const twins = stamps.filter((stamp, i) => stamp === stamps[i - 1]).length;
  return stamps.length - new Set(stamps).size - twins < duplicates;
}

function usualStep({ time, length }: Series, from: number, to: number): number {
  const steps: number[] = [];
  for (let row = Math.max(1, from - 20); row < Math.min(length, to + 20); row++) {
    const step = time[row]! - time[row - 1]!;
    if (step > 0 && row !== to) steps.push(step);
  }
  steps.sort((a, b) => a - b);
  return steps[steps.length >> 1] ?? 0;
}
