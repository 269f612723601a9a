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
