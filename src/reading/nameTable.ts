import type { ByteText } from './encoding.js';

/** What cells of a few different texts stand for, found by their bytes without making a string of them. */
export interface NameTable<Meaning> {
  /** What bytes[from, to) stands for; null where that is not known (yet). */
  find(bytes: Buffer, from: number, to: number): Meaning | null;
}

/** No more different texts are kept: a column of measured values would fill the memory. */
const MOST_NAMES = 1 << 14;
const SLOTS = 2 * MOST_NAMES;

/** @param resolve what a text stands for; null is asked for again the next time */
export function nameTable<Meaning extends object | string | boolean>(
  resolve: (text: ByteText) => Meaning | null,
): NameTable<Meaning> {
  const names: Buffer[] = [];
  const meanings: Meaning[] = [];
  /** Number of a name from 1 on, by its hash and in the slots after it; made when the first name comes. */
  let slots: Uint16Array | null = null;
  let last = -1;

  function slotOf(bytes: Buffer, from: number, to: number): number {
    let hash = 0;
    for (let i = from; i < to; i++) hash = Math.imul(hash, 31) + bytes[i]!;
    let slot = (Math.imul(hash, 0x9e3779b1) >>> 1) % SLOTS;
    while (slots![slot] !== 0 && !isSame(names[slots![slot]! - 1]!, bytes, from, to))
      slot = (slot + 1) % SLOTS;
    return slot;
  }

  function known(bytes: Buffer, from: number, to: number): number {
    if (slots === null) return -1;
    return slots[slotOf(bytes, from, to)]! - 1;
  }

  function keep(bytes: Buffer, from: number, to: number, meaning: Meaning): void {
    names.push(Buffer.from(bytes.subarray(from, to)));
    meanings.push(meaning);
    slots ??= new Uint16Array(SLOTS);
    slots[slotOf(bytes, from, to)] = names.length;
  }

  return {
    find(bytes, from, to) {
      if (last >= 0 && isSame(names[last]!, bytes, from, to)) return meanings[last]!;
      const number = known(bytes, from, to);
      if (number >= 0) {
        last = number;
        return meanings[number]!;
      }
      const meaning = resolve(bytes.toString('latin1', from, to));
      if (meaning !== null && names.length < MOST_NAMES) {
        last = names.length;
        keep(bytes, from, to, meaning);
      }
      return meaning;
    },
  };
}

function isSame(name: Buffer, bytes: Buffer, from: number, to: number): boolean {
  const { length } = name;
  if (to - from !== length) return false;
  // names of one log differ at their ends
  for (let i = length - 1; i >= 0; i--) if (name[i] !== bytes[from + i]) return false;
  return true;
}
