import fc from 'fast-check';
import { expect, it } from 'vitest';
import { lagging } from '../../src/damp/lagging.js';
import { valueAt } from '../../src/damp/relaxation.js';
import { stretchOf } from '../../src/damp/surfaceTemperature.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { randomLog } from '../period/randomLog.js';

it('is the exact course from reading to reading, whatever the steps between them', () => {
  fc.assert(
    fc.property(randomLog, fc.integer({ min: 1, max: 3000 }), ({ time, temperature }, tau) => {
      const timeConstant = tau * MINUTE;
      const carried = Math.max(2 * HOUR, timeConstant / 2);
      const { values, starts, settledFrom } = lagging(time, temperature, timeConstant, HOUR);
      const good = [...time.keys()].filter((i) => !Number.isNaN(temperature[i]!));
      good.forEach((i, k) => {
        const last = good[k - 1];
        if (last === undefined || time[i]! - time[last]! > carried) {
          expect(values[i]).toBe(temperature[i]);
          expect(settledFrom[stretchOf(starts, i)]).toBe(time[i]! + 3 * timeConstant);
          return;
        }
        const step = time[i]! - time[last]!;
        const slope = (temperature[i]! - temperature[last]!) / step;
        const bend = values[last]! - temperature[last]! + slope * timeConstant;
        expect(values[i]).toBeCloseTo(valueAt(step, values[last]!, slope, bend, timeConstant), 9);
        expect(stretchOf(starts, i)).toBe(stretchOf(starts, last));
      });
      for (const i of time.keys()) expect(Number.isNaN(values[i]!)).toBe(Number.isNaN(temperature[i]!));
    }),
  );
});
