import { describe, expect, it } from 'vitest';
import { CHECKS } from '../../src/audit/checks.js';
import { CHECK_NAMES } from '../../src/log/finding.js';
import { MINUTE } from '../../src/units.js';
import { auditOf, findingsOf, steadily } from './auditing.js';

const FAULTY = [
  ...steadily(10, { temperature: [15, -999, 70, NaN, 15, 15] }),
  { minute: 50, temperature: 15, humidity: 60 },
  { minute: 20, temperature: 15, humidity: 60 },
  { minute: 300, temperature: 15, humidity: 103 },
];

describe('an audit', () => {
  it('finds nothing in a good log, and calls the values of so short a one not evaluated', () => {
    const audited = auditOf(
      steadily(10, { temperature: [15, 0, -0.1, 20, 35], humidity: [0, 100, 60, 99.9, 1] }),
    );
    expect(audited.findings).toEqual([]);
    expect([...audited.flags.temperature, ...audited.flags.humidity]).toEqual(new Array(10).fill(2));
  });

  it('leaves the log as it is', () => {
    const { log } = auditOf(FAULTY);
    expect([...log.temperature]).toEqual([15, -999, 70, 15, NaN, 15, 15, 15, 15]);
  });

  it.each([...new Set(auditOf(FAULTY).findings.map(({ check }) => check))])(
    'leaves out %s when told to',
    (name) => {
      const whole = auditOf(FAULTY);
      const skipped = auditOf(FAULTY, {}, [name]);
      expect(findingsOf(whole, name).length).toBeGreaterThan(0);
      expect(findingsOf(skipped, name)).toEqual([]);
      expect(skipped.marks.filter(({ check }) => check === name)).toEqual([]);
    },
  );

  it('goes by the declared cadence rather than the inferred one', () => {
    expect(auditOf(FAULTY).cadence).toBe(10 * MINUTE);
    expect(auditOf(FAULTY, { cadence: 5 * MINUTE }).cadence).toBe(5 * MINUTE);
    expect(auditOf([]).cadence).toBeNull();
  });

  it.each([
    { why: 'none', carried: 0, value: 15, flag: 2 },
    { why: 'good stays', carried: 1, value: 15, flag: 1 },
    { why: 'not evaluated stays', carried: 2, value: 15, flag: 2 },
    { why: 'questionable stays', carried: 3, value: 15, flag: 3 },
    { why: 'bad stays', carried: 4, value: 15, flag: 4 },
    { why: 'missing stays', carried: 9, value: 15, flag: 9 },
    { why: 'a good one may turn out bad', carried: 1, value: 70, flag: 4 },
    { why: 'a blank is missing', carried: 1, value: NaN, flag: 9 },
    { why: 'a blank that was bad stays bad', carried: 4, value: NaN, flag: 4 },
  ])('of a flag carried by the input: $why', ({ carried, value, flag }) => {
    const lines = steadily(10, { temperature: [15, value, 15] }).map((line) => ({
      ...line,
      flags: [line.minute === 10 ? carried : 1, 0] as const,
    }));
    expect(auditOf(lines).flags.temperature[1]).toBe(flag);
  });
});

describe('the list of checks', () => {
  it('has each name once, and only names of the contract', () => {
    const names = CHECKS.map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    expect(CHECK_NAMES).toEqual(expect.arrayContaining(names));
  });

  it.each(CHECKS)('$name says what it does, by what rule, on whose word and what to do', (check) => {
    for (const text of [check.looksFor, check.method, check.source, check.advice]) {
      expect(text).toMatch(/^\S.{10,}\S$/);
    }
  });

  /** The numbers in each method; each is put to the test at its edge in the test of that check. */
  it.each([
    { name: 'unreadable', numbers: [] },
    {
      name: 'clock',
      numbers: [
        '1990',
        '2099',
        '30',
        '2000',
        '2036',
        '2038',
        '365',
        '5',
        '0.5',
        '24',
        '3',
        '0.4',
        '14',
        '60',
        '2',
        '7',
      ],
    },
    { name: 'daylight_saving', numbers: ['0.6', '2'] },
    {
      name: 'cadence',
      numbers: ['12', '2', '90', '50', '10', '10', '10', '3', '3', '3', '5', '10', '0.5'],
    },
    {
      name: 'gap',
      numbers: ['1.5', '3', '3', '1000', '10000', '50000', '65535', '65536', '1048575', '1048576'],
    },
    { name: 'duplicate', numbers: [] },
    { name: 'repeat_submission', numbers: ['0.25', '30', '1.5', '4'] },
    { name: 'conflict', numbers: ['3'] },
    { name: 'disorder', numbers: ['1.5'] },
    { name: 'missing_value', numbers: [] },
    { name: 'gross_range', numbers: ['-80', '60', '0', '104', '4'] },
    { name: 'sensor_range', numbers: ['0', '100', '3', '4'] },
  ])('$name names the numbers $numbers and no other', ({ name, numbers }) => {
    const { method } = CHECKS.find((check) => check.name === name)!;
    expect(method.match(/(?<![\w.])-?\d+(\.\d+)?/g) ?? []).toEqual(numbers);
  });
});
