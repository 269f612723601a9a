import type { LineChart } from '../../report/document.js';
import { html, type Markup } from '../htmlMarkup.js';
import { curvePath } from './curve.js';
import { endLabels, isLabel } from './endLabels.js';
import { COLUMNS, HEAD, PLOT_HEIGHT, STEPS } from './frame.js';
import { type KeyEntry, keyList } from './key.js';
import { slivers } from './slivers.js';
import { stretched, textured, textures, UNKNOWN } from './texture.js';
import { AXIS_HEIGHT, timeAxis } from './timeAxis.js';
import { valueAxis, valueScale } from './valueAxis.js';

/** Height of a band's own strip under the lines, and what is free above it [px]. */
const BAND = 9;
const BAND_GAP = 5;

/** From the middle of a letter to the line it stands on [px]. */
const HALF_LETTER = 4;

/**
 * Values over time as a figure: what is unknown hatched behind everything, stretches that are marked
 * as a tint behind the lines and a strip under them, names at the ends of the lines and in the key.
 */
export function lineChart(chart: LineChart, id: string): Markup {
  const y = valueScale(chart);
  const lines = chart.lines.map((line, i) => ({
    ...line,
    className: lineClass(i),
    y: y(lastValue(line.values)),
  }));
  const bands = bandsUnder(chart);
  const floor = HEAD + PLOT_HEIGHT;
  const foot = floor + bands.length * (BAND + BAND_GAP) + (bands.length > 0 ? BAND_GAP : 0);
  const whole = foot - HEAD;
  const [low, high] = y.domain() as [number, number];

  const unknown = textured(UNKNOWN, slivers(chart.unknown, chart.axis), HEAD, whole);
  const tints = bands.map(({ tone, stretches }) => stretched(`${tone} tint`, stretches, HEAD, whole));
  const strips = bands.map(({ look, stretches, top }) => textured(look, stretches, top, BAND));
  const curves = lines.map(
    (line) => html`<path class="curve ${line.className}" d="${curvePath(line, chart.axis, [low, high])}"/>`,
  );
  const names = endLabels(
    lines.map((line) => ({ ...line, y: line.y + HALF_LETTER })),
    floor + HALF_LETTER,
  );
  const bandNames = endLabels(
    bands.map(({ name, tone, top }) => ({ name, className: tone, y: top + BAND })),
    foot,
  );
  const key: KeyEntry[] = [
    ...lines.map(({ name, className, y }) => ({
      look: className,
      name,
      named: isLabel(name) && !Number.isNaN(y),
    })),
    ...bands.map(({ name, look }) => ({ look, name, named: isLabel(name) })),
    ...(chart.unknown.length > 0 ? [{ look: UNKNOWN, name: 'unknown' }] : []),
  ];
  return html`<figure class="chart"><figcaption><strong id="${id}">${chart.title}</strong> ${chart.words}</figcaption>${keyList(key)}
<svg class="plot lines" height="${foot + AXIS_HEIGHT}" role="img" aria-labelledby="${id}" focusable="false">${unknown}${tints}${valueAxis(chart, y)}${timeAxis(chart.axis, foot, whole)}${strips}<svg y="${HEAD}" width="100%" height="${PLOT_HEIGHT}" viewBox="0 0 ${COLUMNS * STEPS} ${PLOT_HEIGHT * STEPS}" preserveAspectRatio="none" overflow="visible">${curves}</svg>${names}${bandNames}</svg></figure>
`;
}

function bandsUnder({ bands, axis }: LineChart) {
  const looks = textures(
    bands.map(({ tone }) => tone),
    () => 'solid',
  );
  return bands.map(({ name, tone, spans }, i) => ({
    name,
    tone,
    look: looks[i]!,
    top: HEAD + PLOT_HEIGHT + BAND_GAP + i * (BAND + BAND_GAP),
    stretches: slivers(spans, axis),
  }));
}

/** The class of a line's colour; a fifth line takes the first colour again. */
function lineClass(index: number): string {
  return `line-${(index % 4) + 1}${index < 4 ? '' : ' again'}`;
}

function lastValue(values: Float64Array): number {
  return values.findLast((value) => !Number.isNaN(value)) ?? Number.NaN;
}
