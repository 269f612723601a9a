import type { Tone } from '../report/document.js';
import { html, type Markup, NOTHING } from './htmlMarkup.js';
import { TONE_WORDS } from './tones.js';

/** The word and the mark that a tone is shown by, each tone another shape; nothing for a plain one. */
export function toneMark(tone: Tone): Markup {
  return tone === 'plain' ? NOTHING : html`<span class="mark ${tone}">${TONE_WORDS[tone]}</span> `;
}
