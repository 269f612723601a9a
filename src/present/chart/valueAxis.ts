import { scaleLinear } from 'd3-scale';
import type { LineChart } from '../../report/document.js';
import { html, type Markup } from '../htmlMarkup.js';
import { HEAD, PLOT_HEIGHT } from './frame.js';

/** Marks that the axis of values has, about. */
const MARKS = 5;

/** The axis of values spans at least this much, so that the noise of a sensor does not fill a picture. */
const LEAST_SPAN = 2;

export type ValueScale = ReturnType<typeof valueScale>;

/** From the least to the greatest value, out to round numbers; in pixels from the top. */
export function valueScale(chart: LineChart) {
  const range = Float64Array.of(Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);
  for (const { time, values } of chart.lines) widen(range, time, values, chart.axis);
  const [low, high] = range as unknown as [number, number];
  const missing = Math.max(0, LEAST_SPAN - (high - low)) / 2;
  const domain = low <= high ? [low - missing, high + missing] : [0, 1];
  return scaleLinear(domain, [HEAD + PLOT_HEIGHT, HEAD]).nice(MARKS);
}

/** Widens a range to the values of a line on the axis of time. */
function widen(
  range: Float64Array,
  time: Float64Array,
  values: Float64Array,
  { from, until }: LineChart['axis'],
): void {
  for (let row = 0; row < values.length; row++) {
    if (!(time[row]! >= from && time[row]! <= until)) continue;
    if (values[row]! < range[0]!) range[0] = values[row]!;
    if (values[row]! > range[1]!) range[1] = values[row]!;
  }
}

/** The marks of the axis of values, with thin lines through the plot, the unit at the highest. */
export function valueAxis(chart: LineChart, y: ValueScale): Markup {
  const hasValues = chart.lines.some(({ values }) => values.some((value) => !Number.isNaN(value)));
  if (!hasValues)
    return html`<text x="50%" y="${HEAD + PLOT_HEIGHT / 2}" text-anchor="middle">no values</text>`;
  const ticks = y.ticks(MARKS);
  const written = y.tickFormat(MARKS);
  return html`${ticks.map((value, i) => {
    const unit = i === ticks.length - 1 ? ` ${chart.unit}` : '';
    return html`<line class="grid" x1="0" x2="100%" y1="${y(value)}" y2="${y(value)}"/><text x="-7" y="${y(value) + 4}" text-anchor="end">${written(value)}${unit}</text>`;
  })}`;
}
