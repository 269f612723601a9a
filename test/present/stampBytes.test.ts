import fc from 'fast-check';
import { expect, it, vi } from 'vitest';
import { formatInstant } from '../../src/calendar/print.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { setStamp, stampBytes } from '../../src/present/stampBytes.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const MINUTE = 60_000;

/** Instants one after the other, each as the writer wrote it. */
function written(zone: string, instants: Iterable<number>): string[] {
  const stamp = stampBytes(zoneNamed(zone));
  return Array.from(instants, (instant) => {
    setStamp(stamp, instant);
    return Buffer.from(stamp.bytes).toString('latin1', 0, stamp.length);
  });
}

const plain = (zone: string, instants: Iterable<number>) =>
  Array.from(instants, (instant) => formatInstant(instant, zoneNamed(zone)));

// with offsets of half an hour, of seconds, with a day that was skipped, with half an hour put forward
const ZONES = [
  'UTC',
  'Europe/London',
  '-03:30',
  'Asia/Kolkata',
  'Africa/Monrovia',
  'Pacific/Apia',
  'Australia/Lord_Howe',
];

it.each(ZONES)('writes a year in %s as formatInstant does', (zone) => {
  for (const year of [1971, 2011]) {
    const from = Date.UTC(year, 0, 1);
    const instants = Array.from({ length: 17_700 }, (_, i) => from + i * 30 * MINUTE);
    expect(written(zone, instants).join() === plain(zone, instants).join()).toBe(true);
  }
});

it('does so in any order, to the millisecond, and outside the years that have an answer', () => {
  const instant = fc.oneof(
    fc.constantFrom(
      Date.UTC(1500, 0, 1),
      Date.UTC(1583, 0, 1),
      Date.UTC(9999, 11, 31),
      Date.UTC(10_500, 0, 1),
    ),
    fc.integer({ min: Date.UTC(2011, 0, 1), max: Date.UTC(2013, 0, 1) }),
    fc.integer({ min: -600, max: 600 }).map((minute) => Date.UTC(2025, 9, 26, 1) + minute * MINUTE),
    fc.constant(Number.NaN),
  );
  fc.assert(
    fc.property(fc.constantFrom(...ZONES), fc.array(instant), (zone, instants) => {
      expect(written(zone, instants)).toEqual(plain(zone, instants));
    }),
    { numRuns: 300 },
  );
});
