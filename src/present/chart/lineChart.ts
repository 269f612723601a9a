import { scaleLinear } from 'd3-scale';
import type { LineChart } from '../../report/document.js';
import { html, type Markup } from '../htmlMarkup.js';
import { curvePath } from './curve.js';
import { COLUMNS, PLOT_HEIGHT, STEPS } from './frame.js';
import { type KeyEntry, keyList } from './key.js';
import { slivers } from './slivers.js';
import { stretched, type Texture, textured, textures } from './texture.js';
import { AXIS_HEIGHT, timeAxis } from './timeAxis.js';

/** Room above the highest line for half a label [px]. */
const HEAD = 8;
/** Height of a band's own strip under the lines, and what is free above it [px]. */
const BAND = 9;
const BAND_GAP = 5;

/** Marks that the axis of values has, about. */
const MARKS = 5;

/** The axis of values spans at least this much, so that the noise of a sensor does not fill a picture. */
const LEAST_SPAN = 2;

/** A longer name is not written at the end of its line, where there is room for about this many letters. */
const LONGEST_LABEL = 18;
/** From one label at the end of a line to the next [px]. */
const LABEL_STEP = 15;

/**
 * Values over time as a figure: what is not known hatched behind everything, stretches that are marked
 * as a tint behind the lines and a strip under them, names at the ends of the lines and in the key.
 */
export function lineChart(chart: LineChart, id: string): Markup {
  const y = valueScale(chart);
  const looks = textures(
    chart.bands.map(({ tone }) => tone),
    () => 'solid',
  );
  const lanes = chart.bands.map((band, i) => ({
    ...band,
    look: looks[i]!,
    top: HEAD + PLOT_HEIGHT + BAND_GAP + i * (BAND + BAND_GAP),
    stretches: slivers(band.spans, chart.axis),
  }));
  const foot = HEAD + PLOT_HEIGHT + lanes.length * (BAND + BAND_GAP) + (lanes.length > 0 ? BAND_GAP : 0);
  const unknown = slivers(chart.unknown, chart.axis);
  const tints = lanes.map(({ tone, stretches }) =>
    stretches.length === 0 ? html`` : stretched(`${tone} tint`, stretches, HEAD, foot - HEAD),
  );
  const strips = lanes.map(({ look, stretches, top }) => textured(look, stretches, top, BAND));
  const laneLabels = lanes
    .filter(({ name }) => isLabel(name))
    .map(
      ({ name, tone, top }) =>
        html`<text class="end ${tone}" x="100%" y="${top + BAND}" dx="8">${name}</text>`,
    );
  const [low, high] = y.domain() as [number, number];
  const curves = chart.lines.map(
    (line, i) => html`<path class="curve ${lineClass(i)}" d="${curvePath(line, chart.axis, [low, high])}"/>`,
  );
  return html`<figure class="chart"><figcaption><strong id="${id}">${chart.title}</strong> ${chart.words}</figcaption>${keyList(keyOf(chart, looks))}
<svg class="plot lines" height="${foot + AXIS_HEIGHT}" role="img" aria-labelledby="${id}" focusable="false">${textured(UNKNOWN, unknown, HEAD, foot - HEAD)}${tints}${valueAxis(chart, y)}${timeAxis(chart.axis, foot, foot - HEAD)}${strips}<svg y="${HEAD}" width="100%" height="${PLOT_HEIGHT}" viewBox="0 0 ${COLUMNS * STEPS} ${PLOT_HEIGHT * STEPS}" preserveAspectRatio="none" overflow="visible">${curves}</svg>${endLabels(chart, y)}${laneLabels}</svg></figure>
`;
}

/** The class of a line's colour; a fifth line takes the first colour again. */
function lineClass(index: number): string {
  return `line-${(index % 4) + 1}${index < 4 ? '' : ' again'}`;
}

function keyOf({ lines, bands, unknown }: LineChart, looks: readonly Texture[]): KeyEntry[] {
  const entries = [
    ...lines.map(({ name, values }, i) => ({
      look: lineClass(i),
      name,
      named: isLabel(name) && !Number.isNaN(lastValue(values)),
    })),
    ...bands.map(({ name }, i) => ({ look: looks[i]!, name, named: isLabel(name) })),
  ];
  return unknown.length === 0 ? entries : [...entries, { look: UNKNOWN, name: 'not known' }];
}

const UNKNOWN: Texture = { tone: 'unknown', fill: 'hatch' };

/** Whether a name is written beside the chart, too. */
function isLabel(name: string): boolean {
  return name.length <= LONGEST_LABEL;
}

type ValueScale = ReturnType<typeof valueScale>;

/** From the least to the greatest value, out to round numbers; in pixels from the top. */
function valueScale(chart: LineChart) {
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

function valueAxis(chart: LineChart, y: ValueScale): Markup {
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

/** Names where the lines end, moved apart where they would overlap. Shown where there is room beside the plot. */
function endLabels(chart: LineChart, y: ValueScale): Markup {
  const labels = chart.lines
    .map(({ name, values }, i) => ({ name, className: lineClass(i), y: y(lastValue(values)) + 4 }))
    .filter((label) => isLabel(label.name) && !Number.isNaN(label.y))
    .sort((a, b) => a.y - b.y);
  const places = apart(
    labels.map((label) => label.y),
    HEAD + PLOT_HEIGHT + 4,
  );
  return html`${labels.map(
    ({ name, className }, i) =>
      html`<text class="end ${className}" x="100%" y="${places[i]!}" dx="8">${name}</text>`,
  )}`;
}

function lastValue(values: Float64Array): number {
  return values.findLast((value) => !Number.isNaN(value)) ?? Number.NaN;
}

/** Ascending places moved down, then up from the foot, until each has its step. */
function apart(wanted: readonly number[], foot: number): number[] {
  const places = [...wanted];
  for (let i = 1; i < places.length; i++) places[i] = Math.max(places[i]!, places[i - 1]! + LABEL_STEP);
  let limit = foot;
  for (let i = places.length - 1; i >= 0; i--) {
    places[i] = Math.min(places[i]!, limit);
    limit = places[i]! - LABEL_STEP;
  }
  return places.map((place) => Math.round(place * 10) / 10);
}
