import type { ByteText } from './encoding.js';

export type DecimalMark = '.' | ',';

/** What stands in a cell that should hold a number. */
export type CellKind = 'number' | 'missing' | 'unreadable';

/**
 * Words that stand for "no value" in exports of databases, spreadsheets, statistics programs and
 * loggers (common practice, no source); compared without regard to case.
 */
const MISSING_WORDS = new Set(
  'null nil none na n/a #n/a nan nan(ind) -nan inf -inf +inf infinity -infinity undefined unknown unavailable missing'
    .split(' ')
    .concat(['\\n', '', '-', '--', '---', '?', '*', '.']),
);

const ZERO = 48;
const POINT = 46;
const COMMA = 44;
const MINUS = 45;
const PLUS = 43;
const BLANK = 32;
const TAB = 9;
/** A double holds every integer of 15 digits, and every power of ten up to 10^22, exactly. */
const EXACT_DIGITS = 15;
const POWERS = Float64Array.from({ length: 23 }, (_, power) => 10 ** power);

/**
 * The number in text[from, to), outer blanks allowed: the same double as `Number()` gives.
 * Up to 15 digits, integer over power of ten is one correctly rounded division of exact doubles;
 * anything longer, or with an exponent, goes through `Number()` itself.
 *
 * @returns NaN where there is no plain number; `cellKind` tells why
 */
export function parseNumber(text: ByteText, from: number, to: number, decimal: DecimalMark): number {
  let i = from;
  let end = to;
  while (i < end && (text.charCodeAt(i) === BLANK || text.charCodeAt(i) === TAB)) i++;
  while (end > i && (text.charCodeAt(end - 1) === BLANK || text.charCodeAt(end - 1) === TAB)) end--;
  const mark = decimal === '.' ? POINT : COMMA;
  const start = i;
  let negative = false;
  const sign = i < end ? text.charCodeAt(i) : 0;
  if (sign === MINUS || sign === PLUS) {
    negative = sign === MINUS;
    i++;
  }
  let digits = 0;
  let value = 0;
  let fraction = -1;
  for (; i < end; i++) {
    const code = text.charCodeAt(i);
    if (code >= ZERO && code < ZERO + 10) {
      if (value !== 0 || code !== ZERO) digits++;
      value = value * 10 + (code - ZERO);
      if (fraction >= 0) fraction++;
    } else if (code === mark && fraction < 0) {
      fraction = 0;
    } else {
      return parseLong(text, start, end, decimal);
    }
    if (digits > EXACT_DIGITS) return parseLong(text, start, end, decimal);
  }
  if (fraction > 22) return parseLong(text, start, end, decimal);
  const seen = end - start - (sign === MINUS || sign === PLUS ? 1 : 0) - (fraction >= 0 ? 1 : 0);
  if (seen <= 0) return NaN;
  const size = fraction > 0 ? value / POWERS[fraction]! : value;
  return negative ? -size : size;
}

const PLAIN = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;

function parseLong(text: ByteText, from: number, to: number, decimal: DecimalMark): number {
  const written = text.slice(from, to);
  const pointed = decimal === ',' ? written.replace(',', '.') : written;
  if (decimal === ',' && written.includes('.')) return NaN;
  const value = PLAIN.test(pointed) ? Number(pointed) : NaN;
  return Number.isFinite(value) ? value : NaN;
}

/** Why a cell held no plain number: a word for "missing", or something that cannot be read. */
export function cellKind(text: ByteText): CellKind {
  return MISSING_WORDS.has(text.trim().toLowerCase()) ? 'missing' : 'unreadable';
}

/** A number with its unit written behind it (`21.5 °C`, `80 %`), in byte text or decoded. */
const WITH_UNIT =
  /^([+-]?\d+(?:[.,]\d+)?)\s*(?:(?:\u00c2?[\u00b0\u00ba]|deg)?\s*([CFK])|%(?:\s*r\.?[hf]\.?)?)?$/i;
/** The minus sign of typographers (U+2212), which some locales write before numbers, as UTF-8 bytes. */
const LONG_MINUS = '\u00e2\u0088\u0092';

/** A number that may have a unit behind it, or NaN; and the unit where it is one of temperature. */
export function parseWithUnit(
  text: ByteText,
  decimal: DecimalMark,
): { value: number; unit: 'C' | 'F' | 'K' | null } {
  const match = WITH_UNIT.exec(text.trim().replace(LONG_MINUS, '-'));
  if (match === null) return { value: NaN, unit: null };
  const digits = match[1]!;
  const value = parseNumber(digits, 0, digits.length, decimal);
  return { value, unit: (match[2]?.toUpperCase() as 'C' | 'F' | 'K' | undefined) ?? null };
}
