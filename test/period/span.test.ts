import { describe, expect, it } from 'vitest';
import { parseMoment } from '../../src/calendar/moment.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { summariseCivil } from '../../src/period/civil.js';
import { cutDown, summariseSpan } from '../../src/period/span.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { sampled } from './logOf.js';

const london = zoneNamed('Europe/London');
const at = (text: string) => parseMoment(text, london);
const BRIDGE = { bridge: HOUR };
const log = sampled(at('2025-09-30'), at('2025-12-02'), 30 * MINUTE, (time) => [
  10 + 5 * Math.sin((2 * Math.PI * time) / DAY),
  60,
]);

describe('summary of a stretch', () => {
  it.each([
    ['day', '2025-10-27', '2025-10-28'],
    ['day', '2025-10-26', '2025-10-27'],
    ['week', '2025-10-20', '2025-10-27'],
    ['month', '2025-10-01', '2025-11-01'],
  ] as const)('that is a civil %s is that of the %s', (kind, from, until) => {
    const span = { start: at(from), end: at(until) };
    const { whole, days } = summariseSpan(log, span, london, BRIDGE);
    expect([whole]).toEqual(summariseCivil(log, kind, span.start, span.end, london, BRIDGE));
    expect(days).toEqual(summariseCivil(log, 'day', span.start, span.end, london, BRIDGE));
  });

  it('that begins and ends in the middle of days has these days cut, and they tile it', () => {
    const span = { start: at('2025-10-20 07:00'), end: at('2025-10-27 07:00') };
    const { whole, days } = summariseSpan(log, span, london, BRIDGE);
    expect(days).toHaveLength(8);
    expect(days[0]!.period).toEqual({ start: span.start, end: at('2025-10-21') });
    expect(days.at(-1)!.period).toEqual({ start: at('2025-10-27'), end: span.end });
    expect(days.reduce((sum, day) => sum + day.airTemperature.covered, 0)).toBe(span.end - span.start);
    expect(whole.airTemperature.completeness).toBe('complete');
  });

  it('longer than a month is judged by its months', () => {
    const whole = summariseSpan(log, { start: at('2025-10-01'), end: at('2025-12-01') }, london, BRIDGE);
    expect(whole.whole.airTemperature.completeness).toBe('complete');
    const beyond = summariseSpan(log, { start: at('2025-10-01'), end: at('2026-01-01') }, london, BRIDGE);
    expect(beyond.whole.airTemperature.completeness).toBe('bounded');
    expect(beyond.whole.airTemperature.mean).toBeNaN();
  });
});

it('civil periods of a stretch end where it ends', () => {
  const span = { start: at('2025-10-25 12:00'), end: at('2025-11-02 06:00') };
  const months = cutDown('month', span, london);
  expect(months).toEqual([
    { start: span.start, end: at('2025-11-01') },
    { start: at('2025-11-01'), end: span.end },
  ]);
});
