import stringWidth from 'string-width';

/** Latin letters and signs without the soft hyphen: one column each, and nothing to look up. */
const NARROW = /^[ -~\u00a0-\u00ac\u00ae-\u024f]*$/;

/**
 * Columns that a text fills on the screen: two for `温` or an emoji, none for a joined accent.
 * The same as string-width gives for the whole text; measured word by word, because that takes
 * microseconds for every character of a text that is not plain.
 */
export function screenWidth(text: string): number {
  if (NARROW.test(text)) return text.length;
  const words = text.split(' ');
  return words.reduce(
    (total, word) => total + (NARROW.test(word) ? word.length : stringWidth(word)),
    words.length - 1,
  );
}
