import { describe, expect, it } from 'vitest';
import { NOTHING_STATED } from '../../src/audit/limits.js';
import { Flag } from '../../src/log/flag.js';
import { HOUR } from '../../src/units.js';
import { auditOf } from './auditing.js';
import { changed, ordinary, rewritten } from './ordinary.js';

describe('limits that a site states', () => {
  const blip = changed(ordinary(), { 200: { temperature: 20 } });
  const still = rewritten(ordinary(1000), 300, 315, () => ({ temperature: 12.3, humidity: 66.6 }));
  const wet = rewritten(ordinary(2000), 300, 370, () => ({ humidity: 100 }));
  const step = rewritten(ordinary(), 200, 432, ({ temperature }) => ({ temperature: temperature + 9 }));

  it.each([
    {
      why: 'a wider spike',
      lines: blip,
      ownLimits: { spike: { airTemperature: 20, relativeHumidity: null } },
      before: Flag.questionable,
      after: Flag.good,
    },
    {
      why: 'a wider step',
      lines: step,
      ownLimits: { step: { airTemperature: 15, relativeHumidity: null } },
      before: Flag.questionable,
      after: Flag.good,
    },
    {
      why: 'a shorter flat line',
      lines: still,
      ownLimits: { flatLine: { questionable: HOUR, bad: null } },
      before: Flag.good,
      after: Flag.questionable,
    },
    {
      why: 'a flat line that is bad sooner',
      lines: still,
      ownLimits: { flatLine: { questionable: HOUR, bad: 2 * HOUR } },
      before: Flag.good,
      after: Flag.bad,
    },
  ])('$why', ({ lines, ownLimits, before, after }) => {
    const row = lines === still ? 310 : 200;
    const flagWith = (limits: object) =>
      auditOf(lines, { ownLimits: { ...NOTHING_STATED, ...limits } }).flags.temperature[row];
    expect(flagWith({})).toBe(before);
    expect(flagWith(ownLimits)).toBe(after);
  });

  it('a shorter time at the wet end, as for a room', () => {
    // 70 readings are 11 h 30 min
    expect(auditOf(wet).flags.humidity[310]).toBe(Flag.good);
    const room = { ...NOTHING_STATED, saturation: 6 * HOUR };
    expect(auditOf(wet, { ownLimits: room }).flags.humidity[310]).toBe(Flag.questionable);
  });
});
