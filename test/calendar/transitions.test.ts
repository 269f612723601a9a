import { Worker } from 'node:worker_threads';
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

  it('says what Intl writes, in every zone that the platform lists', () => {
    for (const zone of Intl.supportedValuesOf('timeZone')) {
      const format = new Intl.DateTimeFormat('en-US', { timeZone: zone, timeZoneName: 'longOffset' });
      for (const year of [1890, 1942, 1971, 2007, 2025]) {
        for (const { from, offset } of stretchesOf(zone)(year)) {
          const written = /GMT(?:([+-])(\d\d):(\d\d)(?::(\d\d))?)?$/.exec(format.format(from))!;
          const [sign, hours = 0, minutes = 0, seconds = 0] = written.slice(1);
          const size = 1000 * (3600 * Number(hours) + 60 * Number(minutes) + Number(seconds));
          expect({ zone, from, offset }).toEqual({ zone, from, offset: sign === '-' ? -size : size });
        }
      }
    }
  });

  it('leaves the process in its zone', () => {
    const before = process.env.TZ;
    try {
      for (const zone of [undefined, 'Asia/Kathmandu']) {
        delete process.env.TZ;
        if (zone !== undefined) process.env.TZ = zone;
        const shown = new Date(0).getHours();
        stretchesOf('Australia/Lord_Howe')(2025);
        expect({ zone: process.env.TZ, shown: new Date(0).getHours() }).toEqual({ zone, shown });
      }
    } finally {
      if (before === undefined) delete process.env.TZ;
      else process.env.TZ = before;
    }
  });

  it('finds the same in a worker thread, whose dates do not follow its zone', async () => {
    const file = new URL('../../dist/calendar/transitions.js', import.meta.url).href;
    const worker = new Worker(
      `import('${file}').then(({ stretchesOf }) => {
        require('node:worker_threads').parentPort.postMessage(stretchesOf('Australia/Lord_Howe')(2025));
      })`,
      { eval: true },
    );
    const found = await new Promise((resolve, reject) => {
      worker.once('message', resolve).once('error', reject);
    });
    expect(found).toEqual(stretchesOf('Australia/Lord_Howe')(2025));
  });

  it('has the new offset from the first second of the year on', () => {
    const last = stretchesOf('Europe/Lisbon')(1911).at(-1)!;
    const next = stretchesOf('Europe/Lisbon')(1912)[0]!;
    expect(last.offset).not.toBe(next.offset);
    expect(next.offset).toBe(0);
  });
});
