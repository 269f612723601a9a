import { describe, expect, it } from 'vitest';
import { sentinel } from '../../src/audit/sentinel.js';
import { auditOf, brief, findingsOf, steadily } from './auditing.js';

const CADENCE = 10;
const fromKelvin = (value: number) => Math.round((value - 273.15) * 1e4) / 1e4;
const fromFahrenheit = (value: number) => Math.round(((value - 32) / 1.8) * 1e4) / 1e4;

/** Rows whose temperature an audit takes for "no value". */
function missed(temperature: readonly number[], cadence = CADENCE): number[] {
  const { flags } = auditOf(steadily(cadence, { temperature }), { cadence: 10 * 60_000 });
  return [...flags.temperature.keys()].filter((row) => flags.temperature[row] === 9);
}

describe('temperatures that stand for "no value"', () => {
  it.each([-9999, -999, -999.9, -127, -99.9, -99, 255, 998, 999, 999.9, 9999, 32767, 3276.7, 65535, 6553.5])(
    '%d among ordinary ones',
    (code) => {
      expect(missed([15, code, 15])).toEqual([1]);
      expect(sentinel.method).toContain(`${code}`);
    },
  );

  it.each([
    { why: '85 first of all', temperature: [85, 20, 20], rows: [0] },
    { why: '85 between far neighbours', temperature: [20, 85, 20], rows: [1] },
    { why: '85 last of all', temperature: [20, 20, 85], rows: [2] },
    {
      why: '85 for long',
      temperature: [20, 85, 85, 85, 85, 85, 85, 85, 85, 20],
      rows: [1, 2, 3, 4, 5, 6, 7, 8],
    },
    { why: '85 with a hole in the middle of it', temperature: [20, 85, NaN, 85, 20], rows: [1, 2, 3] },
    { why: '85 between other codes', temperature: [20, -999, 85, -127, 20], rows: [1, 2, 3] },
    { why: '-0.0625 in a warm room', temperature: [21.0, -0.0625, 21.5], rows: [1] },
  ])('$why → $rows', ({ temperature, rows }) => {
    expect(missed(temperature)).toEqual(rows);
  });

  it.each([
    { why: '85 in a hot log', temperature: [84.5, 85, 85.5, 85, 85, 84] },
    { why: '85 in a hot log, beside codes', temperature: [84.5, NaN, 85, NaN, 84] },
    { why: '85 with one near neighbour', temperature: [20, 85, 80] },
    { why: 'a step of exactly 10 K', temperature: [75, 85, 75] },
    { why: '85 all along', temperature: [85, 85, 85, 85] },
    { why: '-0.0625 among frost', temperature: [-0.125, -0.0625, 0, 0.0625, -0.0625] },
    { why: '0 alone', temperature: [0.1, 0, -0.1] },
    { why: '0 out of the blue', temperature: [20, 0, 20] },
    { why: 'nearly a code', temperature: [15, -98.9, 254.9, -127.5, 15] },
  ])('not: $why', ({ temperature }) => {
    expect(missed(temperature).filter((row) => !Number.isNaN(temperature[row]))).toEqual([]);
  });

  it('85 beside codes is as hot as the readings beyond them', () => {
    expect(missed([84, -999, 85, -999, 84])).toEqual([1, 3]);
  });

  it.each([
    { why: 'first after a gap', minutes: [0, 10, 200, 210, 220], lone: true },
    { why: 'first after 3 cadences without', minutes: [0, 10, 40, 50, 60], lone: false },
    { why: 'first after more than 3', minutes: [0, 10, 41, 51, 61], lone: true },
  ])('85 $why, as hot as before it: $lone', ({ minutes, lone }) => {
    const temperature = [84, 84, 85, 30, 30];
    const lines = minutes.map((minute, i) => ({ minute, temperature: temperature[i]!, humidity: 60 }));
    const { flags } = auditOf(lines, { cadence: CADENCE * 60_000 });
    expect(flags.temperature[2] === 9).toBe(lone);
  });

  it('does not depend on the order of two readings of the instant before', () => {
    const lines = [
      { minute: 0, temperature: 5, humidity: 60 },
      { minute: 0, temperature: 25, humidity: 60 },
      { minute: 10, temperature: -0.0625, humidity: 60 },
      { minute: 20, temperature: 25, humidity: 60 },
    ];
    const flagOf = (given: typeof lines) => auditOf(given).flags.temperature[2];
    expect(flagOf(lines)).toBe(2);
    expect(flagOf([lines[1]!, lines[0]!, lines[2]!, lines[3]!])).toBe(2);
  });

  it('what an earlier run called good stays good', () => {
    const lines = steadily(CADENCE, { temperature: [20, -0.0625, 20] });
    const withFlag = (flag: number) => lines.map((line) => ({ ...line, flags: [flag, 1] as const }));
    expect(auditOf(withFlag(1)).flags.temperature[1]).toBe(1);
    expect(auditOf(withFlag(2)).flags.temperature[1]).toBe(2);
    expect(auditOf(withFlag(0)).flags.temperature[1]).toBe(9);
  });

  it('tens of thousands of 85 are judged at once', () => {
    const temperature = [20, ...new Array<number>(20_000).fill(85), 20];
    const audited = auditOf(steadily(CADENCE, { temperature }));
    expect(findingsOf(audited, 'sentinel').map(brief)).toEqual([[10, 200_000, 20_000, 3, 20_002]]);
  });
});

describe('in a log of another unit', () => {
  it.each([
    { why: '-999 °F', toCelsius: fromFahrenheit, written: [59, -999, 59], said: '-999', row: 1 },
    { why: '-99 °F', toCelsius: fromFahrenheit, written: [59, -99, 59], said: '-99', row: 1 },
    { why: '-127 °C, converted', toCelsius: fromFahrenheit, written: [59, -196.6, 59], said: '-127', row: 1 },
    { why: '85 °C, converted', toCelsius: fromFahrenheit, written: [59, 185, 59], said: '85', row: 1 },
    { why: '999 K', toCelsius: fromKelvin, written: [288, 999, 288], said: '999', row: 1 },
    { why: '85 °F is a summer day', toCelsius: fromFahrenheit, written: [60, 85, 60], said: null, row: 1 },
    { why: '255 K is a winter day', toCelsius: fromKelvin, written: [254.9, 255, 255.1], said: null, row: 1 },
  ])('$why → $said', ({ toCelsius, written, said, row }) => {
    const audited = auditOf(steadily(CADENCE, { temperature: written.map(toCelsius) }), { toCelsius });
    expect(audited.flags.temperature[row]).toBe(said === null ? 2 : 9);
    expect(findingsOf(audited, 'sentinel').map(({ message }) => message)).toEqual(
      said === null ? [] : [`temperature ${said} stands for "no value"`],
    );
  });

  it.each([
    { why: '0 °F', naught: fromFahrenheit(0) },
    { why: '0 K', naught: fromKelvin(0) },
    { why: '0 °C, converted', naught: 0 },
  ])('$why with 0 %', ({ naught, why }) => {
    const toCelsius = why.includes('F') ? fromFahrenheit : fromKelvin;
    const lines = steadily(CADENCE, { temperature: [15, naught, 15], humidity: [60, 0, 60] });
    const { flags } = auditOf(lines, { toCelsius });
    expect([flags.temperature[1], flags.humidity[1]]).toEqual([9, 9]);
  });
});

describe('humidities that stand for "no value"', () => {
  it.each([
    { why: '-1', humidity: -1, flag: 9 },
    { why: '-999', humidity: -999, flag: 9 },
    { why: '255', humidity: 255, flag: 9 },
    { why: '0 alone, which a dry room under a faulty sensor shows', humidity: 0, flag: 2 },
    { why: '85 is damp air', humidity: 85, flag: 2 },
    { why: '99 too', humidity: 99, flag: 2 },
  ])('$why → flag $flag', ({ humidity, flag }) => {
    expect(auditOf(steadily(CADENCE, { humidity: [60, humidity, 60] })).flags.humidity[1]).toBe(flag);
  });

  it('0 together with 0 °C, -0 or not', () => {
    for (const naught of [0, -0]) {
      const lines = steadily(CADENCE, { temperature: [15, naught, 15], humidity: [60, 0, 60] });
      const audited = auditOf(lines);
      expect(findingsOf(audited, 'sentinel').map(({ quantity }) => quantity)).toEqual([
        'air_temperature',
        'relative_humidity',
      ]);
      expect([audited.flags.temperature[1], audited.flags.humidity[1]]).toEqual([9, 9]);
    }
  });
});

it('a finding for each code and episode, a warning with lines and count', () => {
  const temperature = [15, -999, -999, 15, -127, 15, 15, 15, 15, -999, 15];
  const found = findingsOf(auditOf(steadily(CADENCE, { temperature })), 'sentinel');
  expect(found.map(brief)).toEqual([
    [10, 20, 2, 3, 4],
    [90, 90, 1, 11, 11],
    [40, 40, 1, 6, 6],
  ]);
  expect(new Set(found.map(({ severity }) => severity))).toEqual(new Set(['warning']));
});
