import { parse } from 'csv-parse/sync';
import type { ByteText } from './encoding.js';

/** How the cells of a line are told apart. */
export interface Punctuation {
  /** One character; a blank means runs of blanks and tabs. */
  readonly delimiter: string;
  /** What stands before a quote inside a quoted cell: another quote (RFC 4180) or a backslash (databases). */
  readonly escape: '"' | '\\';
  readonly lineEnd: '\n' | '\r';
}

/**
 * One line and its cells. The same object is handed over again and again: what is to be kept of it must
 * be copied. Cell `i` is `text.slice(start[i], end[i])`, quotes taken off, outer blanks not.
 */
export interface LineRecord {
  text: ByteText;
  count: number;
  readonly start: number[];
  readonly end: number[];
  /** Number of the (first) line, counted from 1. */
  line: number;
  /** How many lines it spans; more than one where a quoted cell holds line ends. */
  lines: number;
  /** Whether a line end followed: false only for the last line of some inputs. */
  terminated: boolean;
  /** Why the line could not be split into cells, else null. Then `count` is 0. */
  trouble: 'quotes' | null;
  /** The line as it stood in the input, without its line end. */
  raw(): ByteText;
}

const BOM = '\u00ef\u00bb\u00bf';
const QUOTE = 34;
const BLANK = 32;
const TAB = 9;
const BACKSLASH = 92;
/** A quoted cell that is still open after so many lines is a torn line, not a long cell. */
const OPEN_LINES = 16;

export interface RecordScanner {
  /** Takes the next piece; the last call has `last` set. */
  push(piece: ByteText, last: boolean): void;
  /** Number of the line that begins next, counted from 1. Lines that are read elsewhere are added here. */
  line: number;
  /** Whether a line has begun whose end has not come yet. */
  readonly isOpen: boolean;
}

/**
 * Cuts byte text into lines and cells, piece by piece, and hands each line to `visit`.
 *
 * Two ways. Lines without quotes, or with plainly quoted cells, are cut here by their characters: no
 * string is made for a cell. Lines with escaped quotes or line ends inside quotes go to csv-parse. Both
 * ways give the same cells. A line whose quotes cannot be right costs that line only: the next line
 * starts afresh.
 */
export function recordScanner(punctuation: Punctuation, visit: (record: LineRecord) => void): RecordScanner {
  const { lineEnd, delimiter } = punctuation;
  const blanks = delimiter === ' ';
  let carried: ByteText[] = [];
  let rawText = '';
  let rawFrom = 0;
  let rawTo = 0;
  const record: LineRecord = {
    text: '',
    count: 0,
    start: [],
    end: [],
    line: 0,
    lines: 1,
    terminated: true,
    trouble: null,
    raw: () => rawText.slice(rawFrom, rawTo),
  };

  function give(text: ByteText, from: number, to: number, lines: number, terminated: boolean): void {
    rawText = text;
    rawFrom = from;
    rawTo = to;
    record.line = scanner.line;
    record.lines = lines;
    record.terminated = terminated;
    scanner.line += lines;
    visit(record);
  }

  function push(piece: ByteText, last: boolean): void {
    // A line without end may be as long as the input: look for its end in the new piece only.
    if (!last && piece.indexOf(lineEnd) < 0) {
      if (piece !== '') carried.push(piece);
      return;
    }
    carried.push(piece);
    const text = carried.join('');
    let from = 0;
    let quote = -1; // the next one: most files have none, and looking once for all lines costs nothing
    while (from < text.length) {
      if (quote < from) {
        const next = text.indexOf('"', from);
        quote = next < 0 ? Infinity : next;
      }
      // files joined end to end bring their byte order marks with them
      if (text.charCodeAt(from) === 0xef && text.startsWith(BOM, from)) from += BOM.length;
      let to = text.indexOf(lineEnd, from);
      const terminated = to >= 0;
      if (!terminated) {
        if (!last) break;
        to = text.length;
      }
      const end = withoutReturns(text, from, to);
      record.trouble = null;
      if (quote >= end && !blanks) {
        splitBare(text, from, end, delimiter, record);
        give(text, from, end, 1, terminated);
        from = to + 1;
        continue;
      }
      if (splitLine(text, from, end, punctuation, record)) {
        give(text, from, end, 1, terminated);
        from = to + 1;
        continue;
      }
      const found = splitDifficult(text, from, end, punctuation, last, record);
      if (found === 'more') break;
      if (found === null) {
        record.trouble = 'quotes';
        record.count = 0;
        give(text, from, end, 1, terminated);
        from = to + 1;
      } else {
        give(text, from, found.end, found.lines, found.terminated);
        from = found.next;
      }
    }
    carried = from < text.length ? [text.slice(from)] : [];
  }

  const scanner: RecordScanner = {
    push,
    line: 1,
    get isOpen() {
      return carried.length > 0;
    },
  };
  return scanner;
}

/** For a line without any quote, between other delimiters than blanks. */
function splitBare(
  text: ByteText,
  from: number,
  to: number,
  delimiter: string,
  record: Pick<LineRecord, 'start' | 'end'> & { text: ByteText; count: number },
): void {
  const { start, end } = record;
  record.text = text;
  let count = 0;
  let i = from;
  for (;;) {
    // finding is left to the engine: it compares many bytes at once
    const found = text.indexOf(delimiter, i);
    const stop = found < 0 || found > to ? to : found;
    start[count] = i;
    end[count++] = stop;
    if (stop >= to) break;
    i = stop + 1;
  }
  record.count = count;
}

/** For a line with plainly quoted cells. Gives false, with the record unusable, where csv-parse is needed. */
function splitLine(
  text: ByteText,
  from: number,
  to: number,
  { delimiter, escape: escaping }: Punctuation,
  record: Pick<LineRecord, 'start' | 'end'> & { text: ByteText; count: number },
): boolean {
  const { start, end } = record;
  record.text = text;
  const separator = delimiter.charCodeAt(0);
  const blanks = separator === BLANK;
  let count = 0;
  let i = from;
  if (blanks) i = skipBlanks(text, i, to);
  for (;;) {
    let first = i;
    if (!blanks) while (first < to && isBlank(text.charCodeAt(first), separator)) first++;
    if (first < to && text.charCodeAt(first) === QUOTE) {
      const close = text.indexOf('"', first + 1);
      if (close < 0 || close >= to) return false;
      let after = close + 1;
      if (!blanks) while (after < to && isBlank(text.charCodeAt(after), separator)) after++;
      const next = after < to ? text.charCodeAt(after) : separator;
      if (next !== separator && !(blanks && next === TAB)) return false;
      if (escaping === '\\' && text.slice(first + 1, close).includes('\\')) return false;
      start[count] = first + 1;
      end[count++] = close;
      if (after >= to) break;
      i = blanks ? skipBlanks(text, after, to) : after + 1;
      if (blanks && i >= to) break;
      continue;
    }
    let stop = i;
    while (stop < to) {
      const code = text.charCodeAt(stop);
      if (code === separator || (blanks && code === TAB)) break;
      if (code === QUOTE) return false;
      stop++;
    }
    start[count] = i;
    end[count++] = stop;
    if (stop >= to) break;
    i = blanks ? skipBlanks(text, stop, to) : stop + 1;
    if (blanks && i >= to) break;
  }
  record.count = count;
  return true;
}

function isBlank(code: number, separator: number): boolean {
  return (code === BLANK || code === TAB) && code !== separator;
}

function skipBlanks(text: string, from: number, to: number): number {
  let i = from;
  while (i < to && (text.charCodeAt(i) === BLANK || text.charCodeAt(i) === TAB)) i++;
  return i;
}

/** The end of a line without its carriage returns; some programs on Windows write two of them. */
function withoutReturns(text: string, from: number, to: number): number {
  let end = to;
  while (end > from && text.charCodeAt(end - 1) === 13) end--;
  return end;
}

interface Difficult {
  readonly end: number;
  readonly next: number;
  readonly lines: number;
  readonly terminated: boolean;
}

/**
 * By csv-parse: the line, and as many more as its quotes are open for.
 *
 * @returns null where no reading of the quotes works, 'more' where the next piece is needed to know
 */
function splitDifficult(
  text: ByteText,
  from: number,
  firstEnd: number,
  punctuation: Punctuation,
  last: boolean,
  record: LineRecord,
): Difficult | 'more' | null {
  const { delimiter, escape: escaping, lineEnd } = punctuation;
  let to = firstEnd;
  for (let lines = 1; lines <= OPEN_LINES; lines++) {
    const quotes = quotesOf(text, from, to, punctuation);
    if (quotes === 'wrong') return null;
    if (quotes === 'closed') {
      const cells = cellsOf(text.slice(from, to), delimiter, escaping);
      if (cells === null) return null;
      lay(cells, delimiter, record);
      const eol = text.indexOf(lineEnd, to);
      return { end: to, next: eol < 0 ? text.length : eol + 1, lines, terminated: eol >= 0 };
    }
    const eol = text.indexOf(lineEnd, to);
    if (eol < 0) return last ? null : 'more';
    const following = text.indexOf(lineEnd, eol + 1);
    if (following < 0 && !last) return 'more';
    if (eol + 1 >= text.length) return null;
    to = following < 0 ? text.length : following;
    to = withoutReturns(text, eol + 1, to);
  }
  return null;
}

/**
 * How the quotes between two places stand: the last one still open, all closed, or not as quotes can
 * stand. Damaged lines come in thousands, and csv-parse takes its time to refuse one.
 */
function quotesOf(
  text: string,
  from: number,
  to: number,
  { delimiter, escape: escaping }: Punctuation,
): 'open' | 'closed' | 'wrong' {
  const separator = delimiter.charCodeAt(0);
  const separates = (code: number) => code === separator || (separator === BLANK && code === TAB);
  for (let i = from; i < to; i++) {
    while (i < to && isBlank(text.charCodeAt(i), separator)) i++;
    if (i < to && text.charCodeAt(i) === QUOTE) {
      for (i++; i < to; i++) {
        const code = text.charCodeAt(i);
        if (code === BACKSLASH && escaping === '\\') i++;
        else if (code === QUOTE && escaping === '"' && text.charCodeAt(i + 1) === QUOTE) i++;
        else if (code === QUOTE) break;
      }
      if (i >= to) return 'open';
      i++;
      while (i < to && isBlank(text.charCodeAt(i), separator)) i++;
      if (i < to && !separates(text.charCodeAt(i))) return 'wrong';
    }
    for (; i < to && !separates(text.charCodeAt(i)); i++) if (text.charCodeAt(i) === QUOTE) return 'wrong';
  }
  return 'closed';
}

function cellsOf(text: string, delimiter: string, escaping: '"' | '\\'): string[] | null {
  try {
    const rows = parse(text, {
      delimiter: delimiter === ' ' ? [' ', '\t'] : delimiter,
      escape: escaping,
      quote: '"',
      relax_column_count: true,
      ltrim: true,
      rtrim: true,
      ignore_last_delimiters: false,
      record_delimiter: '\u0000none\u0000',
    }) as string[][];
    const cells = rows[0];
    if (rows.length !== 1 || cells === undefined) return null;
    return delimiter === ' ' ? cells.filter((cell) => cell !== '') : cells;
  } catch {
    return null;
  }
}

/** Cells that exist as strings, laid end to end so that they look like any other record's. */
function lay(cells: readonly string[], delimiter: string, record: LineRecord): void {
  record.text = cells.join(delimiter);
  record.count = cells.length;
  let at = 0;
  cells.forEach((cell, i) => {
    record.start[i] = at;
    record.end[i] = at + cell.length;
    at += cell.length + delimiter.length;
  });
}
