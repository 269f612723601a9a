import { BLOCK } from '../log/blocks.js';
import type { Celsius, Kelvin, Milliseconds } from '../units.js';
import { exportsOf, type Memory, type Place, roomFor } from '../wasm.js';
import { CODE } from './marginLook.wasm.js';
import { Most, Scale } from './marginTerms.js';

/** The look at a block of rows, and the memory that it works in: columns as `marginLook.as.ts` has them. */
export interface MarginLook {
  readonly time: Float64Array;
  readonly surface: Float64Array;
  readonly towards: Float64Array;
  readonly numbers: Uint32Array;
  readonly steps: Uint8Array;
  readonly codes: Uint16Array;
  readonly least: Int32Array;
  /** See `look` there. */
  look(
    count: number,
    bridge: Milliseconds,
    timeConstant: Milliseconds,
    levels: number,
    rounding: Kelvin,
  ): void;
}

/** Levels over one line that a surface is held against. */
export interface Levels {
  /** Deposit points by number [°C], known where those as measured are. */
  readonly line: Float64Array;
  /** How far above that they lie [K]. */
  readonly above: Float64Array;
}

type Places = Omit<MarginLook, 'look'> & Record<'picks' | 'aboves' | 'entries', unknown>;
type Exports = Pick<MarginLook, 'look'> & { readonly memory: Memory } & {
  readonly [name in keyof Places]: Place;
};

const WORD = 4;
let exported: Exports | null = null;

/**
 * There is one memory: whoever asks for it next has it.
 *
 * @param lines `Most.lines` with seven levels at most; the first is that of the deposit points as measured, NaN where
 *   there is none
 */
export function marginLook(lines: readonly Levels[]): MarginLook {
  exported ??= exportsOf<Exports>(CODE);
  const { memory, entries, look } = exported;
  const words = Most.lines * lines[0]!.line.length;
  const buffer = roomFor(memory, entries.value + WORD * words);
  const numbersAt = ({ value }: Place, length: number) => new Float64Array(buffer, value, length);
  const integersAt = ({ value }: Place, length: number) => new Int32Array(buffer, value, length);

  const kept = integersAt(entries, words);
  for (const [i, { line }] of lines.entries()) putLine(kept, line, i);
  const points = lines[0]!.line;
  for (let number = 0; number < points.length; number++)
    if (Number.isNaN(points[number]!)) kept[Most.lines * number] = Scale.missing;

  const levels = lines.flatMap(({ above }, i) => Array.from(above, (kelvins) => ({ i, kelvins })));
  integersAt(exported.aboves, 8).set(levels.map(({ kelvins }) => inSteps(kelvins)));
  new Uint8Array(buffer, exported.picks.value, 32).set(
    levels.flatMap(({ i }) => [0, 1, 2, 3].map((byte) => WORD * i + byte)),
  );
  return {
    time: numbersAt(exported.time, BLOCK + 1),
    surface: numbersAt(exported.surface, BLOCK + 1),
    towards: numbersAt(exported.towards, BLOCK + 1),
    numbers: new Uint32Array(buffer, exported.numbers.value, BLOCK + 1),
    steps: new Uint8Array(buffer, exported.steps.value, BLOCK),
    codes: new Uint16Array(buffer, exported.codes.value, BLOCK),
    least: integersAt(exported.least, BLOCK),
    look,
  };
}

function putLine(kept: Int32Array, line: Float64Array, i: number): void {
  for (let number = 0, at = i; number < line.length; number++, at += Most.lines)
    kept[at] = inSteps(line[number]!);
}

function inSteps(temperature: Celsius): number {
  return (Math.min(Math.max(temperature, -Scale.furthest), Scale.furthest) * Scale.perKelvin) | 0;
}
