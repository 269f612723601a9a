import { describe, expect, it } from 'vitest';
import { zoneNamed } from '../../src/calendar/zone.js';
import type { Finding } from '../../src/log/finding.js';
import { linesOf } from '../../src/log/lines.js';
import { piecesOf } from '../../src/log/pieces.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { airCells, airHeadline } from '../../src/report/airReport.js';
import { cleanedRows } from '../../src/report/cleanedReport.js';
import { adviceCells, findingCells, findingLines, worstFirst } from '../../src/report/findingsTable.js';
import { hours, whenIn } from '../../src/report/written.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';

const london = zoneNamed('Europe/London');
const at = (text: string) => Date.parse(text);

const finding = (stated: Partial<Finding>): Finding => ({
  check: 'gap',
  severity: 'note',
  quantity: 'time',
  from: null,
  until: null,
  count: 1,
  source: 'loft.csv',
  lines: null,
  message: 'no reading',
  confidence: 'certain',
  ...stated,
});

describe('a finding in a table', () => {
  it.each([
    { why: 'no time, no line', stated: {}, when: '', lines: '' },
    {
      why: 'a moment',
      stated: { from: at('2025-10-01T10:00Z'), until: at('2025-10-01T10:00Z') },
      when: '2025-10-01 11:00',
      lines: '',
    },
    { why: 'an open end', stated: { from: at('2025-10-01T10:00Z') }, when: '2025-10-01 11:00', lines: '' },
    {
      why: 'within a day',
      stated: { from: at('2025-10-01T10:00Z'), until: at('2025-10-01T12:00Z') },
      when: '2025-10-01 11:00, 2 h',
      lines: '',
    },
    {
      why: 'over midnight of the zone',
      stated: { from: at('2025-10-01T22:00Z'), until: at('2025-10-01T23:00Z') },
      when: '2025-10-01 23:00, 1 h',
      lines: '',
    },
    {
      why: 'readings on end',
      stated: { from: at('2025-10-01T10:00Z'), until: at('2025-10-01T13:00Z'), count: 4 },
      when: '2025-10-01 11:00, 3 h',
      lines: '',
    },
    {
      why: 'two readings a month apart are no stretch',
      stated: { from: at('2025-10-01T10:00Z'), until: at('2025-10-31T10:00Z'), count: 2 },
      when: '2025-10-01 11:00 to 2025-10-31 10:00',
      lines: '',
    },
    { why: 'one line', stated: { lines: [7, 7] as const }, when: '', lines: '7' },
    { why: 'several lines', stated: { lines: [7, 9] as const }, when: '', lines: '7-9' },
  ])('$why', ({ stated, when, lines }) => {
    expect(findingCells(finding(stated), HOUR, london)).toEqual(['note', 'gap', when, lines, 'no reading']);
  });

  it('stands in order of weight, then of time; those of no time first', () => {
    const found = [
      finding({ severity: 'note', from: 1 }),
      finding({ severity: 'error', from: 5 }),
      finding({ severity: 'error', from: null }),
      finding({ severity: 'warning', from: 2 }),
      finding({ severity: 'error', from: 3 }),
    ];
    const order = worstFirst(found).map(({ severity, from }) => `${severity} ${from}`);
    expect(order).toEqual(['error null', 'error 3', 'error 5', 'warning 2', 'note 1']);
    expect(found[0]!.severity).toBe('note');
  });

  it('stands beside the others of its kind, where the first of them stands', () => {
    const found = [
      finding({ check: 'spike', from: 1 }),
      finding({ check: 'gap', from: 2 }),
      finding({ check: 'spike', from: 3 }),
      finding({ check: 'spike', from: 0, severity: 'error' }),
    ];
    const order = worstFirst(found).map(({ severity, check, from }) => `${severity} ${check} ${from}`);
    expect(order).toEqual(['error spike 0', 'note spike 1', 'note spike 3', 'note gap 2']);
  });

  const often = (count: number) =>
    Array.from({ length: count }, (_, i) =>
      finding({ from: i * DAY, until: i * DAY + (i + 1) * MINUTE, message: `${i}` }),
    );

  it('stands by itself while its kind is rare, else among the longest', () => {
    const what = (count: number) => findingLines(often(count), MINUTE, london).map(({ cells }) => cells[4]);
    expect(what(6)).toEqual(['0', '1', '2', '3', '4', '5']);
    expect(what(9)).toEqual(['4', '5', '6', '7', '8', '4 more, none of them longer, 10 min in all']);
  });

  it('is advised upon once for its kind, the worst first', () => {
    const found = [...often(9), finding({ check: 'spike', severity: 'warning' })];
    expect(adviceCells(found)).toEqual([
      ['spike', expect.stringContaining('plug')],
      ['gap', expect.stringContaining('heartbeats')],
    ]);
  });
});

describe('when something was', () => {
  it.each([
    { why: 'in a day the time', length: DAY, said: '06:30' },
    { why: 'in the long day, too', length: 25 * HOUR, said: '06:30' },
    { why: 'in a week the date', length: 7 * DAY, said: '10-26' },
  ])('$why', ({ length, said }) => {
    const start = at('2025-10-25T23:00Z');
    expect(whenIn(at('2025-10-26T06:30Z'), { start, end: start + length }, london)).toBe(said);
  });

  it('hours have three decimals, seconds as they are seen', () => {
    expect([hours(20 * MINUTE), hours(0), hours(25 * HOUR)]).toEqual([0.333, 0, 25]);
  });
});

describe('a cleaned row', () => {
  it('has missing values as NaN, and derived ones that follow them', () => {
    const log = {
      logger: 'loft',
      sources: ['loft.csv'],
      length: 2,
      time: Float64Array.of(at('2025-10-26T00:30Z'), at('2025-10-26T01:30Z')),
      temperature: Float64Array.of(10, Number.NaN),
      humidity: Float64Array.of(50, 51),
      lines: linesOf([2, 3]),
      source: Uint16Array.of(0, 0),
      inputFlags: null,
    };
    const flags = { temperature: Uint8Array.of(1, 9), humidity: Uint8Array.of(1, 1) };
    const cleaned = { log, flags, kept: piecesOf([0, 2]), dropped: [] };
    const doubled = { decimals: 1, column: 'doubled', of: (t: number) => 2 * t } as never;
    const derived = { quantities: [doubled], pressure: 1000, model: { formula: buck1996, enhanced: true } };
    expect([...cleanedRows([cleaned], london, derived)]).toEqual([
      ['2025-10-26T01:30:00+01:00', 'loft', 10, 50, 1, 1, 20],
      ['2025-10-26T01:30:00+00:00', 'loft', Number.NaN, 51, 9, 1, Number.NaN],
    ]);
  });
});

describe('a state of air in a table', () => {
  const state = {
    temperature: 10,
    humidity: 50,
    pressure: 1013.25,
    model: { formula: buck1996, enhanced: true },
    limits: { temperature: 0.5, humidity: 3 },
  };

  it('leaves out what this air does not have', () => {
    const names = airCells(state).map(([name]) => name);
    expect(names).toContain('dew point temperature');
    expect(names).not.toContain('humidex');
    expect(names).not.toContain('frost point temperature');
  });

  it.each([
    { why: 'a wet bulb above 0 °C', temperature: 10, humidity: 50, name: 'wet bulb temperature' },
    {
      why: 'dry air that cools it below 0 °C',
      temperature: 3,
      humidity: 20,
      name: 'wet bulb temperature (ice)',
    },
    {
      why: 'frosty air with more vapour than ice lets it keep',
      temperature: -20,
      humidity: 90,
      name: 'wet bulb temperature (air over-saturated for ice)',
    },
  ])('says what is on the bulb: $why', ({ temperature, humidity, name }) => {
    expect(airCells({ ...state, temperature, humidity }).map(([shown]) => shown)).toContain(name);
  });

  it('says under what assumptions', () => {
    expect(airHeadline(state)).toBe('10 °C ± 0.5 K, 50 % ± 3 %, 1013.3 hPa, buck1996, moist air');
    const ideal = { ...state, model: { formula: buck1996, enhanced: false } };
    expect(airHeadline(ideal)).toMatch(/buck1996, ideal gas$/);
  });
});
