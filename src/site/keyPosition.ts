import { parse } from 'smol-toml';
import type { KeyPath } from './keyPath.js';

/** Counted from 1. */
export interface KeyPosition {
  readonly line: number;
  readonly column: number;
}

const BLANK = /(?:[\s\ufeff]+|#[^\n]*)*/y;
const KEY = /"(?:[^"\\]+|\\.)*"|'[^']*'|[\w-]+/y;
const SCALAR = /"""(?:[^\\]|\\[\s\S])*?"{3,5}|'''[\s\S]*?'{3,5}|"(?:[^"\\]+|\\.)*"|'[^']*'|[^,\]}#\r\n]+/y;

/**
 * Where the keys of a TOML text stand. The parser tells no positions, so the text is walked once more;
 * being accepted already, it needs no second judgement, only its marks told apart from its values.
 *
 * @param toml a text that the parser has accepted
 * @returns look-up of a key path; for one that is not in the text, the innermost table that would hold it
 */
export function keyPositions(toml: string): (path: KeyPath) => KeyPosition {
  const starts = new Map<string, number>();
  /** Of each array of tables, the place of its latest table. */
  const latest = new Map<string, number>();
  let at = 0;

  const take = (pattern: RegExp): string => {
    pattern.lastIndex = at;
    const found = pattern.exec(toml)?.[0] ?? '';
    at += found.length;
    return found;
  };
  const need = (pattern: RegExp): string => {
    const found = take(pattern);
    if (found === '') throw new Error(`lost in the TOML text at offset ${at}`);
    return found;
  };
  const skip = (mark: string): boolean => {
    take(BLANK);
    if (toml[at] !== mark) return false;
    at++;
    take(BLANK);
    return true;
  };
  const record = (path: KeyPath, start: number): void => {
    for (let steps = 1; steps <= path.length; steps++) {
      const id = JSON.stringify(path.slice(0, steps));
      if (!starts.has(id)) starts.set(id, start);
    }
  };

  const dottedKey = (): string[] => {
    const keys = [];
    do keys.push(unquoted(need(KEY)));
    while (skip('.'));
    return keys;
  };
  const header = (): KeyPath => {
    const start = at;
    skip('[');
    const repeated = skip('[');
    const keys = dottedKey();
    skip(']');
    if (repeated) skip(']');
    const path: (string | number)[] = [];
    for (const [i, key] of keys.entries()) {
      path.push(key);
      const id = JSON.stringify(path);
      if (repeated && i === keys.length - 1) latest.set(id, (latest.get(id) ?? -1) + 1);
      const place = latest.get(id);
      if (place !== undefined) path.push(place);
    }
    record(path, start);
    return path;
  };
  const entry = (table: KeyPath): void => {
    const start = at;
    const path = [...table, ...dottedKey()];
    record(path, start);
    skip('=');
    value(path);
  };
  const value = (path: KeyPath): void => {
    if (skip('[')) {
      for (let place = 0; !skip(']'); place++) {
        const element = [...path, place];
        record(element, at);
        value(element);
        skip(',');
      }
    } else if (skip('{')) {
      while (!skip('}')) {
        entry(path);
        skip(',');
      }
    } else need(SCALAR);
  };

  let table: KeyPath = [];
  take(BLANK);
  while (at < toml.length) {
    if (toml[at] === '[') table = header();
    else entry(table);
    take(BLANK);
  }

  return (path) => {
    for (let steps = path.length; steps > 0; steps--) {
      const start = starts.get(JSON.stringify(path.slice(0, steps)));
      if (start !== undefined) return positionAt(toml, start);
    }
    return { line: 1, column: 1 };
  };
}

/** A key without its quotes; the parser itself reads the escapes. */
function unquoted(key: string): string {
  return /^["']/.test(key) ? Object.keys(parse(`${key} = 0`))[0]! : key;
}

function positionAt(text: string, offset: number): KeyPosition {
  const before = text.slice(0, offset);
  return { line: before.split('\n').length, column: offset - before.lastIndexOf('\n') };
}
