import type { LineChart, Span, StripChart, TimeAxis, Tone } from '../report/document.js';
import { visibleText } from './visible.js';
import { screenWidth } from './width.js';
import { wrapped } from './wrap.js';

// Pictures made of block characters, for terminals that can show them.

const LEVELS = '▁▂▃▄▅▆▇█';
const FULL = '█';
/** Rows of blocks to a line of the chart: 24 levels. */
const HEIGHT = 3;
const UNKNOWN = '░';
const NOTHING = ' ';
const MARK = '▀';

/** A row of a picture: what it is called, its blocks, what stands behind them. */
interface Row {
  readonly label: string;
  readonly blocks: string;
  readonly after?: string;
}

/** Columns that labels may take at most, so that the picture keeps the rest. */
const WIDEST_LABEL = 26;
/** A picture is no narrower than this, whatever the terminal. */
const NARROWEST = 10;

/**
 * A line chart, all lines on one scale. A block reaches up to the highest value of its time; the figures beside
 * a line are its own extremes. Unknown time is dotted.
 *
 * @param width columns
 */
export function lineBlocks(chart: LineChart, width: number): string[] {
  const bounds = chart.lines.map(({ values }) => extremes(values));
  const lowest = Math.min(...bounds.map(([min]) => min));
  const highest = Math.max(...bounds.map(([, max]) => max));
  if (!(lowest <= highest)) return [];
  const labels = [...chart.lines, ...chart.bands].map(({ name }) => name);
  const { labelWidth, columns } = layOut(labels, width, 7);
  const range = highest - lowest || 1;
  const rows: Row[] = chart.lines.flatMap(({ name, time, values }, i) => {
    const heights = columnMaxima(time, values, chart.axis, columns).map((value) =>
      Number.isNaN(value) ? null : 1 + Math.round(((HEIGHT * LEVELS.length - 1) * (value - lowest)) / range),
    );
    const [min, max] = bounds[i]!;
    return Array.from({ length: HEIGHT }, (_, r): Row => {
      const base = (HEIGHT - 1 - r) * LEVELS.length;
      const blocks = heights.map((height) => blockAt(height, base, r === HEIGHT - 1)).join('');
      const after = Number.isNaN(min)
        ? ''
        : r === 0
          ? max.toFixed(1)
          : r === HEIGHT - 1
            ? min.toFixed(1)
            : '';
      return { label: r === HEIGHT - 1 ? name : '', blocks, after };
    });
  });
  for (const { name, spans } of chart.bands) {
    const blocks = covered(spans, chart.axis, columns).map((isIn) => (isIn ? MARK : NOTHING));
    rows.push({ label: name, blocks: blocks.join('') });
  }
  return [...rows.map((row) => rowText(row, labelWidth)), axisText(chart.axis, labelWidth, columns)];
}

function blockAt(height: number | null, base: number, isLowest: boolean): string {
  if (height === null) return isLowest ? UNKNOWN : NOTHING;
  if (height >= base + LEVELS.length) return FULL;
  return height > base ? LEVELS[height - base - 1]! : NOTHING;
}

function extremes(values: Float64Array): [min: number, max: number] {
  let min = Number.NaN;
  let max = Number.NaN;
  for (const value of values) {
    if (!(value >= min)) min = Number.isNaN(value) ? min : value;
    if (!(value <= max)) max = Number.isNaN(value) ? max : value;
  }
  return [min, max];
}

/** The highest value in each column; between two values that are joined, that of the line. NaN where none is. */
function columnMaxima(time: Float64Array, values: Float64Array, axis: TimeAxis, columns: number): number[] {
  const maxima = new Array<number>(columns).fill(Number.NaN);
  const columnOf = (at: number) =>
    Math.min(columns - 1, Math.max(0, Math.floor((columns * (at - axis.from)) / (axis.until - axis.from))));
  for (let i = 0; i < time.length; i++) {
    if (Number.isNaN(values[i]!)) continue;
    const column = columnOf(time[i]!);
    if (!(maxima[column]! >= values[i]!)) maxima[column] = values[i]!;
    const next = i + 1 < time.length && !Number.isNaN(values[i + 1]!) ? columnOf(time[i + 1]!) : column;
    for (let between = column + 1; between < next; between++) {
      maxima[between] = values[i]! + ((values[i + 1]! - values[i]!) * (between - column)) / (next - column);
    }
  }
  return maxima;
}

/** Which columns a stretch touches. */
function covered(spans: readonly Span[], axis: TimeAxis, columns: number): boolean[] {
  const touched = new Array<boolean>(columns).fill(false);
  const scale = columns / (axis.until - axis.from);
  for (const { from, until } of spans) {
    const first = Math.max(0, Math.floor((from - axis.from) * scale));
    const end = Math.min(columns, Math.max(first + 1, Math.ceil((until - axis.from) * scale)));
    touched.fill(true, first, end);
  }
  return touched;
}

const STATE_BLOCKS: Readonly<Record<Tone, string>> = {
  good: '─',
  plain: '─',
  note: '▁',
  unknown: '░',
  caution: '▒',
  alarm: '█',
};

/** Each thing's states in a row. In a column that holds several, the one that its states end with is shown. */
export function stripBlocks(chart: StripChart, width: number): string[] {
  const { labelWidth, columns } = layOut(
    chart.strips.map(({ name }) => name),
    width,
    0,
  );
  const rows = chart.strips.map(({ name, spans }): Row => {
    const blocks = new Array<string>(columns).fill(NOTHING);
    for (const { key, tone } of chart.states) {
      const own = spans.filter(({ state }) => state === key);
      for (const [column, isIn] of covered(own, chart.axis, columns).entries()) {
        if (isIn) blocks[column] = STATE_BLOCKS[tone];
      }
    }
    return { label: name, blocks: blocks.join('') };
  });
  const legend = chart.states.map(({ name, tone }) => `${STATE_BLOCKS[tone]} ${visibleText(name)}`);
  return [
    ...rows.map((row) => rowText(row, labelWidth)),
    axisText(chart.axis, labelWidth, columns),
    ...wrapped(legend.join('   '), columns).map((line) => ' '.repeat(labelWidth + 1) + line),
  ];
}

function layOut(labels: readonly string[], width: number, behind: number) {
  const widest = Math.max(0, ...labels.map((label) => screenWidth(visibleText(label))));
  const labelWidth = Math.min(WIDEST_LABEL, widest);
  return { labelWidth, columns: Math.max(NARROWEST, width - labelWidth - 1 - behind) };
}

function rowText({ label, blocks, after = '' }: Row, labelWidth: number): string {
  const shown = shortened(visibleText(label), labelWidth);
  const padded = shown + ' '.repeat(Math.max(0, labelWidth - screenWidth(shown)));
  return `${padded} ${blocks}${after === '' ? '' : ` ${after}`}`.trimEnd();
}

function shortened(label: string, width: number): string {
  if (screenWidth(label) <= width) return label;
  const characters = [...label];
  while (screenWidth(characters.join('')) > width - 1) characters.pop();
  return `${characters.join('')}…`;
}

/** The marks of the axis, each beginning at its time; those that would run into another are left out. */
function axisText({ from, until, ticks }: TimeAxis, labelWidth: number, columns: number): string {
  let text = '';
  for (const { at, label } of ticks) {
    const column = Math.round((columns * (at - from)) / (until - from));
    const isApart = text === '' || column > screenWidth(text);
    if (isApart && column + screenWidth(label) <= columns) text = text.padEnd(column) + label;
  }
  return `${' '.repeat(labelWidth + 1)}${text}`.trimEnd();
}
