/**
 * Quality flags of a value, by the primary scheme of IOC Manuals and Guides 54, volume 3
 * (IODE vocabulary L34): 1 good, 2 not evaluated, 3 questionable or suspect, 4 bad, 9 missing.
 */
export const Flag = { good: 1, notEvaluated: 2, questionable: 3, bad: 4, missing: 9 } as const;
export type Flag = (typeof Flag)[keyof typeof Flag];

/** Missing says that there is no value at all, so it stands over every judgement of the value. */
const GRAVITY: Readonly<Record<number, number>> = { 0: 0, 2: 1, 1: 2, 3: 3, 4: 4, 9: 5 };

/** The worse of two flags. */
export function worse(a: number, b: number): number {
  return (GRAVITY[a] ?? 0) >= (GRAVITY[b] ?? 0) ? a : b;
}

export function isFlag(value: number): value is Flag {
  return value in GRAVITY && value !== 0;
}

/** Whether a value with this flag may enter a mean, an extreme or a duration. */
export function isUsable(flag: number): boolean {
  return flag !== Flag.bad && flag !== Flag.missing;
}

/** Flags that speak against a value; a number that is greater speaks against it more. */
const AGAINST = [Flag.questionable, Flag.bad, Flag.missing];

/**
 * Stretches of rows with a worse flag: the first of each and the one behind its last, by turns, ascending.
 *
 * @param worst that is passed over: bad and missing values are worse than questionable ones
 */
export function worseThan(flags: Uint8Array, worst: Flag): number[] {
  // a buffer looks for a byte ten times as fast as a typed array
  const bytes = Buffer.from(flags.buffer, flags.byteOffset, flags.length);
  const asked = AGAINST.filter((flag) => flag > worst);
  const next = asked.map((flag) => nextIn(bytes, flag, 0)); // the first row with each of them
  const stretches: number[] = [];
  for (let from = Math.min(...next); from < flags.length; from = Math.min(...next)) {
    let to = from + 1;
    while (to < flags.length && flags[to]! > worst) to++;
    stretches.push(from, to);
    for (let i = 0; i < next.length; i++) if (next[i]! < to) next[i] = nextIn(bytes, asked[i]!, to);
  }
  return stretches;
}

function nextIn(bytes: Buffer, flag: Flag, from: number): number {
  const row = bytes.indexOf(flag, from);
  return row < 0 ? bytes.length : row;
}
