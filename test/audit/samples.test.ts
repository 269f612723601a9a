import { readFileSync } from 'node:fs';
import { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { type Audit, audit } from '../../src/audit/audit.js';
import { formatInstant } from '../../src/calendar/print.js';
import { zoneNamed } from '../../src/calendar/zone.js';
import { clean } from '../../src/cleaning/clean.js';
import { Flag } from '../../src/log/flag.js';
import { flagsOf, valuesOf } from '../../src/log/log.js';
import { readLogs } from '../../src/reading/logs.js';
import { filesOf } from '../../src/site/files.js';
import { loadSite } from '../../src/site/load.js';
import { NO_HINTS, type SiteLogger } from '../../src/site/site.js';
import { lineNumbers } from '../log/lineNumbers.js';
import { SETTINGS } from './auditing.js';

interface Fault {
  readonly logger: string;
  readonly check: string;
  readonly quantity: 'time' | 'air_temperature' | 'relative_humidity';
  readonly from: string;
  readonly until: string;
  readonly lines: readonly [number, number];
  readonly count: number;
}

const samples = new URL('../../samples/', import.meta.url);
const faults = JSON.parse(readFileSync(new URL('faults.json', samples), 'utf8')) as Fault[];
const zone = zoneNamed('Europe/London');
const site = await loadSite(fileURLToPath(new URL('skerry-mere.toml', samples)));

const LAYOUT = { ...NO_HINTS, header: true, humidityUnit: null };

const settingsOf = ({ cadence, sensorRange, accuracy }: SiteLogger) => ({
  ...SETTINGS,
  cadence,
  sensorRange,
  accuracy,
});

async function read(logger: SiteLogger, paths: readonly string[], text = '') {
  const inputs = paths.map((path) => ({ path, logger: logger.id, layout: LAYOUT, zone }));
  const window = { from: null, until: null };
  const { logs, failures } = await readLogs(inputs, window, Readable.from([text]));
  expect(failures).toEqual([]);
  return logs[0]!;
}

/** The key facts of findings and faults, in one order. */
function facts(all: readonly Omit<Fault, 'logger'>[]): string[] {
  return all
    .map(({ check, quantity, from, until, lines, count }) =>
      // a line that cannot be read has no time of its own
      [check, quantity, ...(check === 'unreadable' ? [] : [from, until]), lines.join('-'), count].join(' '),
    )
    .sort();
}

function said({ findings }: Audit): Omit<Fault, 'logger'>[] {
  return findings.map((finding) => ({
    ...finding,
    lines: finding.lines!,
    from: finding.from === null ? '' : formatInstant(finding.from, zone),
    until: finding.until === null ? '' : formatInstant(finding.until, zone),
  }));
}

describe.each(site.loggers)('the sample log of $id', async (logger) => {
  const paths = await filesOf(site, logger);
  const reading = await read(logger, paths);
  const audited = audit(reading, settingsOf(logger));
  const injected = faults.filter((fault) => fault.logger === logger.id);

  it('has the findings of the list of faults, and no other', () => {
    // faults of one reason are one finding of unreadable lines
    const unreadable = injected.filter(({ check }) => check === 'unreadable');
    const others = injected.filter(({ check }) => check !== 'unreadable');
    const found = said(audited);
    expect(facts(found.filter(({ check }) => check !== 'unreadable'))).toEqual(facts(others));
    const lines = found.filter(({ check }) => check === 'unreadable').flatMap((finding) => finding.lines);
    expect([...new Set(lines)].sort((a, b) => a - b)).toEqual(unreadable.map((fault) => fault.lines[0]));
    expect(reading.lines.rejected).toBe(unreadable.length);
  });

  it('has a flag other than good where a fault is, and nowhere else', () => {
    const FLAGS: Readonly<Record<string, number>> = {
      missing_value: Flag.missing,
      sentinel: Flag.missing,
      gross_range: Flag.bad,
      sensor_range: Flag.questionable,
      conflict: Flag.questionable,
    };
    const { log } = audited;
    for (const quantity of ['air_temperature', 'relative_humidity'] as const) {
      const wanted = new Map<number, number>();
      for (const { check, lines, quantity: on } of injected) {
        if (FLAGS[check] === undefined || (on !== quantity && check !== 'conflict')) continue;
        for (let line = lines[0]; line <= lines[1]; line++) wanted.set(line, FLAGS[check]);
      }
      const flags = flagsOf(audited.flags, quantity);
      const got = lineNumbers(log.lines)
        .map((line, row) => [line, flags[row]!] as const)
        .filter(([, flag]) => flag !== 1);
      expect(new Map(got)).toEqual(wanted);
    }
  });

  it('keeps one reading of each instant, the true one of those in conflict', () => {
    const { temperature, humidity } = {
      temperature: logger.accuracy.temperature,
      humidity: logger.accuracy.humidity,
    };
    const cleaned = clean(audited, { temperature, humidity });
    const surplus = injected
      .filter(({ check }) => check === 'duplicate' || check === 'conflict')
      .reduce((sum, { count }) => sum + count, 0);
    expect(cleaned.dropped.length).toBe(surplus);
    for (const { row, for: kept, conflicting } of cleaned.dropped) {
      if (!conflicting) continue;
      // the false one was made by adding to the true one: it stands off from the readings around it
      const values = valuesOf(audited.log, 'air_temperature');
      const beside = (values[Math.min(row, kept) - 1]! + values[Math.max(row, kept) + 1]!) / 2;
      expect(Math.abs(values[kept]! - beside)).toBeLessThan(Math.abs(values[row]! - beside));
    }
  });

  // only stamps in UTC say the same in any order
  it.runIf(paths[0]!.endsWith('.tsv'))(
    'shows the same findings in whatever order its lines stand, but for those of order',
    async () => {
      const text = readFileSync(paths[0]!, 'utf8');
      const [heading, ...lines] = text.split('\n').filter((line) => line !== '');
      const shuffled = [
        heading,
        ...lines
          .map((line, i) => [(i * 7919) % lines.length, line] as const)
          .sort(([a], [b]) => a - b)
          .map(([, line]) => line),
      ].join('\n');
      const other = audit(await read(logger, ['-'], `${shuffled}\n`), settingsOf(logger));
      const timeless = (each: Audit) =>
        each.findings
          .filter(({ check }) => check !== 'disorder' && check !== 'unreadable')
          .map(({ check, quantity, from, until, count, message }) => [
            check,
            quantity,
            from,
            until,
            count,
            message,
          ]);
      expect(timeless(other)).toEqual(timeless(audited));
      expect(other.flags).toEqual(audited.flags);
    },
  );
});

describe('clocks that were not set', () => {
  it('are those of stamps outside the years that the check names', async () => {
    const years = [1970, 1989, 1990, 2025, 2099, 2100];
    const text = `time,air_temperature_degC,relative_humidity_pct\n${years
      .map((year) => `${year}-12-31T12:00:00Z,15.0,60.0\n`)
      .join('')}`;
    const { findings } = audit(await read(site.loggers[0]!, ['-'], text), SETTINGS);
    expect(findings.find(({ check }) => check === 'clock')).toMatchObject({ count: 3, lines: [2, 7] });
  });
});
