/** Null, NaN and the infinities are missing values: an empty cell. */
export type Cell = string | number | null;

export interface CsvOptions {
  /** End lines with CR LF, as RFC 4180 has it, instead of the bare LF. */
  readonly crlf?: boolean;
}

/** Big enough that the cost of a write vanishes, small enough to be gone from memory soon [characters]. */
const BATCH = 65_536;

const NEEDS_QUOTES = /[",\r\n]/;

/** What a spreadsheet may take for the start of a formula (CWE-1236): = + - @ tab CR NUL. */
const FORMULA_STARTS: ReadonlySet<number> = new Set([...'=+-@\t\r\0'].map((start) => start.charCodeAt(0)));

/** With a comma for the point too: digits and one mark run no formula in any country. */
const PLAIN_NUMBER = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?$/;

/**
 * One record of RFC 4180 without its line end.
 *
 * Numbers stand as the shortest text that reads back as the same double. A text that a spreadsheet
 * would run as a formula gets a leading apostrophe; a text that is a plain number never does, and a
 * text that has the apostrophe already gets no second one.
 */
export function csvLine(cells: readonly Cell[]): string {
  // A lone empty cell would be a blank line, which readers skip.
  if (cells.length === 1) return cellText(cells[0] ?? null) || '""';
  let line = '';
  for (let i = 0; i < cells.length; i++) {
    if (i > 0) line += ',';
    line += cellText(cells[i]!);
  }
  return line;
}

function cellText(cell: Cell): string {
  if (typeof cell === 'number') return Number.isFinite(cell) ? numberText(cell) : '';
  if (cell === null || cell === '') return '';
  const guarded = FORMULA_STARTS.has(cell.charCodeAt(0)) && !PLAIN_NUMBER.test(cell) ? `'${cell}` : cell;
  return NEEDS_QUOTES.test(guarded) ? `"${guarded.replaceAll('"', '""')}"` : guarded;
}

/**
 * Texts of numbers met lately, each in the slot of its thousandths. Loggers repeat a few thousand
 * values, and making the text of a double takes longer than the rest of a cell (8 million: 1.8 s; from here 0.2 s).
 */
const SLOTS = 4096;
const lately = {
  numbers: new Float64Array(SLOTS).fill(Number.NaN),
  texts: new Array<string>(SLOTS).fill(''),
};

function numberText(value: number): string {
  const slot = (value * 1000) & (SLOTS - 1);
  if (lately.numbers[slot] !== value) {
    lately.numbers[slot] = value;
    lately.texts[slot] = String(value);
  }
  return lately.texts[slot]!;
}

/**
 * A whole CSV text, the heading first even where there are no rows.
 * Every piece is many lines long and ends with a line end.
 */
export function* csvLines(
  header: readonly string[],
  rows: Iterable<readonly Cell[]>,
  { crlf = false }: CsvOptions = {},
): Generator<string> {
  const end = crlf ? '\r\n' : '\n';
  let batch = csvLine(header) + end;
  for (const row of rows) {
    batch += csvLine(row) + end;
    if (batch.length < BATCH) continue;
    yield batch;
    batch = '';
  }
  if (batch !== '') yield batch;
}
