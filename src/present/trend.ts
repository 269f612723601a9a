import { fixed } from '../figures.js';
import type { Trend } from '../report/trend.js';
import type { Style } from './terminal.js';
import { asciiText, visibleText } from './visible.js';
import { screenWidth } from './width.js';

/** From the lowest value to the highest. Where the terminal knows ASCII only, digits say the same. */
const BLOCKS = '▁▂▃▄▅▆▇█';
const DIGITS = '12345678';
const UNKNOWN = '?';

/** Two values are a difference, no course. */
const FEWEST = 3;

/** Fewer marks than these show little; a terminal as narrow as that gets none. */
const FEWEST_MARKS = 8;

/**
 * A line for each course: its name, its least value, a mark for each row, its greatest value.
 *
 * Where the terminal is too narrow for all marks, each stands for the mean of several rows, and the line says
 * of how many; with one unknown row among them the mark is unknown, too. Nothing where no width is known, as
 * in a pipe, and nothing for fewer than three rows. Every piece of text ends with a line end.
 */
export function* trendLines(trends: readonly Trend[], { width, unicode }: Style): Generator<string> {
  if (width === null) return;
  const lines = trends
    .filter(({ values }) => values.length >= FEWEST)
    .map((trend) => labelled(trend, unicode));
  const names = widest(lines.map(({ name }) => name));
  const starts = widest(lines.map(({ from }) => from));
  const ends = widest(lines.map(({ to }) => to));
  const room = width - names - starts - ends - 3;
  for (const { name, from, to, values, least, greatest } of lines) {
    const each = rowsPerMark(values.length, room);
    if (each === null) continue;
    const marks = meansOf(values, each).map((value) => markOf(value, least, greatest, unicode));
    const label = name + ' '.repeat(names - screenWidth(name));
    const line = `${label} ${from.padStart(starts)} ${marks.join('')} ${to}${noteOn(each)}`;
    yield `${line.trimEnd()}\n`;
  }
}

function labelled({ name, values, decimals }: Trend, unicode: boolean) {
  const known = values.filter((value) => !Number.isNaN(value));
  const least = known.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const greatest = known.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  return {
    name: unicode ? visibleText(name) : asciiText(visibleText(name)),
    from: fixed(least, decimals),
    to: fixed(greatest, decimals),
    values,
    least,
    greatest,
  };
}

/** How many rows a mark has to stand for; null where there is no room for a course at all. */
function rowsPerMark(rows: number, room: number): number | null {
  if (rows <= room) return 1;
  const marks = room - noteOn(rows).length;
  return marks < FEWEST_MARKS ? null : Math.ceil(rows / marks);
}

function noteOn(rows: number): string {
  return rows === 1 ? '' : ` (${rows} rows a mark)`;
}

function meansOf(values: readonly number[], each: number): number[] {
  return Array.from({ length: Math.ceil(values.length / each) }, (_, i) => {
    const group = values.slice(i * each, (i + 1) * each);
    return group.reduce((sum, value) => sum + value, 0) / group.length;
  });
}

/** What never changes stands in the middle: it is neither low nor high. */
function markOf(value: number, least: number, greatest: number, unicode: boolean): string {
  if (Number.isNaN(value)) return UNKNOWN;
  const marks = unicode ? BLOCKS : DIGITS;
  const share = greatest > least ? (value - least) / (greatest - least) : 0.5;
  return marks[Math.round(share * (marks.length - 1))]!;
}

function widest(texts: readonly string[]): number {
  return Math.max(0, ...texts.map(screenWidth));
}
