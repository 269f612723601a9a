import { InputError } from './errors.js';

/** As far as it is used here; it came with the types of browsers only. */
declare const WebAssembly: {
  readonly Module: new (code: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: unknown };
};

/** Memory of machine code, to be had anew after it grew; a place in it, by a name that its source exports. */
export interface Memory {
  readonly buffer: ArrayBuffer;
  /** @param pages of 64 KiB */
  grow(pages: number): number;
}
export interface Place {
  readonly value: number;
}

/**
 * Makes WebAssembly ready to run.
 *
 * @param code in base64, as `.wasm.js` makes it
 * @returns what its source exports
 * @throws InputError where it cannot be run
 */
export function exportsOf<Exports extends { readonly memory: Memory }>(code: string): Exports {
  try {
    return new WebAssembly.Instance(new WebAssembly.Module(Buffer.from(code, 'base64'))).exports as Exports;
  } catch (error) {
    throw new InputError(
      `this Node does not run WebAssembly, which logs are worked out with (${error})`,
      {},
      'start it without --jitless; a processor without SIMD of 128 bits will not do',
    );
  }
}

const PAGE = 65_536;

/** The memory, after it grew to so many bytes where it had fewer. */
export function roomFor(memory: Memory, bytes: number): ArrayBuffer {
  const missing = bytes - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
  return memory.buffer;
}
