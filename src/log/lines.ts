/**
 * The line in its input of each row, counted from 1. Rows nearly always stand line by line, or every so many lines:
 * what is kept is where that changes. Those are few runs of most logs, and never more than one for every two rows.
 */
export interface Lines {
  /** How many rows there are. */
  length: number;
  /** How many runs there are, and of each its first row, the line of that row, and the step from line to line. */
  count: number;
  runs: Int32Array;
}

const WORDS = 3;
const LEAST_RUNS = 8;

export function noLines(): Lines {
  return { length: 0, count: 0, runs: new Int32Array(WORDS * LEAST_RUNS) };
}

export function linesOf(column: Iterable<number>): Lines {
  const lines = noLines();
  for (const line of column) addLines(lines, line, 1, 1);
  return lines;
}

/** Adds `count` rows, the first of them at line `first`, and each `step` lines behind the one before it. */
export function addLines(lines: Lines, first: number, step: number, count: number): void {
  if (count === 0) return;
  const { runs, length } = lines;
  const at = WORDS * (lines.count - 1);
  const own = lines.count === 0 ? 0 : length - runs[at]!;
  const gap = own === 0 ? 0 : first - (runs[at + 1]! + (own - 1) * runs[at + 2]!);
  // a single row goes with any step, in front and behind
  const goesOn = own > 0 && (own === 1 || gap === runs[at + 2]) && (count === 1 || gap === step);
  if (goesOn) runs[at + 2] = gap;
  else addRun(lines, first, step);
  lines.length = length + count;
}

function addRun(lines: Lines, first: number, step: number): void {
  const at = WORDS * lines.count++;
  if (at === lines.runs.length) {
    const runs = new Int32Array(2 * at);
    runs.set(lines.runs);
    lines.runs = runs;
  }
  lines.runs[at] = lines.length;
  lines.runs[at + 1] = first;
  lines.runs[at + 2] = step;
}

/** Adds what stands in the rows [first, end) of other lines. */
export function addRows(lines: Lines, others: Lines, first: number, end: number): void {
  if (first >= end) return;
  for (let run = runAt(others, first), row = first; row < end; run++) {
    const to = Math.min(end, endOf(others, run));
    addLines(lines, lineAt(others, row), others.runs[WORDS * run + 2]!, to - row);
    row = to;
  }
}

/** The lines of the rows [first, end). */
export function partOf(lines: Lines, first: number, end: number): Lines {
  const part = noLines();
  addRows(part, lines, first, end);
  return part;
}

/** The same lines, those of the last row first. */
export function reversed(lines: Lines): Lines {
  const turned = noLines();
  for (let run = lines.count - 1; run >= 0; run--) {
    const end = endOf(lines, run);
    const at = WORDS * run;
    addLines(turned, lineAt(lines, end - 1), -lines.runs[at + 2]!, end - lines.runs[at]!);
  }
  return turned;
}

/** The line of a row. */
export function lineAt(lines: Lines, row: number): number {
  const { runs } = lines;
  const at = WORDS * runAt(lines, row);
  return runs[at + 1]! + (row - runs[at]!) * runs[at + 2]!;
}

/**
 * The first of the rows [from, until) whose line does not follow that of the row before it; `until` where there is none.
 *
 * @param from 1 or more
 * @param direction 1 where lines ascend, -1 where they descend
 */
export function nextBack(lines: Lines, from: number, until: number, direction: 1 | -1): number {
  if (from >= until) return until;
  for (let run = runAt(lines, from - 1), row = from; row < until; run++) {
    const end = endOf(lines, run);
    if (row < end && direction * lines.runs[WORDS * run + 2]! < 0) return row;
    if (end < until && direction * (lineAt(lines, end) - lineAt(lines, end - 1)) < 0) return end;
    row = end + 1;
  }
  return until;
}

/** The number of the run in which a row lies. */
function runAt({ runs, count }: Lines, row: number): number {
  let low = 0;
  let high = count;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (runs[WORDS * middle]! <= row) low = middle;
    else high = middle;
  }
  return low;
}

/** The row behind the last of a run. */
function endOf({ runs, count, length }: Lines, run: number): number {
  return run + 1 < count ? runs[WORDS * (run + 1)]! : length;
}
