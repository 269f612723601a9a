import type { Paint, Style } from './terminal.js';
import { asciiText, visibleText } from './visible.js';
import { wrapped } from './wrap.js';

/** A sentence between tables, broken at blanks where the terminal is narrow. Each piece ends with a line end. */
export function* proseLines(text: string, style: Style, paint: Paint = (line) => line): Generator<string> {
  const shown = style.unicode ? visibleText(text) : asciiText(visibleText(text));
  for (const line of style.width === null ? [shown] : wrapped(shown, style.width)) yield `${paint(line)}\n`;
}
