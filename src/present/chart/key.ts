import { html, type Markup, NOTHING } from '../htmlMarkup.js';
import { SLIVERS } from './frame.js';
import { type Texture, textured } from './texture.js';

/** What stands in the key of a chart: a look, of a line (by its class) or of a stretch, and its name. */
export interface KeyEntry {
  readonly look: string | Texture;
  readonly name: string;
  /** Whether the name also stands in the chart where there is room, so that the key need not say it there. */
  readonly named?: boolean;
}

const WHOLE = [{ from: 0, width: SLIVERS }];

export function keyList(entries: readonly KeyEntry[]): Markup {
  if (entries.length === 0) return NOTHING;
  const items = entries.map(({ look, name, named = false }) => {
    const drawn =
      typeof look === 'string'
        ? html`<line class="curve ${look}" x1="1" x2="23" y1="6" y2="6"/>`
        : textured(look, WHOLE, 0, 12);
    return html`<li class="${named ? 'named' : ''}"><svg width="24" height="12" aria-hidden="true" focusable="false">${drawn}</svg> ${name}</li>`;
  });
  return html`<ul class="key">${items}</ul>`;
}
