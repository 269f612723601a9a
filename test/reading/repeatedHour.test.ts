import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { zoneNamed } from '../../src/calendar/zone.js';
import { lineNumbers } from '../log/lineNumbers.js';
import { LONDON, read, readOne } from './reading.js';

const MINUTE = 60_000;
const DAY_START = Date.UTC(2025, 9, 25, 23);
const DAY_END = Date.UTC(2025, 9, 27);
/** London's clocks went back at 01:00 UTC, so 00:00 to 02:00 UTC show 01:00 to 02:00 twice. */
const FIRST = Date.UTC(2025, 9, 26, 0);
const SECOND = Date.UTC(2025, 9, 26, 1);
const AFTER = Date.UTC(2025, 9, 26, 2);

const wall = (instant: number, zone = LONDON) =>
  new Date(instant + zone.offsetAt(instant)).toISOString().slice(0, 16).replace('T', ' ');
const every = (minutes: number, from = DAY_START, until = DAY_END) =>
  Array.from(
    { length: Math.ceil((until - from) / (minutes * MINUTE)) },
    (_, i) => from + i * minutes * MINUTE,
  );

/** The instants that a file gets whose lines carry the wall times of these instants, in this order. */
async function placed(instants: readonly number[], zone = LONDON): Promise<number[]> {
  const text = `time,temp,rh\n${instants.map((instant) => `${wall(instant, zone)},20.1,50.1\n`).join('')}`;
  const { log } = await readOne(text, { zone });
  const at = new Map(lineNumbers(log.lines).map((line, row) => [line, log.time[row]!]));
  return instants.map((_, i) => at.get(i + 2)!);
}

const without = (from: number, until: number) => (instant: number) => instant < from || instant >= until;
/** The reading of one instant moved behind that of another. */
function late(instants: readonly number[], which: number, behind: number): number[] {
  const rest = instants.filter((instant) => instant !== which);
  rest.splice(rest.indexOf(behind) + 1, 0, which);
  return rest;
}
const byWall = (instants: readonly number[]) =>
  instants.toSorted((a, b) => wall(a).localeCompare(wall(b)) || a - b);

describe.each([30, 10, 1])('the hour that comes twice, every %i min', (minutes) => {
  const step = minutes * MINUTE;
  const day = every(minutes);

  it.each([
    { why: 'both passes', instants: day },
    { why: 'newest first', instants: day.toReversed() },
    { why: 'every line twice', instants: day.flatMap((instant) => [instant, instant]) },
    { why: 'one line twice in the first pass', instants: day.flatMap((x) => (x === FIRST ? [x, x] : [x])) },
    { why: 'one line twice in the second pass', instants: day.flatMap((x) => (x === SECOND ? [x, x] : [x])) },
    { why: 'sorted by local time', instants: byWall(day) },
    { why: 'the end of the first pass missing', instants: day.filter((x) => x !== SECOND - step) },
    { why: 'the start of the second pass missing', instants: day.filter((x) => x !== SECOND) },
    { why: 'the second pass missing', instants: day.filter(without(SECOND, AFTER)) },
    { why: 'the log ends with the first pass', instants: every(minutes, DAY_START, SECOND) },
    { why: 'the log ends with the second pass', instants: every(minutes, DAY_START, AFTER) },
    { why: 'the log begins with the first pass', instants: every(minutes, FIRST) },
    { why: 'the log begins with the second pass', instants: every(minutes, SECOND) },
    { why: 'an earlier reading late in the first pass', instants: late(day, FIRST - step, FIRST) },
    { why: 'an earlier reading late between the passes', instants: late(day, FIRST - step, SECOND - step) },
    { why: 'an earlier reading late in the second pass', instants: late(day, FIRST - step, SECOND) },
    { why: 'a reading of the first pass late by one', instants: late(day, FIRST, FIRST + step) },
    { why: 'a reading of the second pass late by one', instants: late(day, SECOND, SECOND + step) },
    { why: 'a reading of the first pass hours late', instants: late(day, FIRST, AFTER + 4 * step) },
    { why: 'a reading of the second pass hours late', instants: late(day, SECOND, AFTER + 4 * step) },
  ])('$why', async ({ instants }) => {
    expect((await placed(instants)).map(show)).toEqual(instants.map(show));
  });
});

describe.each([10, 1])('holes in it, every %i min', (minutes) => {
  const day = every(minutes);
  const minute = (m: number) => FIRST + m * MINUTE;
  it.each([
    { why: 'over the change', instants: day.filter(without(minute(40), minute(80))) },
    { why: 'at the start of the second pass', instants: day.filter(without(SECOND, minute(100))) },
    {
      why: 'in an export sorted by local time',
      instants: byWall(day.filter((x) => x !== minute(70) && x !== minute(90))),
    },
  ])('$why', async ({ instants }) => {
    expect((await placed(instants)).map(show)).toEqual(instants.map(show));
  });
});

const show = (instant: number) => new Date(instant).toISOString();

it('leaves a day of 25 h with 50 readings at 30 min, none equal', async () => {
  const { log } = await readOne(
    `time,temp,rh\n${every(30)
      .map((x) => `${wall(x)},20.1,50.1\n`)
      .join('')}`,
  );
  expect(log.length).toBe(50);
  expect(new Set(log.time).size).toBe(50);
  expect((log.time[49]! - log.time[0]!) / MINUTE).toBe(49 * 30);
});

it('is placed for each logger by itself', async () => {
  const lines = every(30).flatMap((x) => [`${wall(x)},loft,20.1,50.1`, `${wall(x)},shed,20.1,50.1`]);
  const { logs } = await read(`time,logger,temp,rh\n${lines.join('\n')}\n`);
  expect(logs.map(({ log }) => [log.logger, ...log.time])).toEqual([
    ['loft', ...every(30)],
    ['shed', ...every(30)],
  ]);
});

it('may be half an hour long', async () => {
  // Lord Howe Island goes back by 30 min (IANA time zone database), here at 15:00 UTC on 4 April 2026
  const zone = zoneNamed('Australia/Lord_Howe');
  const instants = every(10, Date.UTC(2026, 3, 4, 12), Date.UTC(2026, 3, 4, 18));
  expect(new Set(instants.map((instant) => wall(instant, zone))).size).toBe(instants.length - 3);
  expect(await placed(instants, zone)).toEqual(instants);
});

it('is placed right whatever is missing outside it', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom(5, 10, 15, 20, 30),
      fc.infiniteStream(fc.boolean()),
      async (minutes, kept) => {
        const instants = every(minutes).filter(
          // the neighbours of the hour must be there to tell
          (x) => Math.abs(x - SECOND) <= 90 * MINUTE || kept.next().value,
        );
        expect(await placed(instants)).toEqual(instants);
      },
    ),
    { numRuns: 50 },
  );
});

it('stamps of the hour that the clocks skip in spring are rejected', async () => {
  const walls = ['00:30', '01:00', '01:30', '02:00', '02:30'].map(
    (clock) => `2025-03-30 ${clock},20.1,50.1\n`,
  );
  const { log, lines, rejections } = await readOne(`time,temp,rh\n${walls.join('')}`);
  expect([...log.time].map(show)).toEqual([
    '2025-03-30T00:30:00.000Z',
    '2025-03-30T01:00:00.000Z',
    '2025-03-30T01:30:00.000Z',
  ]);
  expect(rejections).toMatchObject([{ reason: 'skipped_hour', count: 2, firstLine: 3, lastLine: 4 }]);
  expect(lines).toMatchObject({ total: 6, header: 1, accepted: 3, rejected: 2 });
});
