import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import type { Rejection, RejectReason } from '../../src/log/account.js';
import { at, auditOf, brief, findingsOf, NaNs, readingOf, SETTINGS, steadily } from './auditing.js';

const rejection = (reason: RejectReason, count: number, detail: string | null = null): Rejection => ({
  source: 'part-1.csv',
  reason,
  count,
  firstLine: 7,
  lastLine: 6 + count,
  example: '2025-10-01T0;;',
  detail,
  from: at(40),
  until: at(80),
});

function rejected(rejections: readonly Rejection[], readings = 2000) {
  const lines = steadily(10, {}, readings);
  return audit({ ...readingOf([lines]), rejections }, SETTINGS).findings;
}

describe('rejected lines', () => {
  it.each([
    { reason: 'cells', check: 'unreadable', severity: 'warning' },
    { reason: 'quotes', check: 'unreadable', severity: 'warning' },
    { reason: 'cut', check: 'unreadable', severity: 'warning' },
    { reason: 'time', check: 'unreadable', severity: 'warning' },
    { reason: 'logger', check: 'unreadable', severity: 'warning' },
    { reason: 'clock', check: 'clock', severity: 'warning' },
    { reason: 'skipped_hour', check: 'daylight_saving', severity: 'error' },
  ] as const)('$reason: one finding of $check, $severity', ({ reason, check, severity }) => {
    expect(rejected([rejection(reason, 3, 'Europe/London')])).toMatchObject([
      { check, severity, count: 3, lines: [7, 9], source: 'part-1.csv', from: at(40), until: at(80) },
    ]);
  });

  it.each([
    { why: 'few', count: 9, readings: 5, severity: 'warning' },
    { why: 'many beside the readings', count: 10, readings: 5, severity: 'error' },
    { why: 'just 1 % of the readings', count: 20, readings: 2000, severity: 'warning' },
    { why: 'more than that', count: 21, readings: 2000, severity: 'error' },
    { why: 'all there is', count: 10_000, readings: 0, severity: 'error' },
  ])('$why: $severity', ({ count, readings, severity }) => {
    const found = rejected([rejection('time', count)], readings).filter(
      ({ check }) => check === 'unreadable',
    );
    expect(found).toMatchObject([{ severity, count }]);
  });

  it('say what the line would have needed, and show it fit for a message', () => {
    const [found] = rejected([
      {
        ...rejection('cells', 1, '3 cells are needed, here are 5'),
        example: `a\tb\u001b[2J${'c'.repeat(90)}`,
      },
    ]);
    expect(found!.message).toBe(
      `1 line with a wrong number of cells (3 cells are needed, here are 5): "a\\tb\\x1b[2J${'c'.repeat(26)}..."`,
    );
  });
});

describe('cells that hold no number', () => {
  const cells = (count: number) =>
    Array.from({ length: count }, (_, i) => ({
      source: i % 2 === 0 ? 'part-1.csv' : 'part-2.csv',
      line: 2 + i,
      quantity: 'air_temperature' as const,
      text: i === 0 ? 'ERR' : 'E',
    }));
  /** Two files of `length` readings without a temperature. */
  const found = (count: number, length = count) => {
    const file = steadily(10, { temperature: NaNs(length) });
    return findingsOf(
      audit({ ...readingOf([file, file]), unreadable: cells(count) }, SETTINGS),
      'unreadable',
    );
  };

  it('are one finding for each quantity and file', () => {
    expect(
      found(5).map(({ source, count, lines, severity }) => ({ source, count, lines, severity })),
    ).toEqual([
      { source: 'part-1.csv', count: 3, lines: [2, 6], severity: 'warning' },
      { source: 'part-2.csv', count: 2, lines: [3, 5], severity: 'warning' },
    ]);
    expect(found(5)[0]!.message).toBe('3 cells without a number, the first is "ERR"');
  });

  it('outside the window that was asked for are none of its findings', () => {
    expect(found(9, 4).map(({ source, lines }) => [source, lines])).toEqual([
      ['part-1.csv', [2, 4]],
      ['part-2.csv', [3, 5]],
    ]);
    expect(found(9, 0)).toEqual([]);
  });

  it('twenty thousand of them too', () => {
    expect(found(20_000).map(({ count, severity }) => [count, severity])).toEqual([
      [10_000, 'error'],
      [10_000, 'error'],
    ]);
  });
});

describe('missing values', () => {
  it.each([
    { why: 'one', temperature: [15, NaN, 15], found: [[10, 10, 1, 3, 3]], severity: 'note' },
    { why: 'five', temperature: [15, ...NaNs(5), 15], found: [[10, 50, 5, 3, 7]], severity: 'note' },
    { why: 'six', temperature: [15, ...NaNs(6), 15], found: [[10, 60, 6, 3, 8]], severity: 'warning' },
    { why: 'all', temperature: NaNs(9), found: [[0, 80, 9, 2, 10]], severity: 'warning' },
    {
      why: 'every other one',
      temperature: [NaN, 15, NaN, 15, NaN],
      found: [[0, 40, 3, 2, 6]],
      severity: 'note',
    },
  ])('$why: $severity', ({ temperature, found, severity }) => {
    const audited = auditOf(steadily(10, { temperature }));
    expect(audited.findings.map(brief)).toEqual(found);
    expect(audited.findings).toMatchObject(found.map(() => ({ check: 'missing_value', severity })));
    expect([...audited.flags.temperature]).toEqual(temperature.map((value) => (Number.isNaN(value) ? 9 : 2)));
  });

  it('a reading without either is missing both', () => {
    const audited = auditOf(steadily(10, { temperature: [15, NaN, 15], humidity: [60, NaN, 60] }));
    expect(audited.findings.map(({ quantity }) => quantity)).toEqual([
      'air_temperature',
      'relative_humidity',
    ]);
  });

  it('a blank that was bad before is not told again', () => {
    const lines = steadily(10, { temperature: [15, NaN, 15] }).map((line, i) => ({
      ...line,
      flags: [i === 1 ? 4 : 1, 1] as const,
    }));
    const audited = auditOf(lines);
    expect(audited.findings).toEqual([]);
    expect([...audited.flags.temperature]).toEqual([1, 4, 1]);
  });
});
