import type { ByteText } from './encoding.js';

/** What cells of a few different texts stand for, found by `findName` without making a string of them. */
export interface NameTable<Meaning> {
  readonly names: Buffer[];
  readonly meanings: Meaning[];
  /** Number of a name from 1 on, by its hash and in the slots after it; made when the first name comes. */
  slots: Uint16Array | null;
  /** Place among the names of the one that was found last; -1 before the first. */
  last: number;
  resolve(text: ByteText): Meaning | null;
}

/** No more different texts are kept: a column of measured values would fill the memory. */
const MOST_NAMES = 1 << 14;
const SLOTS = 2 * MOST_NAMES;

/** @param resolve what a text stands for; null is asked for again the next time */
export function nameTable<Meaning extends object | string | boolean>(
  resolve: (text: ByteText) => Meaning | null,
): NameTable<Meaning> {
  return { names: [], meanings: [], slots: null, last: -1, resolve };
}

/** What bytes[from, to) stands for; null where that is not known (yet). */
export function findName<Meaning>(
  table: NameTable<Meaning>,
  bytes: Buffer,
  from: number,
  to: number,
): Meaning | null {
  const { names, meanings, last } = table;
  if (last >= 0 && isSame(names[last]!, bytes, from, to)) return meanings[last]!;
  // loggers that write into one file take turns, in the order in which they came first
  const next = last + 1 < names.length ? last + 1 : 0;
  if (next < names.length && isSame(names[next]!, bytes, from, to)) {
    table.last = next;
    return meanings[next]!;
  }
  return lookedUp(table, bytes, from, to);
}

function lookedUp<Meaning>(
  table: NameTable<Meaning>,
  bytes: Buffer,
  from: number,
  to: number,
): Meaning | null {
  const { names, meanings } = table;
  const number = table.slots === null ? -1 : table.slots[slotOf(table.slots, names, bytes, from, to)]! - 1;
  if (number >= 0) {
    table.last = number;
    return meanings[number]!;
  }
  const meaning = table.resolve(bytes.toString('latin1', from, to));
  if (meaning !== null && names.length < MOST_NAMES) {
    table.last = names.length;
    names.push(Buffer.from(bytes.subarray(from, to)));
    meanings.push(meaning);
    table.slots ??= new Uint16Array(SLOTS);
    table.slots[slotOf(table.slots, names, bytes, from, to)] = names.length;
  }
  return meaning;
}

function slotOf(
  slots: Uint16Array,
  names: readonly Buffer[],
  bytes: Buffer,
  from: number,
  to: number,
): number {
  let hash = 0;
  for (let i = from; i < to; i++) hash = Math.imul(hash, 31) + bytes[i]!;
  let slot = (Math.imul(hash, 0x9e3779b1) >>> 1) % SLOTS;
  while (slots[slot] !== 0 && !isSame(names[slots[slot]! - 1]!, bytes, from, to)) slot = (slot + 1) % SLOTS;
  return slot;
}

function isSame(name: Buffer, bytes: Buffer, from: number, to: number): boolean {
  const { length } = name;
  if (to - from !== length) return false;
  // names of one log differ at their ends
  for (let i = length - 1; i >= 0; i--) if (name[i] !== bytes[from + i]) return false;
  return true;
}
