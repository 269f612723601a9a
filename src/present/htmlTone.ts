import type { Tone } from '../report/document.js';
import { html, type Markup, NOTHING } from './htmlMarkup.js';

const WORDS: Readonly<Record<Tone, string>> = {
  good: 'good',
  note: 'note',
  caution: 'caution',
  alarm: 'alarm',
  unknown: 'not known',
  plain: '',
};

/** The word that a tone is shown by, so that nothing is said by colour alone; nothing for a plain one. */
export function toneMark(tone: Tone): Markup {
  const word = WORDS[tone];
  return word === '' ? NOTHING : html`<span class="mark ${tone}">${word}</span> `;
}
