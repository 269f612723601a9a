import { beforeAll, describe, expect, it } from 'vitest';
import {
  type AuditDocument,
  type AuditedLog,
  dewledger,
  documentOf,
  PATIENCE,
} from '../properties/program.js';
import { reference } from '../psychrometry/reference.js';
import { haveLogs, SET_NAMES, SETS, type SetName, textOf } from './sets.js';

const HOUR = 3_600_000;

const rows = reference<
  'readings' | 'cadence_s' | 'gaps' | 'missed' | 'duplicates' | 'missing',
  'set' | 'logger' | 'first' | 'last'
>('real_logs_whole', 15);

describe.skipIf(!haveLogs)('audit of published logs', { timeout: PATIENCE }, () => {
  const logs = new Map<string, AuditedLog>();
  const sources = new Map<string, AuditDocument['sources']>();
  const find = (set: string, logger: string | number) => logs.get(`${set}/${logger}`)!;

  beforeAll(async () => {
    for (const name of SET_NAMES) {
      const set = SETS[name];
      const document = await documentOf<AuditDocument>(['audit', ...set.files, ...set.told]);
      sources.set(name, document.sources);
      for (const log of document.logs) logs.set(`${name}/${log.logger}`, log);
    }
  }, PATIENCE);

  it('finds the loggers in the files without being told', () => {
    expect([...logs.keys()].sort()).toEqual(rows.map(({ set, logger }) => `${set}/${logger}`).sort());
  });

  it.each(rows)('$set $logger: readings, span and cadence', ({ set, logger, ...row }) => {
    const log = find(set, logger);
    expect({
      accepted: log.readings.accepted,
      kept: log.readings.kept,
      cadence: log.cadence_s,
      from: Date.parse(log.from!),
      until: Date.parse(log.until!),
    }).toEqual({
      accepted: row.readings,
      kept: row.readings,
      cadence: row.cadence_s,
      from: Date.parse(row.first),
      until: Date.parse(row.last),
    });
  });

  it.each(rows)(
    '$set $logger: exactly the gaps, duplicates and missing values',
    ({ set, logger, ...row }) => {
      const { findings, coverage, readings } = find(set, logger);
      const of = (check: string) => findings.filter((finding) => finding.check === check);
      const count = (check: string) => of(check).reduce((sum, finding) => sum + finding.count, 0);
      expect({
        gaps: of('gap').length,
        missed: coverage.expected - coverage.observed,
        duplicates: count('duplicate') + count('conflict') + readings.duplicates_dropped,
        // temperature and humidity are told apart
        missing: count('missing_value'),
      }).toEqual({
        gaps: row.gaps,
        missed: row.missed,
        duplicates: row.duplicates,
        missing: 2 * row.missing,
      });
    },
  );

  it.each(rows)('$set $logger: nothing that stops a nightly job but long gaps', ({ set, logger }) => {
    const errors = find(set, logger).findings.filter(({ severity }) => severity === 'error');
    expect(errors.filter(({ check }) => check !== 'gap')).toEqual([]);
  });

  it.each([
    { logger: 'EWR', lengths: { 2: 13, 3: 2, 6: 2 } },
    { logger: 'JFK', lengths: { 2: 10, 3: 2, 6: 2 } },
    { logger: 'LGA', lengths: { 2: 10, 3: 2, 6: 2 } },
  ])('nyc $logger: gaps of 2, 3 and 6 h, as many as there are', ({ logger, lengths }) => {
    const gaps = find('nyc', logger).findings.filter(({ check }) => check === 'gap');
    const found: Record<number, number> = {};
    for (const { from, until } of gaps) {
      const length = (Date.parse(until!) - Date.parse(from!)) / HOUR;
      found[length] = (found[length] ?? 0) + 1;
    }
    expect(found).toEqual(lengths);
  });

  it.each(['EWR', 'JFK', 'LGA'])('nyc %s: the hour that the clocks skip is no gap', (logger) => {
    const skipped = Date.parse('2013-03-10T07:00:00Z');
    const around = find('nyc', logger).findings.filter(
      ({ from, until }) => Date.parse(from!) < skipped + HOUR && Date.parse(until!) > skipped - HOUR,
    );
    expect(around).toEqual([]);
  });

  it.each(['EWR', 'JFK', 'LGA'])('nyc %s: the gap before the clocks go back is 6 h long', (logger) => {
    // the publishers' local columns say 19:00 to 01:00 both with and without the repeated hour
    const gap = find('nyc', logger).findings.find(({ until }) => until === '2013-11-03T01:00:00-04:00');
    expect(gap).toMatchObject({ check: 'gap', from: '2013-11-02T19:00:00-04:00' });
  });

  it('nyc EWR: the one row without values, in both quantities', () => {
    const missing = find('nyc', 'EWR').findings.filter(({ check }) => check === 'missing_value');
    expect(missing.map(({ quantity, from }) => [quantity, Date.parse(from!)])).toEqual([
      ['air_temperature', Date.parse('2013-08-22T13:00:00Z')],
      ['relative_humidity', Date.parse('2013-08-22T13:00:00Z')],
    ]);
  });

  it('nyc JFK: the one spike of the year is told of its day, which by itself has too few readings', async () => {
    const spikes = ({ findings }: AuditedLog) => findings.filter(({ check }) => check === 'spike');
    const { files, told } = SETS.nyc;
    const day = await documentOf<AuditDocument>(['audit', ...files, ...told, '--day', '2013-05-08']);
    const found = day.logs.flatMap(spikes);
    expect(found).toMatchObject([{ from: '2013-05-08T22:00:00-04:00', count: 1 }]);
    expect(spikes(find('nyc', 'JFK'))).toContainEqual(found[0]);
  });

  it.each<{ set: SetName; total: number }>([
    { set: 'house', total: 11_563 },
    { set: 'nyc', total: 26_116 },
    { set: 'office', total: 2_666 + 8_144 },
  ])('$set: every line of the file is accounted for', ({ set, total }) => {
    let sum = 0;
    for (const { lines } of sources.get(set)!) {
      expect(lines.total).toBe(
        lines.header + lines.blank + lines.accepted + lines.rejected + lines.outside_window,
      );
      expect(lines).toMatchObject({ header: 1, blank: 0, rejected: 0, outside_window: 0 });
      sum += lines.total;
    }
    expect(sum).toBe(total);
  });

  it('nyc: asks for the unit where the file does not tell it', async () => {
    const { code, stdout, stderr } = await dewledger([
      'audit',
      ...SETS.nyc.files,
      '--zone',
      'America/New_York',
    ]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain('--temperature-unit degF');
  });

  it('office: put end to end, the second header is no reading and the hours between are one gap', async () => {
    const [first, second] = SETS.office.files;
    const both = textOf(first) + textOf(second);
    const { logs: found } = await documentOf<AuditDocument>(['audit', '-', '--zone', 'UTC'], both);
    expect(found).toHaveLength(1);
    expect(found[0]!.lines).toMatchObject({ total: 10_810, header: 2, accepted: 10_808, rejected: 0 });
    expect(found[0]!.findings).toMatchObject([
      { check: 'gap', from: '2015-02-04T10:43:00Z', until: '2015-02-04T17:51:00Z' },
    ]);
    expect(found[0]!.findings).toHaveLength(1);
  });

  it('office: a header with one name too few stands over the right columns', () => {
    expect(find('office', 'datatest').assumed.columns).toMatchObject({
      time: 'date',
      temperature: 'Temperature',
      humidity: 'Humidity',
    });
  });

  it.each<SetName>(['house', 'nyc'])('%s: packed and unpacked are the same', async (set) => {
    const { files, told } = SETS[set];
    const words = ['daily', '--format', 'csv', ...told];
    const packed = await dewledger([...words, ...files]);
    const unpacked = await dewledger([...words, '-'], textOf(files[0]!));
    expect(unpacked.code).toBe(0);
    expect(unpacked.stdout === packed.stdout).toBe(true);
  });
});
