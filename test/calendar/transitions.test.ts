import { describe, expect, it } from 'vitest';
import { stretchesOf } from '../../src/calendar/transitions.js';
import { utc } from './zones.js';

describe('stretchesOf', () => {
  it.each([
    { zone: 'Europe/London', year: 2025, stretches: 3 },
    { zone: 'Africa/Casablanca', year: 2025, stretches: 3 },
    { zone: 'America/Noronha', year: 2000, stretches: 4 },
    { zone: 'Asia/Kathmandu', year: 2025, stretches: 1 },
    { zone: 'Asia/Kathmandu', year: 1985, stretches: 2 },
    // Portugal went over to UTC with the new year of 1912 (IANA time zone database)
    { zone: 'Europe/Lisbon', year: 1911, stretches: 1 },
    { zone: 'Europe/Lisbon', year: 1912, stretches: 1 },
  ])('$zone has $stretches in $year, without hole and none of them empty', ({ zone, year, stretches }) => {
    const found = stretchesOf(zone)(year);
    expect(found).toHaveLength(stretches);
    expect(found[0]!.from).toBe(utc(`${year}-01-01T00:00:00Z`));
    expect(found.at(-1)!.until).toBe(utc(`${year + 1}-01-01T00:00:00Z`));
    for (const [i, { from, until, offset }] of found.entries()) {
      expect(until).toBeGreaterThan(from);
      if (i === 0) continue;
      expect(from).toBe(found[i - 1]!.until);
      expect(offset).not.toBe(found[i - 1]!.offset);
    }
  });

  it('has the new offset from the first second of the year on', () => {
    const last = stretchesOf('Europe/Lisbon')(1911).at(-1)!;
    const next = stretchesOf('Europe/Lisbon')(1912)[0]!;
    expect(last.offset).not.toBe(next.offset);
    expect(next.offset).toBe(0);
  });
});
