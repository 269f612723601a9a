/** The command line as a table: what help, completion and the manual page all say. */
export interface CommandTable {
  /** The word that starts the program. */
  readonly program: string;
  readonly summary: string;
  readonly version: string;
  /** The program itself comes first, with an empty path. */
  readonly commands: readonly CommandEntry[];
}

export interface CommandEntry {
  /** Words after the program: none, `audit`, or `site init`. */
  readonly path: readonly string[];
  readonly summary: string;
  /** What follows the path. */
  readonly usage: string;
  readonly operands: readonly OperandEntry[];
  readonly options: readonly OptionEntry[];
  readonly examples: readonly (readonly [words: string, does: string])[];
  /** Words that lead further: the paths that begin with this one. */
  readonly next: readonly string[];
}

export interface OperandEntry {
  readonly name: string;
  readonly summary: string;
  readonly values: Values;
  readonly repeats: boolean;
}

export interface OptionEntry {
  /** `-o`, where there is one. */
  readonly short: string | null;
  /** `--output` */
  readonly long: string;
  /** Name of the value, null for an option without one. */
  readonly value: string | null;
  readonly values: Values;
  readonly summary: string;
  /** What holds without the option, as people write it. */
  readonly fallback: string | null;
  readonly group: string;
}

/** More words than these are written once, under the name of their value, where a command line is told word by word. */
const MANY = 30;

/** The long lists of words, by the name of the value that takes them. */
export function longLists({ commands }: CommandTable): ReadonlyMap<string, readonly string[]> {
  const options = commands.flatMap((command) => command.options);
  return new Map(
    options.flatMap(({ value, values }) =>
      value !== null && 'words' in values && values.words.length > MANY
        ? [[value, values.words] as const]
        : [],
    ),
  );
}

/** What may be written for a value: one of these words, several of them with commas between, these and others, a file, anything. */
export type Values =
  | { readonly kind: 'words' | 'list' | 'some'; readonly words: readonly string[] }
  | { readonly kind: 'file' | 'any' };
