import { describe, expect, it } from 'vitest';
import { add, close, tally } from '../../src/period/stretches.js';
import { tiles } from './logOf.js';

const account = (...stretches: (readonly [number, number])[]) => {
  const sum = tally(tiles(0, 10, 20, 30));
  for (const [from, until] of stretches) add(sum, from, until);
  close(sum);
  return { time: [...sum.time], count: [...sum.count], longest: [...sum.longest] };
};

describe('tally', () => {
  it.each([
    { why: 'nothing', stretches: [], time: [0, 0, 0], count: [0, 0, 0], longest: [0, 0, 0] },
    {
      why: 'cut at both ends',
      stretches: [[-5, 35]],
      time: [10, 10, 10],
      count: [1, 1, 1],
      longest: [10, 10, 10],
    },
    {
      why: 'touching is one',
      stretches: [
        [1, 3],
        [3, 6],
      ],
      time: [5, 0, 0],
      count: [1, 0, 0],
      longest: [5, 0, 0],
    },
    {
      why: 'apart is two',
      stretches: [
        [1, 3],
        [4, 6],
      ],
      time: [4, 0, 0],
      count: [2, 0, 0],
      longest: [2, 0, 0],
    },
    {
      why: 'overlapping counts once',
      stretches: [
        [1, 5],
        [3, 4],
        [4, 6],
      ],
      time: [5, 0, 0],
      count: [1, 0, 0],
      longest: [5, 0, 0],
    },
    {
      why: 'empty is nothing',
      stretches: [
        [4, 4],
        [6, 5],
      ],
      time: [0, 0, 0],
      count: [0, 0, 0],
      longest: [0, 0, 0],
    },
    {
      why: 'over an end',
      stretches: [
        [8, 13],
        [14, 15],
      ],
      time: [2, 4, 0],
      count: [1, 2, 0],
      longest: [2, 3, 0],
    },
    {
      why: 'ends where a period starts',
      stretches: [[8, 10]],
      time: [2, 0, 0],
      count: [1, 0, 0],
      longest: [2, 0, 0],
    },
    {
      why: 'without end',
      stretches: [[25, Infinity]],
      time: [0, 0, 5],
      count: [0, 0, 1],
      longest: [0, 0, 5],
    },
  ] as const)('$why', ({ stretches, time, count, longest }) => {
    expect(account(...stretches)).toEqual({ time, count, longest });
  });
});
