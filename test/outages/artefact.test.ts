import { describe, expect, it } from 'vitest';
import { UTC, zoneNamed } from '../../src/calendar/zone.js';
import { artefactOf } from '../../src/outages/artefact.js';
import { HOUR, MINUTE } from '../../src/units.js';

const london = zoneNamed('Europe/London');
const autumn = Date.UTC(2025, 9, 26, 1);
const spring = Date.UTC(2025, 2, 30, 1);

describe('a hole made by the change of the clocks', () => {
  it('is the second pass of the repeated hour, in local stamps', () => {
    expect(artefactOf(autumn - MINUTE, autumn + HOUR, MINUTE, london, london)).toBe('repeated hour');
    expect(artefactOf(autumn - MINUTE, autumn + HOUR, MINUTE, null, london)).toBeNull();
  });

  it('is the skipped hour, in local stamps read as UTC', () => {
    expect(artefactOf(spring - MINUTE, spring + HOUR, MINUTE, UTC, london)).toBe('skipped hour');
    expect(artefactOf(spring - MINUTE, spring + HOUR, MINUTE, london, london)).toBeNull();
  });

  it.each([-2 * HOUR, -10 * MINUTE, 10 * MINUTE, 3 * HOUR])('is none that ends %d ms off', (off) => {
    expect(artefactOf(autumn - MINUTE, autumn + HOUR + off, MINUTE, london, london)).toBeNull();
  });

  it('is half an hour long on Lord Howe Island', () => {
    const zone = zoneNamed('Australia/Lord_Howe');
    const change = zone.changeBetween(Date.UTC(2025, 3, 1), Date.UTC(2025, 3, 10))!;
    expect(artefactOf(change - MINUTE, change + 30 * MINUTE, MINUTE, zone, zone)).toBe('repeated hour');
    expect(artefactOf(change - MINUTE, change + HOUR, MINUTE, zone, zone)).toBeNull();
  });
});
