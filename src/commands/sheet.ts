import type { Io } from '../present/io.js';
import { markdownSheet, type Sheet, terminalSheet } from '../present/sheet.js';
import { paletteFor } from '../present/terminal.js';
import type { Format, WritingOptions } from './options.js';
import { styleOf } from './session.js';

/** How a result for people is written: as Markdown, or as the place where it goes can show it. */
export async function sheetOf(options: WritingOptions & { readonly format: Format }, io: Io): Promise<Sheet> {
  if (options.format === 'markdown') return markdownSheet(await paletteFor(0));
  const style = styleOf(options, io);
  return terminalSheet(style, await paletteFor(style.level));
}
