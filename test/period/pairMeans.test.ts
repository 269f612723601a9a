import { describe, expect, it } from 'vitest';
import { pairsOf, tableOf } from '../../src/log/pairs.js';
import { pairMeans } from '../../src/period/pairMeans.js';
import { MINUTE } from '../../src/units.js';
import { minutes, sampled, tiles } from './logOf.js';

/** Air in tenths for a while, with readings that lack a value, and not in tenths for as long. */
function air(time: number): readonly [number, number] {
  const i = time / MINUTE;
  const t = Math.round(100 * Math.sin(i / 300)) / 10;
  const u = 60 + Math.round(300 * Math.cos(i / 170)) / 10;
  if (i % 977 === 5) return [t, Number.NaN];
  return i < 9000 ? [t, u] : [t + 0.013, u];
}

/** Readings every minute, and one period that is longer than what is summed in one go. */
const LOG = sampled(0, minutes(18_000), MINUTE, air);
const PERIODS = tiles(0, minutes(100), minutes(12_500), minutes(17_999.5));

/** The mean on the straight lines between joined readings, reading by reading. */
function meanOf(
  of: (t: number, u: number) => number,
  { start, end }: { start: number; end: number },
): number {
  let area = 0;
  let length = 0;
  let before = -1;
  for (let row = 0; row < LOG.length; row++) {
    if (Number.isNaN(LOG.temperature[row]! + LOG.humidity[row]!)) continue;
    const at = (i: number) => of(LOG.temperature[i]!, LOG.humidity[i]!);
    if (before >= 0) {
      const [a, b] = [LOG.time[before]!, LOG.time[row]!];
      const [from, until] = [Math.max(a, start), Math.min(b, end)];
      const value = (time: number) => at(before) + ((at(row) - at(before)) * (time - a)) / (b - a);
      if (until > from) {
        area += ((value(from) + value(until)) / 2) * (until - from);
        length += until - from;
      }
    }
    before = row;
  }
  return area / length;
}

describe('pairMeans', () => {
  it.each([1, 2, 5, 8, 9, 17])('tells the mean of %i quantities over the straight lines', (width) => {
    const quantities = Array.from(
      { length: width },
      (_, i) => (t: number, u: number) => t * (i + 1) + u / (i + 1),
    );
    const pairs = pairsOf(LOG);
    const tables = quantities.map((of) => tableOf(pairs, of));
    const { means } = pairMeans(LOG, tables, PERIODS, minutes(3));
    for (const [i, of] of quantities.entries()) {
      for (const [p, period] of PERIODS.entries()) expect(means[i]![p]).toBeCloseTo(meanOf(of, period), 9);
    }
  });

  it('gives every log its own pairs, whatever others came before', () => {
    const other = sampled(0, minutes(12_000), MINUTE, (time) => [20 + (time % 7) / 10, 50]);
    const before = pairsOf({ ...LOG });
    pairsOf(other);
    const after = pairsOf({ ...LOG });
    expect(after.count).toBe(before.count);
    expect(after.of).toEqual(before.of);
    expect(after.temperature).toEqual(before.temperature);
  });
});
