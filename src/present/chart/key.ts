import { html, type Markup } from '../htmlMarkup.js';
import { SLIVERS } from './frame.js';
import { type Texture, textured } from './texture.js';

/** What stands in the key of a chart: a look and its name. */
export type KeyEntry =
  | { readonly kind: 'line'; readonly className: string; readonly name: string }
  | { readonly kind: 'texture'; readonly texture: Texture; readonly name: string };

const WHOLE = [{ from: 0, width: SLIVERS }];

export function keyList(entries: readonly KeyEntry[]): Markup {
  if (entries.length === 0) return html``;
  const items = entries.map((entry) => {
    const look =
      entry.kind === 'line'
        ? html`<line class="curve ${entry.className}" x1="1" x2="23" y1="6" y2="6"/>`
        : textured(entry.texture, WHOLE, 0, 12);
    return html`<li class="${entry.kind}"><svg width="24" height="12" aria-hidden="true" focusable="false">${look}</svg> ${entry.name}</li>`;
  });
  return html`<ul class="key">${items}</ul>`;
}
