import { visibleText } from './visible.js';

/** Text that is HTML or SVG already. Only `html` makes it. */
export interface Markup {
  readonly markup: string;
}

export const NOTHING: Markup = { markup: '' };

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text with nothing in it to look at, such as the path of a long curve, is let through at once. */
const HARMLESS = /^[\w .,:;%#()-]*$/;

/**
 * The one way to markup: the words of the template stand as they are, every value between them is
 * text and is escaped, in elements and in quoted attributes alike. Control characters and marks that
 * turn the direction of writing are spelt out. Markup goes in as it is, a list of it joined.
 */
export function html(
  words: TemplateStringsArray,
  ...values: readonly (string | number | Markup | readonly Markup[])[]
): Markup {
  let markup = words[0]!;
  for (let i = 0; i < values.length; i++) markup += inserted(values[i]!) + words[i + 1]!;
  return { markup };
}

function inserted(value: string | number | Markup | readonly Markup[]): string {
  if (typeof value === 'number') return String(value);
  if (typeof value === 'string') return HARMLESS.test(value) ? value : escaped(value);
  return 'markup' in value ? value.markup : value.map(({ markup }) => markup).join('');
}

function escaped(text: string): string {
  return visibleText(text).replace(/[&<>"']/g, (sign) => ENTITIES[sign]!);
}
