import { describe, expect, it, vi } from 'vitest';
import { ALLOWED } from './allowed.js';
import { GRADES } from './device.js';
import type { Fault } from './fault.js';
import { KINDS } from './kinds.js';
import { scoreOf } from './scoring.js';
import { type Setting, siteOf } from './site.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const SETTING: Setting = { seed: 1, cadence: 30, grade: GRADES[0]! };
const site = siteOf(SETTING);
const linesOf = (logger: string) =>
  site.logs
    .find((log) => log.logger === logger)!
    .text.trimEnd()
    .split('\n');
const of = (kind: string): readonly Fault[] => site.faults.filter((fault) => fault.kind === kind);

describe('an invented site', () => {
  it('is the same whenever it is made', () => {
    expect(siteOf(SETTING).logs).toEqual(site.logs);
  });

  it('is another for another seed', () => {
    expect(siteOf({ ...SETTING, seed: 2 }).logs).not.toEqual(site.logs);
  });

  it('has a logger without a fault, but for the end of its export', () => {
    const faulty = new Set(
      site.faults.filter(({ kind }) => kind !== 'export cut').map(({ logger }) => logger),
    );
    expect(site.logs.map(({ logger }) => logger).filter((logger) => !faulty.has(logger))).toHaveLength(1);
  });

  it('has nearly every kind of fault that such a logger and season can have', () => {
    const kinds = new Set(site.faults.map(({ kind }) => kind));
    const absent = KINDS.filter(({ name }) => !kinds.has(name)).map(({ name }) => name);
    // one neighbour fault a site; whole degrees are of the other grade
    expect(absent.length).toBeLessThanOrEqual(5);
  });

  it('says in which lines its faults stand', () => {
    for (const { logger, rows } of of('same line again')) {
      const lines = linesOf(logger);
      for (const { line } of rows) expect([lines[line - 2], lines[line]]).toContain(lines[line - 1]);
    }
    for (const { logger, rows } of of('code for no value')) {
      for (const { line } of rows) expect(linesOf(logger)[line - 1]).toMatch(/,(-|0|85|9|32767|65535|255)/);
    }
  });

  it('has no two faults of values in one line', () => {
    const seen = new Set<string>();
    const values = ['hung', 'locked at 100 %', 'lost point', 'bit error', '°C to °F', 'missing value'];
    for (const { logger, rows } of values.flatMap(of)) {
      for (const { line } of rows) {
        expect(seen.has(`${logger} ${line}`)).toBe(false);
        seen.add(`${logger} ${line}`);
      }
    }
  });
});

it('speaks of no kind of fault that there is not in what checks may say', () => {
  const names = new Set(KINDS.map(({ name }) => name));
  expect(ALLOWED.flatMap(({ kinds }) => kinds).filter((kind) => !names.has(kind))).toEqual([]);
});

describe('the audit of that site', async () => {
  const { faults, findings } = await scoreOf(SETTING);

  // what is written in the lines themselves is found without exception
  it.each(['unreadable', 'missing_value', 'sentinel', 'duplicate', 'conflict', 'disorder', 'gross_range'])(
    'finds every %s and no other',
    (check) => {
      const mine = faults.filter(({ fault }) => fault.check === check);
      expect(mine.length).toBeGreaterThan(0);
      expect(mine.filter(({ found }) => found === 'missed').map(({ fault }) => fault.kind)).toEqual([]);
      const said = findings.filter(({ finding }) => finding.check === check);
      expect(said.filter(({ verdict }) => verdict === 'false').map(({ finding }) => finding.message)).toEqual(
        [],
      );
    },
  );
});
