import stringWidth from 'string-width';

/**
 * Latin and Greek letters, dashes and quotation marks, signs of arithmetic, lines and blocks, without the soft
 * hyphen: one column each, and nothing to look up. string-width takes 10 ms to make itself ready, once.
 */
const NARROW =
  /^[ -~\u00a0-\u00ac\u00ae-\u024f\u0370-\u03ff\u2010-\u2027\u2190-\u2193\u2200-\u22ff\u2500-\u259f]*$/;

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
