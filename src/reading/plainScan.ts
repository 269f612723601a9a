import { exportsOf, type Memory, type Place } from '../wasm.js';
import { CODE } from './plainScan.wasm.js';
import { Most, State, type Stop } from './plainTerms.js';
import { EARLIEST, LATEST } from './stamp.js';

/**
 * The scan of plain lines, and the memory that it works in. There is one for all inputs, which take turns: an input that
 * has the turn puts in what its lines are like.
 */
export interface PlainScan {
  /** The whole memory: places in it are counted from its start. */
  readonly memory: Buffer;
  readonly view: DataView;
  readonly state: Int32Array;
  readonly kinds: Uint8Array;
  readonly slots: Int32Array;
  readonly clockEnds: Uint8Array;
  readonly stops: Uint8Array;
  readonly quotedStops: Uint8Array;
  readonly lastDate: Uint8Array;
  readonly lastOffset: Uint8Array;
  readonly lastMidnight: Float64Array;
  readonly ends: Int32Array;
  readonly stampLengths: Uint8Array;
  readonly values: Float64Array;
  readonly textFrom: Int32Array;
  readonly textTo: Int32Array;
  /** Where lines are to be put. */
  readonly bytes: number;
  /** See `scan` of `plainScan.as.ts`. */
  scan(row: number, from: number, column: number, cell: number, until: number): Stop;
}

/** Names of places in the memory. */
type Tables = Omit<PlainScan, 'memory' | 'view' | 'bytes' | 'scan'> & { readonly eras: unknown };
type Exports = Pick<PlainScan, 'scan'> & { readonly memory: Memory } & {
  readonly [name in keyof Tables | 'bytes']: Place;
};

let made: PlainScan | null = null;

export function plainScan(): PlainScan {
  made ??= instantiated();
  return made;
}

function instantiated(): PlainScan {
  const exported = exportsOf<Exports>(CODE);
  const { buffer } = exported.memory;
  const bytesOf = (name: keyof Tables, length: number) =>
    new Uint8Array(buffer, exported[name].value, length);
  const integersOf = (name: keyof Tables, length: number) =>
    new Int32Array(buffer, exported[name].value, length);
  const numbersOf = (name: keyof Tables, length: number) =>
    new Float64Array(buffer, exported[name].value, length);
  numbersOf('eras', 2).set([EARLIEST, LATEST]);
  return {
    memory: Buffer.from(buffer),
    view: new DataView(buffer),
    state: integersOf('state', State.words),
    kinds: bytesOf('kinds', Most.width),
    slots: integersOf('slots', Most.width),
    clockEnds: bytesOf('clockEnds', 256),
    stops: bytesOf('stops', 256),
    quotedStops: bytesOf('quotedStops', 256),
    lastDate: bytesOf('lastDate', 16),
    lastOffset: bytesOf('lastOffset', 16),
    lastMidnight: numbersOf('lastMidnight', 4),
    ends: integersOf('ends', Most.rows),
    stampLengths: bytesOf('stampLengths', Most.rows),
    values: numbersOf('values', Most.numbers / 8),
    textFrom: integersOf('textFrom', Most.texts / 4),
    textTo: integersOf('textTo', Most.texts / 4),
    bytes: exported.bytes.value,
    scan: exported.scan,
  };
}
