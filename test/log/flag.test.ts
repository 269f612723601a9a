import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Flag, isFlag, isUsable, worse, worseThan } from '../../src/log/flag.js';

/** Best first: unset, not evaluated, good, questionable, bad, missing. */
const BY_GRAVITY = [0, Flag.notEvaluated, Flag.good, Flag.questionable, Flag.bad, Flag.missing];

describe('flags', () => {
  it('are the numbers of the primary scheme of IOC Manuals and Guides 54, volume 3', () => {
    expect(Flag).toEqual({ good: 1, notEvaluated: 2, questionable: 3, bad: 4, missing: 9 });
  });

  it('the worse of two is the one further down the list, whichever comes first', () => {
    BY_GRAVITY.forEach((one, i) => {
      BY_GRAVITY.forEach((other, j) => {
        expect(worse(one, other)).toBe(BY_GRAVITY[Math.max(i, j)]);
      });
    });
  });

  it.each([
    { flag: 1, is: true, usable: true },
    { flag: 2, is: true, usable: true },
    { flag: 3, is: true, usable: true },
    { flag: 4, is: true, usable: false },
    { flag: 9, is: true, usable: false },
    { flag: 0, is: false, usable: true },
  ])('$flag is a flag: $is, its value is usable: $usable', ({ flag, is, usable }) => {
    expect(isFlag(flag)).toBe(is);
    expect(isUsable(flag)).toBe(usable);
  });

  it.each([5, 8, 10, -1, 1.5, NaN])('%s is none', (number) => {
    expect(isFlag(number)).toBe(false);
  });

  it('the rows with a worse flag are found in stretches', () => {
    const flags = fc.array(fc.constantFrom(0, 1, 2, 3, 4, 9), { maxLength: 30 });
    const worst = fc.constantFrom(Flag.notEvaluated, Flag.questionable, Flag.bad);
    fc.assert(
      fc.property(flags, worst, (given, passed) => {
        const bounds = worseThan(Uint8Array.from(given), passed);
        const rows = [...given.keys()].filter((row) => {
          const at = bounds.findIndex((bound) => bound > row);
          return at >= 0 && at % 2 === 1;
        });
        expect(rows).toEqual([...given.keys()].filter((row) => given[row]! > passed));
        expect(new Set(bounds).size).toBe(bounds.length);
      }),
    );
  });
});
