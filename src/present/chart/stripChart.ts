import type { StripChart, Tone } from '../../report/document.js';
import { html, type Markup } from '../htmlMarkup.js';
import { keyList } from './key.js';
import { slivers } from './slivers.js';
import { textured, textures } from './texture.js';
import { AXIS_HEIGHT, timeAxis } from './timeAxis.js';

/** Height of a strip [px]. */
const STRIP = 18;

/** What is drawn later covers what is drawn before: a short trouble is not lost under a long calm. */
const WORST_LAST: readonly Tone[] = ['plain', 'good', 'unknown', 'note', 'caution', 'alarm'];

/** What state each of several things was in, one strip under the other over a common axis, as a figure. */
export function stripChart(chart: StripChart, id: string): Markup {
  const looks = textures(chart.states.map(({ tone }) => tone));
  const order = chart.states
    .map((state, i) => ({ ...state, texture: looks[i]! }))
    .sort((a, b) => WORST_LAST.indexOf(a.tone) - WORST_LAST.indexOf(b.tone));
  const strips = chart.strips.map(({ name, spans }) => {
    const layers = order.map(({ key, texture }) =>
      textured(
        texture,
        slivers(
          spans.filter(({ state }) => state === key),
          chart.axis,
        ),
        0,
        STRIP,
      ),
    );
    return html`<p>${name}</p><svg class="strip" height="${STRIP}" focusable="false">${layers}</svg>`;
  });
  const key = chart.states.map(({ name }, i) => ({ look: looks[i]!, name }));
  return html`<figure class="chart"><figcaption><strong id="${id}">${chart.title}</strong> ${chart.words}</figcaption>${keyList(key)}
<div class="strips" role="img" aria-labelledby="${id}">${strips}<svg class="plot" height="${AXIS_HEIGHT}" focusable="false">${timeAxis(chart.axis, 0, 0)}</svg></div></figure>
`;
}
