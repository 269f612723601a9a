const INDENT = '  ';

/**
 * One JSON document, indented by two blanks, with a line end after it.
 *
 * Keys stand in the order given. NaN, the infinities, undefined and whatever else JSON has no word
 * for become null, also as the value of a key, so that a reader always finds the key. Typed arrays
 * are arrays; a pair of numbers (first and last line) stays on one line.
 */
export function jsonText(value: unknown): string {
  return `${written(value, '\n')}\n`;
}

/** @param newLine line end and indent of the place where the value stands */
function written(value: unknown, newLine: string): string {
  if (typeof value === 'number') return Number.isFinite(value) ? String(value) : 'null';
  if (typeof value === 'bigint') return String(value);
  if (typeof value === 'string' || typeof value === 'boolean') return JSON.stringify(value);
  if (typeof value !== 'object' || value === null) return 'null';
  if (hasOwnForm(value)) return written(value.toJSON(), newLine);
  const inside = newLine + INDENT;
  if (isList(value)) {
    const items = Array.from(value, (item) => written(item, inside));
    if (isPair(value)) return `[${items.join(', ')}]`;
    return enclosed('[', items, ']', newLine);
  }
  const entries = Object.entries(value).map(
    ([key, item]) => `${JSON.stringify(key)}: ${written(item, inside)}`,
  );
  return enclosed('{', entries, '}', newLine);
}

function enclosed(open: string, parts: readonly string[], close: string, newLine: string): string {
  if (parts.length === 0) return open + close;
  const inside = newLine + INDENT;
  return open + inside + parts.join(`,${inside}`) + newLine + close;
}

function hasOwnForm(value: object): value is { toJSON(): unknown } {
  return 'toJSON' in value && typeof value.toJSON === 'function';
}

function isList(value: object): value is ArrayLike<unknown> {
  return Array.isArray(value) || (ArrayBuffer.isView(value) && !(value instanceof DataView));
}

function isPair(value: ArrayLike<unknown>): boolean {
  return value.length === 2 && typeof value[0] === 'number' && typeof value[1] === 'number';
}
