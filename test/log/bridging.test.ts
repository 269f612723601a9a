import { describe, expect, it } from 'vitest';
import { rowsTelling } from '../../src/log/bridging.js';

const time = Float64Array.of(0, 10, 20, 30, 40, 50, 60);

describe('rowsTelling', () => {
  it('takes the rows of the periods and those that may be joined to them', () => {
    expect(rowsTelling(time, [{ start: 25, end: 35 }], 10)).toEqual({ first: 2, end: 5 });
    const two = [
      { start: 20, end: 30 },
      { start: 30, end: 40 },
    ];
    expect(rowsTelling(time, two, 10)).toEqual({ first: 1, end: 6 });
  });

  it('takes both ends of a bridge over all the periods', () => {
    expect(rowsTelling(time, [{ start: 31, end: 32 }], 10)).toEqual({ first: 3, end: 5 });
  });

  it('takes none without a period, and all for a period around them', () => {
    expect(rowsTelling(time, [], 10)).toEqual({ first: 0, end: 0 });
    expect(rowsTelling(time, [{ start: -5, end: 99 }], 10)).toEqual({ first: 0, end: 7 });
  });
});
