import { visibleText } from './visible.js';
import { screenWidth } from './width.js';

export interface MarkdownColumn {
  readonly heading: string;
  readonly align: 'left' | 'right';
}

/** What GitHub's Markdown takes for more than itself within a line. An underscore inside a word is safe. */
const MARKS = /[\\`*[\]|~$]|(?<![\p{L}\p{N}])_|_(?![\p{L}\p{N}])/gu;

/** What would begin a heading, a list, a quotation or a rule; a negative number begins none of them. */
const OPENING = /^(?:>|#(?=#*(?: |$))|[-+](?= |$)|[-=](?=[-= ]*$)|\d{1,9}(?=[.)](?: |$)))/;

/** The start of a tag and of an entity; in `a<=b & c` neither begins. */
const HTML = /<(?=[a-z/!?])|&(?=#?[a-z\d]+;)/gi;

/**
 * A text from anywhere as one line of GitHub's Markdown that shows it as it is: no mark, no HTML and no
 * line end in it means anything. Control characters are spelt out, as on a terminal.
 */
export function markdownText(text: string): string {
  return visibleText(text.trim())
    .replace(HTML, (character) => (character === '<' ? '&lt;' : '&amp;'))
    .replace(MARKS, '\\$&')
    .replace(OPENING, (opening) => (/^\d/.test(opening) ? `${opening}\\` : `\\${opening}`));
}

/**
 * A table of GitHub's Markdown: headings, the rule that aligns, the rows; padded, so that the bare text can
 * be read, too. Every piece of text ends with a line end.
 *
 * @param rows as on a terminal: a row that is too short has empty cells at its end
 */
export function* markdownTable(
  columns: readonly MarkdownColumn[],
  rows: readonly (readonly string[])[],
): Generator<string> {
  if (columns.length === 0) return;
  const lines = [columns.map(({ heading }) => heading), ...rows].map((row) =>
    columns.map((_, i) => markdownText(row[i] ?? '')),
  );
  const widths = columns.map((_, i) =>
    lines.reduce((widest, cells) => Math.max(widest, screenWidth(cells[i]!)), NARROWEST),
  );
  const rule = columns.map(({ align }, i) =>
    align === 'right' ? `${'-'.repeat(widths[i]! - 1)}:` : '-'.repeat(widths[i]!),
  );
  for (const [place, cells] of lines.entries()) {
    const padded = cells.map((text, i) => {
      const blanks = ' '.repeat(widths[i]! - screenWidth(text));
      return columns[i]!.align === 'right' ? blanks + text : text + blanks;
    });
    yield rowText(padded);
    if (place === 0) yield rowText(rule);
  }
}

/** Of a rule: fewer dashes than these are not a table everywhere. */
const NARROWEST = 3;

function rowText(cells: readonly string[]): string {
  return `| ${cells.join(' | ')} |\n`;
}
