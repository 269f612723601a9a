import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import type { CheckName } from '../../src/log/finding.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { LONDON, readOne } from '../reading/reading.js';
import { SETTINGS } from './auditing.js';

/** When the clocks of Europe/London went forward and back in 2025 (IANA zone data). */
const SPRING = Date.UTC(2025, 2, 30, 1);
const AUTUMN = Date.UTC(2025, 9, 26, 1);
const UTC = zoneNamed('UTC');
const BERLIN = zoneNamed('Europe/Berlin');

/** Instants every so many minutes, half a day before a change and after it, without those of some hours after it. */
const around = (change: number, step: number, without?: readonly [from: number, until: number]) =>
  Array.from({ length: (24 * 60) / step }, (_, i) => change - 12 * HOUR + i * step * MINUTE).filter(
    (instant) =>
      without === undefined || instant < change + without[0] * HOUR || instant >= change + without[1] * HOUR,
  );
const utc = (instant: number) => `${new Date(instant).toISOString()}`;
/** What a clock in London shows. */
const wall = (instant: number) => new Date(instant + LONDON.offsetAt(instant)).toISOString().slice(0, 19);
/** What a clock shows that stays on winter time. */
const winter = (instant: number) => new Date(instant).toISOString().slice(0, 19);

async function found(instants: readonly number[], stamp: (instant: number) => string, zone = LONDON) {
  const rows = instants.map((instant, i) => `${stamp(instant)},${15 + (i % 7) / 10},6${i % 5}.0`);
  const reading = await readOne(`time,temp,rh\n${rows.join('\n')}\n`, { zone });
  const told: readonly CheckName[] = ['daylight_saving', 'gap', 'conflict', 'clock'];
  return audit(reading, { ...SETTINGS, zone }).findings.filter(({ check }) => told.includes(check));
}

describe('a hole that is just an hour of the change', () => {
  it('is seen at the pace of that time, in a log that came slower before', async () => {
    const slow = Array.from({ length: 480 }, (_, i) => SPRING - (12 + 480 - i) * HOUR);
    const findings = await found([...slow, ...around(SPRING, 10, [0, 1])], utc);
    expect(findings).toMatchObject([
      { check: 'daylight_saving', from: SPRING - 10 * MINUTE, until: SPRING + HOUR },
    ]);
  });

  it.each([
    {
      why: 'the skipped one',
      change: SPRING,
      without: [0, 1],
      stamp: utc,
      said: 'hour that the clocks skip',
    },
    { why: 'the second pass', change: AUTUMN, without: [0, 1], stamp: utc, said: 'the second pass' },
    { why: 'the first pass', change: AUTUMN, without: [-1, 0], stamp: utc, said: 'the first pass' },
    {
      why: 'the second pass, in local time',
      change: AUTUMN,
      without: [0, 1],
      stamp: wall,
      said: 'the second pass',
    },
  ] as const)('$why is told as that, not as a gap', async ({ change, without, stamp, said }) => {
    for (const step of [5, 10, 30]) {
      const findings = await found(around(change, step, without), stamp);
      expect(findings).toMatchObject([
        {
          check: 'daylight_saving',
          severity: 'warning',
          from: change + without[0] * HOUR - step * MINUTE,
          until: change + without[1] * HOUR,
          count: 1,
          confidence: 'likely',
          message: expect.stringContaining(said),
        },
      ]);
    }
  });

  it('is known by a cadence of a little more than half of it', async () => {
    const instants = Array.from({ length: 48 }, (_, i) => SPRING + 2.5 * MINUTE + (i - 24) * 30.05 * MINUTE);
    const hole = instants.filter((instant) => instant < SPRING || instant >= SPRING + HOUR);
    expect(instants.length - hole.length).toBe(2);
    expect(await found(hole, utc)).toMatchObject([{ check: 'daylight_saving', count: 1 }]);
  });

  it('may be the hour in UTC that reads like the skipped one', async () => {
    const findings = await found(around(SPRING, 10, [1, 2]), utc, BERLIN);
    expect(findings).toMatchObject([
      {
        check: 'daylight_saving',
        from: SPRING + HOUR - 10 * MINUTE,
        until: SPRING + 2 * HOUR,
        confidence: 'possible',
        message: expect.stringContaining('refused stamps in UTC'),
      },
    ]);
    // in London that is the hour after it, and no hour at all
    expect(await found(around(SPRING, 10, [1, 2]), utc)).toMatchObject([{ check: 'gap' }]);
    expect(await found(around(SPRING, 10, [2, 3]), utc, BERLIN)).toMatchObject([{ check: 'gap' }]);
  });

  it.each([
    { why: 'a reading more is missing', change: SPRING, step: 10, without: [0, 7 / 6 + 0.05] },
    { why: 'a reading more is missing in front', change: SPRING, step: 10, without: [-1 / 6 - 0.05, 1] },
    { why: 'half of it', change: AUTUMN, step: 10, without: [0, 0.5] },
    { why: 'both passes', change: AUTUMN, step: 10, without: [-1, 1] },
    { why: 'the hour before the skipped one', change: SPRING, step: 10, without: [-1, 0] },
    { why: 'another day', change: SPRING + 3 * HOUR, step: 10, without: [0, 1] },
    { why: 'one reading in it', change: SPRING, step: 60, without: [0, 1] },
  ] as const)('is a gap where it is not: $why', async ({ change, step, without }) => {
    const findings = await found(around(change, step, without), utc);
    expect(findings.map(({ check }) => check)).toEqual(['gap']);
  });

  it('no change leaves one in a log that follows it', async () => {
    for (const change of [SPRING, AUTUMN]) expect(await found(around(change, 10), wall)).toEqual([]);
  });
});

describe('a logger that keeps winter time', () => {
  it('goes on through the skipped hour: say what offset it keeps, and how far the summer is off', async () => {
    const [finding, ...others] = await found(around(SPRING, 10), winter);
    expect(finding).toMatchObject({
      check: 'daylight_saving',
      severity: 'error',
      count: 6,
      confidence: 'certain',
    });
    expect(finding!.message).toBe(
      '6 lines stamped in an hour that did not exist in Europe/London; the logger keeps fixed time, ' +
        'all stamps of the summer are 1 h off: read it with --zone +00:00',
    );
    expect(others).toEqual([]);
  });

  it('in another zone', async () => {
    const berlin = (instant: number) => new Date(instant + HOUR).toISOString().slice(0, 19);
    const [finding] = await found(around(SPRING, 10), berlin, BERLIN);
    expect(finding!.message).toMatch(/read it with --zone \+01:00$/);
  });

  it.each([
    { lines: 4, says: false },
    { lines: 3, says: false },
    { lines: 6, says: true },
  ])('is not sure of by $lines of 10 lines due', async ({ lines, says }) => {
    const instants = around(SPRING, 6).filter(
      (instant) => instant < SPRING + lines * 6 * MINUTE || instant >= SPRING + HOUR,
    );
    const [finding] = await found(instants, winter);
    expect(finding!.message.includes('the logger keeps fixed time, all')).toBe(says);
    expect(finding!.message.includes('if the logger keeps fixed time')).toBe(!says);
  });

  it('explains the hole in autumn too', async () => {
    const instants = [...around(SPRING, 10), ...around(AUTUMN, 10)];
    const findings = (await found(instants, winter)).filter(({ from }) => from! > SPRING + 24 * HOUR);
    expect(findings).toMatchObject([
      { check: 'daylight_saving', message: expect.stringMatching(/: the logger keeps fixed time$/) },
    ]);
  });

  it('read with its own offset has nothing to tell', async () => {
    for (const change of [SPRING, AUTUMN]) expect(await found(around(change, 10), winter, UTC)).toEqual([]);
  });
});
