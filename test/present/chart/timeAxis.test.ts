import { describe, expect, it } from 'vitest';
import { LETTER, ROOMS } from '../../../src/present/chart/frame.js';
import { anchor, labelRooms } from '../../../src/present/chart/timeAxis.js';

const labelled = (labels: readonly string[]) => ({
  from: 0,
  until: labels.length,
  ticks: labels.map((label, at) => ({ at, label })),
});
const days = (count: number) => labelled(Array.from({ length: count }, (_, i) => String((i % 31) + 1)));

describe.each([
  { why: 'a day of hours', axis: labelled(Array.from({ length: 24 }, (_, i) => `${i}:00`)) },
  { why: 'a week', axis: labelled(['Mon 6', 'Tue 7', 'Wed 8', 'Thu 9', 'Fri 10', 'Sat 11', 'Sun 12']) },
  { why: 'a month', axis: days(31) },
  { why: 'a year of days', axis: days(365) },
  { why: 'names longer than the room', axis: labelled(['x'.repeat(60), 'y'.repeat(60)]) },
  { why: 'one tick', axis: labelled(['1 Oct']) },
  { why: 'no ticks', axis: labelled([]) },
])('of $why', ({ axis }) => {
  const rooms = labelRooms(axis);

  it.each(ROOMS.map((room, i) => [room.className, i] as const))(
    'labels do not overlap in the room %s',
    (_, i) => {
      const scale = ROOMS[i]!.width / axis.until;
      const boxes = axis.ticks
        .filter((_, tick) => rooms[tick]! <= i)
        .map(({ at, label }) => {
          const long = label.length * LETTER;
          const start =
            at * scale - { start: 0, middle: long / 2, end: long }[anchor(at / axis.until, label)];
          return [start, start + long];
        });
      for (let b = 1; b < boxes.length; b++) expect(boxes[b]![0]).toBeGreaterThan(boxes[b - 1]![1]!);
    },
  );

  it('the first label is always there', () => {
    if (axis.ticks.length > 0) expect(rooms[0]).toBe(0);
  });
});

it('a month has a label for most weeks on a telephone and more where there is more room', () => {
  const rooms = labelRooms(days(31));
  const shown = ROOMS.map((_, i) => rooms.filter((room) => room <= i).length);
  expect(shown[0]).toBeGreaterThanOrEqual(6);
  expect(shown[2]).toBeGreaterThan(shown[0]!);
});
