import { screenWidth } from './width.js';

/**
 * Text broken at blanks into lines of at most `width` columns on the screen.
 * A word that is wider by itself is broken between characters.
 *
 * @param width columns, 2 or more (one glyph may need two)
 * @returns at least one line
 */
export function wrapped(text: string, width: number): string[] {
  if (screenWidth(text) <= width) return [text];
  const lines: string[] = [];
  let line = '';
  let filled = 0;
  const add = (part: string, glue: string) => {
    const needed = screenWidth(part);
    if (line !== '' && filled + glue.length + needed > width) {
      lines.push(line);
      line = '';
      filled = 0;
    }
    const joint = line === '' ? '' : glue;
    line += joint + part;
    filled += joint.length + needed;
  };
  for (const word of text.split(/ +/).filter((part) => part !== '')) {
    if (screenWidth(word) <= width) {
      add(word, ' ');
    } else {
      characters ??= new Intl.Segmenter(undefined, { granularity: 'grapheme' });
      for (const { segment, index } of characters.segment(word)) add(segment, index === 0 ? ' ' : '');
    }
  }
  if (line !== '') lines.push(line);
  return lines.length === 0 ? [''] : lines;
}

/** Made when a word is too wide, which is hardly ever: it takes 2 ms. */
let characters: Intl.Segmenter | undefined;

/** Screen columns of the widest word. */
export function widestWord(text: string): number {
  return Math.max(...text.split(' ').map((word) => screenWidth(word)));
}
