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
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { time, values } of chart.lines) {
    for (let row = 0; row < values.length; row++) {
      const value = values[row]!;
      if (!(time[row]! >= chart.axis.from && time[row]! <= chart.axis.until)) continue;
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  const missing = Math.max(0, LEAST_SPAN - (high - low)) / 2;
  const domain = low <= high ? [low - missing, high + missing] : [0, 1];
  return scaleLinear(domain, [HEAD + PLOT_HEIGHT, HEAD]).nice(MARKS);
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
