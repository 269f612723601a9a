import type { Io } from '../present/io.js';
import { markdownSheet, type Sheet, terminalSheet } from '../present/sheet.js';
import { paletteFor } from '../present/terminal.js';
import type { Format, WritingOptions } from './options.js';
import { styleOf } from './session.js';

/**
 * A result for people: as Markdown, as an HTML page, or as the place where it goes can show it.
 *
 * @param title of a page
 * @param write says what comes after what
 */
export async function onSheet(
  title: string,
  options: WritingOptions & { readonly format: Format },
  io: Io,
  write: (sheet: Sheet) => Iterable<string>,
): Promise<Iterable<string>> {
  const plain = await paletteFor(0);
  if (options.format === 'markdown') return write(markdownSheet(plain));
  if (options.format === 'html') {
    const { sheetPage } = await import('../present/sheetPage.js');
    return sheetPage(title, plain, write);
  }
  const style = styleOf(options, io);
  return write(terminalSheet(style, await paletteFor(style.level)));
}
