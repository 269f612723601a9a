import { describe, expect, it } from 'vitest';
import { parseMoment } from '../../src/calendar/moment.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { InputError } from '../../src/errors.js';
import { utc } from './zones.js';

describe('parseMoment', () => {
  const London = 'Europe/London';
  it.each([
    { text: '2025-10-01T06:30:00+01:00', zone: 'UTC', is: '2025-10-01T05:30:00Z' },
    { text: '2025-10-01T06:30:00Z', zone: London, is: '2025-10-01T06:30:00Z' },
    { text: '2025-10-01t06:30:00z', zone: London, is: '2025-10-01T06:30:00Z' },
    { text: '2025-10-01 06:30-0330', zone: London, is: '2025-10-01T10:00:00Z' },
    { text: '2025-10-01T06:30', zone: London, is: '2025-10-01T05:30:00Z' },
    { text: '2025-10-01 06:30:15', zone: London, is: '2025-10-01T05:30:15Z' },
    { text: '2025-10-01', zone: London, is: '2025-09-30T23:00:00Z' },
    { text: '2025-10-01', zone: 'UTC', is: '2025-10-01T00:00:00Z' },
    { text: '2025-10-01', zone: 'Asia/Kathmandu', is: '2025-09-30T18:15:00Z' },
    { text: '2025-10-26 01:30', zone: London, is: '2025-10-26T00:30:00Z' }, // shown twice: the earlier
    { text: '2025-03-30 01:30', zone: London, is: '2025-03-30T01:00:00Z' }, // skipped: the jump
    { text: '2018-11-04', zone: 'America/Sao_Paulo', is: '2018-11-04T03:00:00Z' }, // midnight skipped
    { text: '2024-11-03', zone: 'America/Havana', is: '2024-11-03T04:00:00Z' }, // midnight twice
    { text: '2010-11-07', zone: 'America/St_Johns', is: '2010-11-07T02:30:00Z' }, // and left again
  ])('$text in $zone is $is', ({ text, zone, is }) => {
    expect(parseMoment(text, zoneNamed(zone))).toBe(utc(is));
  });

  it('cuts decimals to the millisecond', () => {
    const zone = zoneNamed('UTC');
    expect(parseMoment('2025-10-01T00:00:00.5Z', zone)).toBe(utc('2025-10-01T00:00:00Z') + 500);
    expect(parseMoment('2025-10-01 00:00:00.1239', zone)).toBe(utc('2025-10-01T00:00:00Z') + 123);
  });

  it.each([
    ...['', 'yesterday', '1759273200', '-5', '01/10/2025', '2025-10', '2025-W40', '2025-10-01T', '2025-1-1'],
    ...[
      '2025-02-30',
      '2025-13-01',
      '0000-00-00',
      '2025-10-01T24:00',
      '2025-10-01T12:60',
      '2016-12-31T23:59:60Z',
    ],
    ...['2025-10-01T06:30+24:00', '2025-10-01T06:30+01:60', '2025-10-01Z', '2025-10-01T06:30:00 UTC'],
    ...[' 2025-10-01', '2025-10-01 ', '2025-10-01\n'],
  ])('"%s" is refused with an example', (text) => {
    try {
      parseMoment(text, zoneNamed(London));
      expect.fail('not refused');
    } catch (error) {
      expect(error).toBeInstanceOf(InputError);
      expect((error as InputError).place.text).toBe(text);
      expect((error as InputError).advice).toMatch(/2025-10-01/);
    }
  });

  it('says why a bare number is refused', () => {
    expect(() => parseMoment('1759273200', zoneNamed('UTC'))).toThrow(/bare number/);
  });
});
