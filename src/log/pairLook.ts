import { exportsOf, type Memory, type Place as MemoryPlace, roomFor } from '../wasm.js';
import { BLOCK } from './blocks.js';
import { CODE } from './pairLook.wasm.js';
import { Most, Place } from './pairTerms.js';

/** What goes along the pairs of a log row by row, and the memory that it works in: columns as `pairLook.as.ts` has them. */
interface PairLook {
  readonly numbers: Uint32Array;
}

/** The look at where pairs have their places. */
export interface PlaceLook extends PairLook {
  readonly temperature: Float64Array;
  readonly humidity: Float64Array;
  readonly bounds: Int32Array;
  /** By place; all 0, as it should be left. */
  readonly met: Uint32Array;
  /** See there. */
  findPlaces(count: number): number;
}

/** The look at what hangs on pairs. */
export interface AreaLook extends PairLook {
  readonly time: Float64Array;
  readonly sums: Float64Array;
  /** By number the values of all tables. */
  readonly entries: Float64Array;
  /** See there. */
  sumAreas(count: number, length: number, skipped: number): void;
}

type Functions = Pick<PlaceLook, 'findPlaces'> & Pick<AreaLook, 'sumAreas'>;
type Exports = Functions & { readonly memory: Memory } & {
  readonly [name in
    | 'temperature'
    | 'humidity'
    | 'bounds'
    | 'numbers'
    | 'time'
    | 'sums'
    | 'table']: MemoryPlace;
};

// there is one memory: whoever asks for it next has it
let exported: Exports | null = null;
/** Entries that were put where places are to be. */
let left = 0;

const numbersAt = (buffer: ArrayBuffer, { value }: MemoryPlace, length: number) =>
  new Float64Array(buffer, value, length);
const integersAt = (buffer: ArrayBuffer, { value }: MemoryPlace, length: number) =>
  new Uint32Array(buffer, value, length);

export function placeLook(): PlaceLook {
  exported ??= exportsOf<Exports>(CODE);
  const { memory, table, temperature, humidity, numbers, bounds, findPlaces } = exported;
  const buffer = roomFor(memory, table.value + 4 * Place.count);
  numbersAt(buffer, table, left).fill(0);
  left = 0;
  return {
    temperature: numbersAt(buffer, temperature, BLOCK),
    humidity: numbersAt(buffer, humidity, BLOCK),
    numbers: integersAt(buffer, numbers, BLOCK),
    bounds: new Int32Array(buffer, bounds.value, 2),
    met: integersAt(buffer, table, Place.count),
    findPlaces,
  };
}

/** @param entries numbers that there is to be room for */
export function areaLook(entries: number): AreaLook {
  exported ??= exportsOf<Exports>(CODE);
  const { memory, table, numbers, time, sums, sumAreas } = exported;
  // the last entry is read beyond its end
  const buffer = roomFor(memory, table.value + 8 * (entries + Most.tables));
  left = Math.max(left, entries);
  return {
    numbers: integersAt(buffer, numbers, BLOCK + 1),
    time: numbersAt(buffer, time, BLOCK + 1),
    sums: numbersAt(buffer, sums, Most.tables),
    entries: numbersAt(buffer, table, entries),
    sumAreas,
  };
}
