import { describe, expect, it } from 'vitest';
import type { AuditSettings } from '../../src/audit/check.js';
import { auditOf, brief, findingsOf, steadily } from './auditing.js';

/** Of a log so short that a value which passes was looked at by these checks only: flag 2. */
const flagsWith = (settings: Partial<AuditSettings>) => (temperature: number, humidity: number) => {
  const lines = steadily(10, { temperature: [15, temperature, 15], humidity: [60, humidity, 60] });
  const { flags } = auditOf(lines, settings);
  return [flags.temperature[1], flags.humidity[1]];
};

describe('without a site file', () => {
  const flags = flagsWith({});
  it.each([
    { temperature: 60, flag: 2 },
    { temperature: 60.1, flag: 4 },
    { temperature: -80, flag: 2 },
    { temperature: -80.1, flag: 4 },
    { temperature: 84.9, flag: 4 },
    { temperature: -273.2, flag: 4 },
    { temperature: Infinity, flag: 4 },
  ])('$temperature °C → flag $flag', ({ temperature, flag }) => {
    expect(flags(temperature, 60)).toEqual([flag, 2]);
  });

  it.each([
    { humidity: 0, flag: 2 },
    { humidity: -0.1, flag: 4 },
    { humidity: 100, flag: 2 },
    { humidity: 100.1, flag: 3 },
    { humidity: 104, flag: 3 },
    { humidity: 104.1, flag: 4 },
    { humidity: 1e6, flag: 4 },
  ])('$humidity % → flag $flag', ({ humidity, flag }) => {
    expect(flags(15, humidity)).toEqual([2, flag]);
  });

  it('100 to 104 % is a note of the sensor, not an error of the air', () => {
    const audited = auditOf(steadily(10, { humidity: [98, 100.5, 103, 104, 99] }));
    expect(audited.findings.map(({ check, severity }) => [check, severity])).toEqual([
      ['sensor_range', 'note'],
    ]);
    expect(audited.findings[0]!.message).toBe(
      '104 % is above the 100 % that the sensor can measure, 3 times',
    );
  });
});

describe('with limits and ranges of the site', () => {
  const flags = flagsWith({
    limits: { airTemperature: [-30, 120], relativeHumidity: [0, 110] },
    sensorRange: { airTemperature: [0, 50], relativeHumidity: [5, 99] },
    accuracy: { temperature: 1, humidity: 5 },
  });
  it.each([
    { why: 'at the ends of the range', temperature: 0, humidity: 99, expected: [2, 2] },
    { why: 'at the other ends', temperature: 50, humidity: 5, expected: [2, 2] },
    { why: 'just beyond', temperature: -0.1, humidity: 99.1, expected: [3, 3] },
    { why: 'beyond by the accuracy', temperature: 51, humidity: 104, expected: [3, 3] },
    { why: 'and by the accuracy below', temperature: -1, humidity: 0, expected: [3, 3] },
    { why: 'by more', temperature: 51.1, humidity: 104.1, expected: [4, 4] },
    { why: 'by more below', temperature: -1.1, humidity: -0.1, expected: [4, 4] },
    { why: 'possible for air here, not for the sensor', temperature: 110, humidity: 107, expected: [4, 4] },
  ])('$why', ({ temperature, humidity, expected }) => {
    expect(flags(temperature, humidity)).toEqual(expected);
  });

  it('a value that no air can have is not told again as beyond the sensor', () => {
    const audited = auditOf(steadily(10, { temperature: [15, 70, 15] }), {
      sensorRange: { airTemperature: [0, 50], relativeHumidity: null },
    });
    expect(audited.findings.map(({ check }) => check)).toEqual(['gross_range']);
  });

  it('a hot log whose site allows it has no finding', () => {
    const hot = steadily(10, { temperature: [84, 85, 86, 85, 85], humidity: [8, 8, 8, 8, 8] });
    const limits = { airTemperature: [0, 110], relativeHumidity: [0, 104] } as const;
    expect(auditOf(hot, { limits }).findings).toEqual([]);
  });
});

describe('findings', () => {
  it('impossible values are errors, one for each episode', () => {
    const found = auditOf(steadily(10, { temperature: [15, 61, 62, 15, 15, 15, 15, -90, 15] })).findings;
    expect(found.map(brief)).toEqual([
      [10, 20, 2, 3, 4],
      [70, 70, 1, 9, 9],
    ]);
    expect(found.map(({ message, severity }) => [severity, message])).toEqual([
      ['error', '62 °C is impossible for air, 2 times'],
      ['error', '-90 °C is impossible for air'],
    ]);
  });

  it('beyond the sensor is a note within its accuracy, a warning as soon as one value is further out', () => {
    const settings = { sensorRange: { airTemperature: [0, 50], relativeHumidity: null } } as const;
    const severityOf = (temperature: number[]) =>
      findingsOf(auditOf(steadily(10, { temperature }), settings), 'sensor_range').map(
        ({ severity, message }) => [severity, message],
      );
    expect(severityOf([15, -0.3, -0.4])).toEqual([
      ['note', '-0.4 °C is below the 0 °C that the sensor can measure, 2 times'],
    ]);
    expect(severityOf([15, -0.3, -2])).toEqual([
      ['warning', '-2 °C is below the 0 °C that the sensor can measure, 2 times'],
    ]);
  });

  it.each([
    { why: 'all in a row', temperature: Array.from({ length: 10_000 }, () => 70), lines: [2, 10_001] },
    {
      why: 'here and there',
      temperature: Array.from({ length: 50_000 }, (_, i) => (i % 5 === 2 ? 70 : 15)),
      lines: [4, 49_999],
    },
  ])('ten thousand bad values $why are one finding', ({ temperature, lines }) => {
    const found = auditOf(steadily(10, { temperature })).findings;
    expect(found).toMatchObject([{ check: 'gross_range', count: 10_000, lines }]);
  });

  it('twenty thousand values beyond the sensor are one finding', () => {
    const humidity = Array.from({ length: 20_000 }, (_, i) => (i % 2 === 0 ? 100 : 102));
    const settings = { sensorRange: { airTemperature: null, relativeHumidity: [5, 90] } } as const;
    const audited = auditOf(steadily(10, { humidity }), settings);
    expect(audited.findings).toMatchObject([{ check: 'sensor_range', count: 20_000, severity: 'warning' }]);
    expect(audited.flags.humidity.every((flag) => flag === 4)).toBe(true);
  });

  it('20 episodes are 20 findings, 21 are one', () => {
    const spread = (count: number) =>
      steadily(10, { temperature: Array.from({ length: 10 * count }, (_, i) => (i % 10 === 5 ? 70 : 15)) });
    expect(auditOf(spread(20)).findings.length).toBe(20);
    expect(auditOf(spread(21)).findings.map(brief)).toEqual([[50, 2050, 21, 7, 207]]);
  });

  it('three cadences without one belong to the episode, more do not', () => {
    const found = (apart: number) =>
      auditOf(steadily(10, { temperature: [15, 70, ...new Array<number>(apart).fill(15), 70, 15] })).findings;
    expect(found(2).map(({ count }) => count)).toEqual([2]);
    expect(found(3).map(({ count }) => count)).toEqual([1, 1]);
  });
});
