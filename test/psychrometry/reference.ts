import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';

const FOLDER = new URL('../reference/', import.meta.url);

/** A row of a reference table: numbers as numbers, empty cells as NaN, words as they are. */
export type ReferenceRow<Numbers extends string, Words extends string> = Readonly<
  Record<Numbers, number> & Record<Words, string>
>;

/**
 * The rows of a table in test/reference, without its `#` lines. Fails if their number is not the one the
 * test was written for, so that none is dropped unseen.
 */
export function reference<Numbers extends string, Words extends string = 'provenance'>(
  table: string,
  rows: number,
): ReferenceRow<Numbers, Words>[] {
  const text = readFileSync(new URL(`${table}.csv`, FOLDER), 'utf8');
  const parsed: ReferenceRow<Numbers, Words>[] = parse(text, {
    comment: '#',
    comment_no_infix: true,
    columns: true,
    cast: (cell, { header }) => {
      if (header) return cell;
      if (cell === '') return Number.NaN;
      const number = Number(cell);
      return Number.isNaN(number) ? cell : number;
    },
  });
  if (parsed.length !== rows) throw new Error(`${table}.csv has ${parsed.length} rows, expected ${rows}`);
  return parsed;
}
