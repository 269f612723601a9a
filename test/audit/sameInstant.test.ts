import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { auditOf, brief, findingsOf, type Line, readingOf, SETTINGS } from './auditing.js';

const line = (minute: number, temperature: number, humidity: number): Line => ({
  minute,
  temperature,
  humidity,
});
const a = line(10, 15, 60);
const b = line(10, 16, 60);
const c = line(10, 15, 61);
const around = (...lines: Line[]) => [line(0, 15, 60), ...lines, line(20, 15, 60), line(30, 15, 60)];

describe('readings of one instant', () => {
  it.each([
    { why: 'each its own', lines: around(a), duplicates: [], conflicts: [] },
    { why: 'the same values at other times', lines: around(line(11, 15, 60)), duplicates: [], conflicts: [] },
    { why: 'twice', lines: around(a, a), duplicates: [[10, 10, 1, 3, 4]], conflicts: [] },
    { why: 'three times', lines: around(a, a, a), duplicates: [[10, 10, 2, 3, 5]], conflicts: [] },
    { why: 'two answers', lines: around(a, b), duplicates: [], conflicts: [[10, 10, 1, 3, 4]] },
    { why: 'three answers', lines: around(a, b, c), duplicates: [], conflicts: [[10, 10, 2, 3, 5]] },
    {
      why: 'two answers, one of them twice',
      lines: around(a, b, a),
      duplicates: [[10, 10, 1, 3, 5]],
      conflicts: [[10, 10, 1, 3, 4]],
    },
    {
      why: 'twice without a value',
      lines: around(line(10, NaN, 60), line(10, NaN, 60)),
      duplicates: [[10, 10, 1, 3, 4]],
      conflicts: [],
    },
    {
      why: 'with a value and without',
      lines: around(line(10, NaN, 60), a),
      duplicates: [],
      conflicts: [[10, 10, 1, 3, 4]],
    },
    {
      why: '0 and -0 are the same',
      lines: around(line(10, 0, 60), line(10, -0, 60)),
      duplicates: [[10, 10, 1, 3, 4]],
      conflicts: [],
    },
    {
      why: 'far apart in the file',
      lines: [...around(a), line(40, 15, 60), a],
      duplicates: [[10, 10, 1, 3, 7]],
      conflicts: [],
    },
    {
      why: 'two neighbours sent again are two events',
      lines: [...around(a, a), line(30, 15, 60), line(40, 15, 60)],
      duplicates: [
        [10, 10, 1, 3, 4],
        [30, 30, 1, 6, 7],
      ],
      conflicts: [],
    },
  ])('$why', ({ lines, duplicates, conflicts }) => {
    const audited = auditOf(lines);
    expect(findingsOf(audited, 'duplicate').map(brief)).toEqual(duplicates);
    expect(findingsOf(audited, 'conflict').map(brief)).toEqual(conflicts);
  });

  it('a duplicate is a note and speaks against no value', () => {
    const audited = auditOf(around(a, a));
    expect(findingsOf(audited, 'duplicate')[0]!.severity).toBe('note');
    expect([...audited.flags.temperature, ...audited.flags.humidity].every((flag) => flag === 2)).toBe(true);
  });

  it('a conflict is a warning; only what differs is questionable, and what is missing stays missing', () => {
    const audited = auditOf(around(a, b, line(10, NaN, 60), b));
    const [finding] = findingsOf(audited, 'conflict');
    expect(finding).toMatchObject({ severity: 'warning', quantity: 'time' });
    expect(finding!.message).toBe('15 or 16 or none °C at 2025-10-01 01:10');
    expect([...audited.flags.temperature]).toEqual([2, 3, 3, 9, 3, 2, 2]);
    expect([...audited.flags.humidity]).toEqual([2, 2, 2, 2, 2, 2, 2]);
  });

  it('a file read twice is one finding, and so are two devices under one name', () => {
    const file = Array.from({ length: 500 }, (_, i) => line(10 * i, 15, 60));
    const other = file.map(({ minute }) => line(minute, 20, 60));
    const twice = audit(readingOf([file, file]), SETTINGS);
    expect(findingsOf(twice, 'duplicate').map(brief)).toEqual([[0, 4990, 500, 2, 501]]);
    const devices = audit(readingOf([file, other]), SETTINGS);
    expect(findingsOf(devices, 'conflict').map(brief)).toEqual([[0, 4990, 500, 2, 501]]);
    expect(findingsOf(devices, 'conflict')[0]!.message).toBe('500 instants with different readings');
    expect([...devices.flags.temperature].every((flag) => flag === 3)).toBe(true);
    expect(findingsOf(devices, 'disorder')).toEqual([]);
  });

  it('a clock that stands still for days makes one conflict', () => {
    const stopped = Array.from({ length: 20_000 }, (_, i) => line(10, i / 1000, 60));
    expect(findingsOf(auditOf(stopped), 'conflict').map(({ count }) => count)).toEqual([19_999]);
  });
});
