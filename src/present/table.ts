import type { Style } from './terminal.js';
import { asciiText, visibleText } from './visible.js';
import { screenWidth } from './width.js';
import { widestWord, wrapped } from './wrap.js';

export interface Column {
  readonly heading: string;
  readonly align: 'left' | 'right';
  /** Prose: may be broken at blanks where the terminal is narrow. Figures never are. */
  readonly wrap?: boolean;
  /** Colours the text of a cell, a line of it at a time; `row` counts from 0. Not asked without colour. */
  readonly paint?: (shown: string, row: number) => string;
}

/** What one column shows on one line of the screen. */
interface Piece {
  /** Screen columns that it fills. */
  readonly width: number;
  /** The text, coloured or not. */
  readonly text: string;
}

/** Blanks between columns: two, or one where the terminal is too narrow for two. */
const GAPS = ['  ', ' '] as const;

/** No column of prose is squeezed below this [screen columns]. Common practice, no source. */
const NARROWEST_PROSE = 8;

/**
 * A table for people: headings, a thin rule, then the rows. Every piece of text ends with a line end.
 *
 * Where the style has a width, headings and columns of prose are broken at blanks so that no line is
 * wider. Nothing is ever cut off: figures that are too wide together stay as they are. Control
 * characters in a cell are spelt out. A row that is too short has empty cells at its end.
 */
export function* tableLines(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  style: Style,
): Generator<string> {
  if (columns.length === 0) return;
  const shown = (text: string) => (style.unicode ? visibleText(text) : asciiText(visibleText(text)));
  const headings = columns.map(({ heading }) => shown(heading));
  const body = rows.map((row) => columns.map((_, i) => shown(row[i] ?? '')));
  const [gap, widths] = columnWidths(columns, headings, body, style.width);

  yield* padded(columns, widths, gap, headingLines(headings, widths));
  yield `${(style.unicode ? '─' : '-').repeat(lineWidth(widths, gap))}\n`;
  yield* padded(columns, widths, gap, bodyLines(columns, widths, body, style.level > 0));
}

/**
 * Each column as wide as its widest text; where that is too much, the widest column that can still
 * give way does, until the line fits or none is left.
 */
function columnWidths(
  columns: readonly Column[],
  headings: readonly string[],
  body: readonly (readonly string[])[],
  limit: number | null,
): [gap: string, widths: number[]] {
  const texts = columns.map((_, i) =>
    body.reduce((widest, row) => Math.max(widest, screenWidth(row[i]!)), 1),
  );
  const widths = columns.map((_, i) => Math.max(texts[i]!, screenWidth(headings[i]!)));
  if (limit === null) return [GAPS[0], widths];
  const floors = columns.map(({ wrap }, i) => {
    const text = wrap ? Math.min(texts[i]!, NARROWEST_PROSE) : texts[i]!;
    return Math.max(text, widestWord(headings[i]!));
  });
  const gap = lineWidth(floors, GAPS[0]) <= limit ? GAPS[0] : GAPS[1];
  for (let excess = lineWidth(widths, gap) - limit; excess > 0; excess--) {
    let widest = -1;
    for (let i = 0; i < widths.length; i++) {
      if (widths[i]! > floors[i]! && (widest < 0 || widths[i]! > widths[widest]!)) widest = i;
    }
    if (widest < 0) break;
    widths[widest]!--;
  }
  return [gap, widths];
}

function lineWidth(widths: readonly number[], gap: string): number {
  return widths.reduce((total, width) => total + width, gap.length * (widths.length - 1));
}

/** Headings of fewer lines stand low, next to the figures they name. */
function headingLines(headings: readonly string[], widths: readonly number[]): Piece[][] {
  const blocks = headings.map((text, i) => wrapped(text, widths[i]!));
  const height = Math.max(...blocks.map((block) => block.length));
  return Array.from({ length: height }, (_, line) =>
    blocks.map((block) => piece(block[line - height + block.length] ?? '')),
  );
}

function* bodyLines(
  columns: readonly Column[],
  widths: readonly number[],
  body: readonly (readonly string[])[],
  isColoured: boolean,
): Generator<Piece[]> {
  for (const [row, cells] of body.entries()) {
    const blocks = cells.map((text, i) => (columns[i]!.wrap ? wrapped(text, widths[i]!) : [text]));
    const height = Math.max(...blocks.map((block) => block.length));
    for (let line = 0; line < height; line++) {
      yield blocks.map((block, i) => {
        const paint = isColoured ? columns[i]!.paint : undefined;
        return piece(block[line] ?? '', paint && ((text) => paint(text, row)));
      });
    }
  }
}

function piece(shown: string, paint: (text: string) => string = (text) => text): Piece {
  const text = shown.trimEnd();
  const width = screenWidth(text);
  return { width, text: width === 0 ? '' : paint(text) };
}

function* padded(
  columns: readonly Column[],
  widths: readonly number[],
  gap: string,
  lines: Iterable<readonly Piece[]>,
): Generator<string> {
  for (const pieces of lines) {
    const cells = pieces.map(({ width, text }, i) => {
      const blanks = ' '.repeat(widths[i]! - width);
      return columns[i]!.align === 'right' ? blanks + text : text + blanks;
    });
    yield `${cells.join(gap).trimEnd()}\n`;
  }
}
