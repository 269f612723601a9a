import { type ByteText, decoded, type Encoding } from './encoding.js';
import { cellKind, type DecimalMark, parseNumber, parseWithUnit } from './number.js';
import { type LineRecord, type Punctuation, recordScanner } from './records.js';
import { EARLIEST, isClock, isDateOnly, isNumberedDate, LATEST, stampParser } from './stamp.js';

/** A line of the sample, cut into cells. */
export interface SampleRow {
  readonly line: number;
  readonly raw: ByteText;
  readonly cells: readonly ByteText[];
  /** What each of them looks like. */
  readonly looks: readonly CellLook[];
}

/** What kind of thing a cell holds, judged by itself alone. */
export type CellLook = 'year-first' | 'numbered' | 'epoch' | 'clock' | 'number' | 'missing' | 'text';

/** Punctuation and decimal mark of an input, and its first lines cut by them. */
export interface Dialect {
  readonly punctuation: Punctuation;
  readonly decimal: DecimalMark;
  readonly rows: readonly SampleRow[];
}

/** In order of preference where two of them explain the sample equally well. */
const DELIMITERS = ['\t', ';', ',', '|', ' '] as const;
/** Lines of the sample that are tried with every delimiter, and those that are cut by the best of them. */
const TRIAL_LINES = 200;
const CUT_LINES = 1000;

/** A quote inside a quoted cell, written twice; `""` before a delimiter may be an empty cell. */
const DOUBLED_QUOTE = /""[^\s,;|"]/;

export interface DialectOptions {
  readonly delimiter: string | null;
  readonly decimal: DecimalMark | null;
}

/**
 * Finds delimiter, quoting and decimal mark: the delimiter that makes the most lines into a time stamp
 * with numbers beside it.
 *
 * @returns null where no delimiter makes any line into that
 */
export function dialectOf(sample: ByteText, options: DialectOptions): Dialect | null {
  const lineEnd = sample.includes('\n') || !sample.includes('\r') ? '\n' : '\r';
  const escaping = /\\"|\\N/.test(sample) && !DOUBLED_QUOTE.test(sample) ? '\\' : '"';
  const candidates = options.delimiter === null ? DELIMITERS : [options.delimiter];
  let best: { punctuation: Punctuation; score: number } | null = null;
  const trial = head(sample, lineEnd, TRIAL_LINES);
  for (const delimiter of candidates) {
    if (!partsAny(trial, delimiter)) continue;
    const punctuation: Punctuation = { delimiter, escape: escaping, lineEnd };
    const score = scoreOf(rowsOf(trial, punctuation, TRIAL_LINES));
    if (score > 0 && (best === null || score > best.score)) best = { punctuation, score };
  }
  if (best === null) return null;
  const rows = rowsOf(sample, best.punctuation, CUT_LINES);
  return {
    punctuation: best.punctuation,
    decimal: options.decimal ?? decimalOf(rows, best.punctuation.delimiter),
    rows,
  };
}

/** The lines of a sample, cut into cells; torn and blank ones left out. */
export function rowsOf(sample: ByteText, punctuation: Punctuation, most: number): SampleRow[] {
  const rows: SampleRow[] = [];
  const scan = recordScanner(punctuation, (record) => {
    if (rows.length < most && record.trouble === null) {
      const cells = cellsOf(record);
      if (cells.some((cell) => cell.trim() !== ''))
        rows.push({ line: record.line, raw: record.raw(), cells, looks: cells.map(lookOf) });
    }
  });
  scan.push(Number.isFinite(most) ? head(sample, punctuation.lineEnd, most) : sample, true);
  return rows;
}

/** Whether a delimiter stands anywhere in a text. */
export function partsAny(text: ByteText, delimiter: string): boolean {
  return text.includes(delimiter) || (delimiter === ' ' && text.includes('\t'));
}

export function head(sample: ByteText, lineEnd: string, lines: number): ByteText {
  let at = 0;
  for (let i = 0; i < lines; i++) {
    const end = sample.indexOf(lineEnd, at);
    if (end < 0) return sample;
    at = end + 1;
  }
  return sample.slice(0, at);
}

export function cellsOf(record: LineRecord): ByteText[] {
  const cells: ByteText[] = [];
  for (let i = 0; i < record.count; i++) cells.push(record.text.slice(record.start[i]!, record.end[i]!));
  return cells;
}

/** Lines that look like readings, and, far behind them, how clear their cells are. */
function scoreOf(rows: readonly SampleRow[]): number {
  let lines = 0;
  let clear = 0;
  for (const { looks } of rows) {
    if (!isData(looks)) continue;
    lines++;
    clear += clarityOf(looks);
  }
  return lines === 0 ? 0 : lines + clear / (lines + 1);
}

/** Whether a line looks like a reading: a time stamp, and a number or a word for none beside it. */
export function isData(looks: readonly CellLook[]): boolean {
  let stamps = 0;
  let values = 0;
  for (const look of looks) {
    if (isStampLook(look)) stamps++;
    else if (look === 'number' || look === 'missing') values++;
  }
  return stamps > 0 && (values > 0 || stamps > 1);
}

export function isStampLook(look: CellLook): boolean {
  return look === 'year-first' || look === 'numbered' || look === 'epoch';
}

/**
 * 1 for cells that are all something known, the less the more of them are not: how many, not how great a part, or who
 * cuts stamps in two would gain by the pieces.
 */
export function clarityOf(looks: readonly CellLook[]): number {
  return 1 / (1 + looks.filter((look) => look === 'text').length);
}

const yearFirst = stampParser('year-first');
const dayFirst = stampParser('day-first');
const monthFirst = stampParser('month-first');
const epoch = stampParser('epoch');
/** A count of seconds since 1970 has nine or more digits from 1973 on; shorter ones are other numbers. */
const EPOCH = /^\s*\d{9,19}([.,]\d+)?\s*$/;

/** Nearly every cell of a log; none of the other looks has these forms. */
const PLAIN_NUMBER = /^-?\d{1,8}(?:\.\d+)?$/;

/** A sample is looked at again and again, and its cells are alike: their looks are kept, so many at most. */
const knownLooks = new Map<ByteText, CellLook>();
const MOST_LOOKS = 4096;

export function lookOf(cell: ByteText): CellLook {
  let look = knownLooks.get(cell);
  if (look === undefined) {
    look = lookedAt(cell);
    if (knownLooks.size >= MOST_LOOKS) knownLooks.clear();
    knownLooks.set(cell, look);
  }
  return look;
}

function lookedAt(cell: ByteText): CellLook {
  if (PLAIN_NUMBER.test(cell)) return 'number';
  if (EPOCH.test(cell)) {
    const instant = epoch.parse(cell, 0, cell.length);
    return instant >= EARLIEST && instant < LATEST ? 'epoch' : 'number';
  }
  if (isClock(cell)) return 'clock';
  if (isNumberedDate(cell)) {
    const first = dayFirst.parse(cell, 0, cell.length);
    return Number.isNaN(first) && Number.isNaN(monthFirst.parse(cell, 0, cell.length)) ? 'text' : 'numbered';
  }
  if (isDateOnly(cell) || cell.includes(':')) {
    if (!Number.isNaN(yearFirst.parse(cell, 0, cell.length))) return 'year-first';
  }
  if (isNumber(cell)) return 'number';
  return cellKind(cell) === 'missing' ? 'missing' : 'text';
}

function isNumber(cell: ByteText): boolean {
  return (
    !Number.isNaN(parseNumber(cell, 0, cell.length, '.')) ||
    !Number.isNaN(parseNumber(cell, 0, cell.length, ',')) ||
    !Number.isNaN(parseWithUnit(cell, '.').value) ||
    !Number.isNaN(parseWithUnit(cell, ',').value)
  );
}

const WITH_COMMA = /^\s*(?:[+-]|\u00e2\u0088\u0092)?\d+,\d+/;
const WITH_POINT = /^\s*(?:[+-]|\u00e2\u0088\u0092)?\d*\.\d+/;

/** Numbers with decimals that are enough to tell their mark by. */
const ENOUGH_MARKS = 1000;

function decimalOf(rows: readonly SampleRow[], delimiter: string): DecimalMark {
  let commas = 0;
  let points = 0;
  for (const { cells, looks } of rows) {
    for (let i = 0; i < cells.length; i++) {
      const cell = cells[i]!;
      if (looks[i] !== 'number' || (delimiter === ',' && !cell.includes(','))) continue;
      if (WITH_COMMA.test(cell)) commas++;
      else if (WITH_POINT.test(cell)) points++;
    }
    if (commas + points >= ENOUGH_MARKS) break;
  }
  return commas > points ? ',' : '.';
}

const RULER = /^[\s|+=:-]+$/;
const RULED = /[-=]{2}/;
const SEPARATOR_LINE = /^\s*"?sep=.{1,2}"?\s*$/i;
const ROW_COUNT = /^\s*\(\d+ [^()]*\)\s*$/;
const ROWS_IN_SET = /^\d+ rows? in set\b/;

/** Lines that belong to the layout of an export, wherever they stand: rulers, `sep=;`, comments, row counts. */
export function isFurniture(raw: ByteText): boolean {
  const first = raw.charCodeAt(0);
  // a reading begins with a digit, mostly: no need to look closer
  if (first >= 48 && first <= 57) return ROWS_IN_SET.test(raw);
  const isRuler = RULER.test(raw) && RULED.test(raw);
  return first === 35 || isRuler || SEPARATOR_LINE.test(raw) || ROW_COUNT.test(raw);
}

export function textOf(cell: ByteText, encoding: Encoding): string {
  return decoded(cell, encoding).trim();
}
