import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatFolder } from '../../src/outages/beats.js';
import { HOUR, MINUTE, SECOND } from '../../src/units.js';
import { at, START } from './beating.js';

function fold(times: readonly number[], declared: number | null = MINUTE) {
  const folder = beatFolder(declared);
  for (const time of times) folder.take(time, null);
  return folder.result()!;
}

const minutes = (from: number, count: number, step = MINUTE) =>
  Array.from({ length: count }, (_, i) => from + i * step);

describe('beats folded as they pass', () => {
  it('gives nothing without a beat', () => {
    expect(beatFolder(null).result()).toBeNull();
  });

  it.each([
    { missed: 1, runs: 1 },
    { missed: 2, runs: 1 },
    { missed: 3, runs: 2 },
    { missed: 60, runs: 2 },
  ])('makes $runs of a hole of $missed beats', ({ missed, runs }) => {
    const beats = fold([...minutes(START, 30), ...minutes(START + (30 + missed) * MINUTE, 30)]);
    expect(beats.runs.length).toBe(runs);
    expect(beats.runs.reduce((sum, run) => sum + run.beats, 0)).toBe(60);
    expect(beats.runs.reduce((sum, run) => sum + run.due, 0)).toBe(runs === 1 ? 60 + missed : 60);
  });

  it('finds the cadence by itself, whether the pilot is full or not', () => {
    expect(fold(minutes(START, 20, 30 * SECOND), null).cadence).toBe(30 * SECOND);
    expect(fold(minutes(START, 2000, 5 * MINUTE), null).cadence).toBe(5 * MINUTE);
  });

  it('stores runs, not beats', () => {
    const { runs, hours } = fold(minutes(START, 525_600));
    expect(runs.length).toBe(1);
    expect(hours.size).toBe(8760);
  });

  const holey = fc
    .array(fc.record({ length: fc.integer({ min: 1, max: 40 }), hole: fc.integer({ min: 1, max: 9 }) }), {
      minLength: 1,
      maxLength: 8,
    })
    .map((parts) => {
      const times: number[] = [];
      let next = START;
      for (const { length, hole } of parts) {
        times.push(...minutes(next, length));
        next += (length + hole) * MINUTE;
      }
      return times;
    });
  const edges = (times: readonly number[]) => fold(times).runs.map(({ from, until }) => [from, until]);

  it('sees the same stretches whichever way the file runs', () => {
    fc.assert(
      fc.property(holey, (times) => {
        expect(edges(times.toReversed())).toEqual(edges(times));
      }),
    );
  });

  it('sees the same stretches in blocks that overlap or come late', () => {
    fc.assert(
      fc.property(holey, fc.nat(), fc.nat(), (times, a, b) => {
        const cut = a % times.length;
        const back = b % (cut + 1);
        expect(edges([...times.slice(cut - back), ...times.slice(0, cut)])).toEqual(edges(times));
      }),
    );
  });

  it('agrees with the plain walk over all beats', () => {
    fc.assert(
      fc.property(holey, (times) => {
        const slow: number[][] = [];
        times.forEach((time, i) => {
          const opens = i === 0 || time - times[i - 1]! > 3.5 * MINUTE;
          if (opens) slow.push([time, time]);
          else slow.at(-1)![1] = time;
        });
        expect(edges(times)).toEqual(slow);
      }),
    );
  });

  it('counts hours with single losses apart from one long silence', () => {
    const scattered = minutes(START, 60).filter((_, i) => i % 2 === 0);
    const { hours } = fold([...scattered, ...minutes(at(1), 20)]);
    expect(hours.get(START / HOUR)).toEqual({ beats: 30, losses: 30 });
    expect(hours.get(at(1) / HOUR)).toEqual({ beats: 20, losses: 1 });
  });
});

describe('quick restarts', () => {
  it('shows one by beats at another second that stay there', () => {
    const { restarts } = fold([...minutes(START + 10 * SECOND, 30), ...minutes(at(0, 31) + 35 * SECOND, 30)]);
    expect(restarts).toEqual([
      { since: at(0, 29) + 10 * SECOND, at: at(0, 31) + 35 * SECOND, sign: 'phase' },
    ]);
  });

  it('takes a single late line for none', () => {
    const late = minutes(START, 60).map((time, i) => (i === 30 ? time + 20 * SECOND : time));
    expect(fold(late).restarts).toEqual([]);
  });

  it('takes beats that always come a little later for none', () => {
    expect(fold(minutes(START, 2000, MINUTE + 400), MINUTE).restarts).toEqual([]);
  });

  it('believes the logger itself', () => {
    const folder = beatFolder(MINUTE);
    folder.take(START, null);
    folder.take(START + MINUTE, false);
    folder.take(START + 2 * MINUTE, true);
    expect(folder.result()!.restarts).toEqual([
      { since: START + MINUTE, at: START + 2 * MINUTE, sign: 'mark' },
    ]);
  });
});
