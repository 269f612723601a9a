import { describe, expect, it } from 'vitest';
import { zoneNamed } from '../../src/calendar/zone.js';
import { summariseCivil } from '../../src/period/civil.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { sampled } from './logOf.js';

const London = zoneNamed('Europe/London');
const options = { bridge: HOUR };
/** October 2025 in London: summer time until the 26th. */
const from = Date.UTC(2025, 8, 30, 23);
const until = Date.UTC(2025, 10, 1);

describe('summariseCivil', () => {
  const log = sampled(from, until, 30 * MINUTE, () => [10, 80]);

  it('gives the autumn day its 25 hours', () => {
    const days = summariseCivil(log, 'day', from, until, London, options);
    expect(days).toHaveLength(31);
    expect(days[25]).toMatchObject({ readings: 50, both: { covered: 25 * HOUR, completeness: 'complete' } });
  });

  it('judges the month by its days, the year by its months', () => {
    const [month] = summariseCivil(log, 'month', from, until, London, options);
    expect(month!.airTemperature).toMatchObject({ completeness: 'complete', mean: 10 });
    const [year] = summariseCivil(log, 'year', from, until, London, options);
    expect(year!.airTemperature).toMatchObject({ completeness: 'bounded', mean: NaN, min: 10 });
  });

  it('gives nothing for an empty span before it starts', () => {
    expect(summariseCivil(log, 'month', until, from, London, options)).toEqual([]);
  });
});
