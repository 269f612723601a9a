import type { Trend } from '../report/trend.js';
import { markdownTable, markdownText } from './markdown.js';
import { proseLines } from './prose.js';
import { type Column, tableLines } from './table.js';
import type { Palette, Style } from './terminal.js';
import { trendLines } from './trend.js';

/**
 * How the parts of a result for people are written. A command says what comes after what, once, for the
 * terminal and for Markdown. Every piece of text ends with a line end.
 */
export interface Sheet {
  /** For the cells of a table; gives the text back where there is no colour. */
  readonly palette: Palette;
  /** What stands over a table. */
  title(text: string): Iterable<string>;
  table(columns: readonly Column[], rows: readonly (readonly string[])[]): Iterable<string>;
  /** The course of columns of the table before, where it can be drawn. */
  trends(trends: readonly Trend[]): Iterable<string>;
  /** A sentence. */
  prose(text: string): Iterable<string>;
  /** A sentence that matters less than the figures. */
  smallPrint(text: string): Iterable<string>;
  /** Sets what follows apart from what was before. */
  gap(): Iterable<string>;
}

export function terminalSheet(style: Style, palette: Palette): Sheet {
  return {
    palette,
    title: (text) => proseLines(text, style, palette.strong),
    table: (columns, rows) => tableLines(columns, rows, style),
    trends: (trends) => trendLines(trends, style),
    prose: (text) => proseLines(text, style),
    smallPrint: (text) => proseLines(text, style, palette.faint),
    gap: () => ['\n'],
  };
}

/** Titles are headings of the third order: a result is pasted into something that has a title of its own. */
export function markdownSheet(palette: Palette): Sheet {
  let isFirst = true;
  function* block(lines: Iterable<string>): Generator<string> {
    if (!isFirst) yield '\n';
    isFirst = false;
    yield* lines;
  }
  const paragraph = (text: string) => block([`${markdownText(text)}\n`]);
  return {
    palette,
    title: (text) => block([`### ${markdownText(text)}\n`]),
    table: (columns, rows) => block(markdownTable(columns, rows)),
    trends: () => [],
    prose: paragraph,
    smallPrint: paragraph,
    gap: () => [],
  };
}
