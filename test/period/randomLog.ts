import fc from 'fast-check';
import { MINUTE } from '../../src/units.js';
import { logOf, type Row } from './logOf.js';

const value = (min: number, max: number) =>
  fc.oneof(
    { arbitrary: fc.integer({ min: min * 10, max: max * 10 }).map((tenths) => tenths / 10), weight: 6 },
    { arbitrary: fc.constant(NaN), weight: 1 },
  );

/** Readings 1 to 60 min apart with now and then a hole of hours, values missing here and there, air often damp. */
export const randomLog = fc
  .array(
    fc.record({
      step: fc.oneof(
        { arbitrary: fc.integer({ min: 1, max: 60 }), weight: 8 },
        { arbitrary: fc.integer({ min: 60, max: 600 }), weight: 1 },
      ),
      temperature: value(-6, 12),
      humidity: value(85, 104),
    }),
    { maxLength: 40 },
  )
  .map((readings) => {
    let time = 0;
    const rows = readings.map(({ step, temperature, humidity }): Row => {
      time += step * MINUTE;
      return [time, temperature, humidity];
    });
    return logOf(rows);
  });

/** Periods that tile the first two days or so, some longer than the log, some within one interval. */
export const randomPeriods = fc
  .uniqueArray(fc.integer({ min: -600, max: 3000 }), { minLength: 2, maxLength: 12 })
  .map((bounds) => {
    const sorted = bounds.sort((a, b) => a - b).map((bound) => bound * MINUTE);
    return sorted.slice(1).map((end, i) => ({ start: sorted[i]!, end }));
  });
