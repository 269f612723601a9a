import { exportsOf, type Memory, type Place as MemoryPlace, roomFor } from '../wasm.js';
import { BLOCK } from './blocks.js';
import { CODE } from './pairLook.wasm.js';
import { Most, Place } from './pairTerms.js';

/** What goes along the pairs of a log row by row, and the memory that it works in: columns as `pairLook.as.ts` has them. */
export interface PairLook {
  readonly temperature: Float64Array;
  readonly humidity: Float64Array;
  readonly numbers: Uint32Array;
  readonly time: Float64Array;
  readonly bounds: Int32Array;
  readonly met: Uint32Array;
  readonly sums: Float64Array;
  readonly entries: Float64Array;
  /** See these there. */
  findPlaces(count: number): number;
  sumAreas(count: number, length: number, skipped: number): void;
}

type Functions = Pick<PairLook, 'findPlaces' | 'sumAreas'>;
type Exports = Functions & { readonly memory: Memory } & {
  readonly [name in Exclude<keyof PairLook, keyof Functions>]: MemoryPlace;
};

let exported: Exports | null = null;

/**
 * There is one memory: whoever asks for it next has it.
 *
 * @param entries numbers that there is to be room for
 */
export function pairLook(entries = 0): PairLook {
  exported ??= exportsOf<Exports>(CODE);
  const { findPlaces, sumAreas } = exported;
  // the last entry is read beyond its end
  const buffer = roomFor(exported.memory, exported.entries.value + 8 * (entries + Most.tables));
  const numbersAt = ({ value }: MemoryPlace, length: number) => new Float64Array(buffer, value, length);
  const integersAt = ({ value }: MemoryPlace, length: number) => new Uint32Array(buffer, value, length);
  return {
    temperature: numbersAt(exported.temperature, BLOCK),
    humidity: numbersAt(exported.humidity, BLOCK),
    numbers: integersAt(exported.numbers, BLOCK + 1),
    time: numbersAt(exported.time, BLOCK + 1),
    bounds: new Int32Array(buffer, exported.bounds.value, 2),
    met: integersAt(exported.met, Place.count),
    sums: numbersAt(exported.sums, Most.tables),
    entries: numbersAt(exported.entries, entries),
    findPlaces,
    sumAreas,
  };
}
