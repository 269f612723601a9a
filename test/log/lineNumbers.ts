import { type Lines, lineAt } from '../../src/log/lines.js';

/** The lines of all rows. */
export const lineNumbers = (lines: Lines): number[] =>
  Array.from({ length: lines.length }, (_, row) => lineAt(lines, row));
