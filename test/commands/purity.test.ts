import { readFileSync } from 'node:fs';
import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, GOOD, sample } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const LONDON = ['--zone', 'Europe/London'];

interface Finding {
  readonly check: string;
  readonly source: unknown;
  readonly lines: unknown;
}
interface LogDocument {
  readonly logger: string;
  readonly findings: readonly Finding[];
  readonly [key: string]: unknown;
}

/** What an audit says of each log, but for where it stood. */
async function audited(words: readonly string[], stdin = '') {
  const { stdout } = await call(['audit', ...words, ...LONDON, '--format', 'json'], { stdin });
  return (JSON.parse(stdout).logs as LogDocument[]).map(
    ({ logger, from, until, cadence_s, readings, coverage, findings }) => ({
      logger,
      from,
      until,
      cadence_s,
      readings,
      coverage,
      findings: findings.map(({ source: _source, lines: _lines, ...rest }) => rest),
    }),
  );
}

const rowsOf = (csv: string) => csv.split('\n').slice(1, -1);

describe('two logs joined end to end give what they give apart', () => {
  const logs = ['boat-hall.csv', 'sail-loft.csv', 'battery-locker.tsv'];

  it('as cleaned files, for audit, clean and daily', async () => {
    const cleaned = await Promise.all(
      logs.map(async (log) => {
        const words = ['clean', sample(log), ...LONDON, '--since', '2025-10-20', '--bad', 'keep'];
        return (await call(words)).stdout;
      }),
    );
    const joined = cleaned.join('');
    const byName = (a: { logger: string }, b: { logger: string }) => (a.logger < b.logger ? -1 : 1);
    const apart = (await Promise.all(cleaned.map((text) => audited(['-'], text)))).flat().sort(byName);
    expect(apart).toHaveLength(3);
    expect(await audited(['-'], joined)).toEqual(apart);

    for (const command of [
      ['clean', '--bad', 'keep'],
      ['daily', '--format', 'csv'],
    ]) {
      const [name, ...words] = command as [string, ...string[]];
      const one = await call([name, '-', ...words, ...LONDON], { stdin: joined });
      const each = await Promise.all(
        cleaned.map((text) => call([name, '-', ...words, ...LONDON], { stdin: text })),
      );
      expect(rowsOf(one.stdout).sort()).toEqual(each.flatMap(({ stdout }) => rowsOf(stdout)).sort());
    }
  });

  it.each(logs)('%s as two plain files, each with its heading', async (log) => {
    const text = readFileSync(sample(log), 'latin1');
    const heading = text.slice(0, text.indexOf('\n') + 1);
    const middle = text.indexOf('\n', text.length / 2) + 1;
    const later = heading + text.slice(middle);
    const folder = folderOf({
      [`a/${log}`]: Buffer.from(text.slice(0, middle), 'latin1'),
      [`b/${log}`]: Buffer.from(later, 'latin1'),
      [`whole/${log}`]: Buffer.from(text.slice(0, middle) + later, 'latin1'),
    });
    const apart = [`${folder}/a/${log}`, `${folder}/b/${log}`];
    const whole = `${folder}/whole/${log}`;
    // lines that cannot be read are told file by file
    const readable = (logs: Awaited<ReturnType<typeof audited>>) =>
      logs.map(({ findings, ...log }) => ({
        ...log,
        findings: findings.filter(({ check }) => check !== 'unreadable'),
      }));
    expect(readable(await audited([whole]))).toEqual(readable(await audited(apart)));
    for (const command of [['clean'], ['daily', '--format', 'csv']]) {
      const [name, ...words] = command as [string, ...string[]];
      const joined = await call([name, whole, ...words, ...LONDON]);
      expect(rowsOf(joined.stdout).length).toBeGreaterThan(20);
      expect(joined.stdout).toBe((await call([name, ...apart, ...words, ...LONDON])).stdout);
    }
  });

  it('also in the other order', async () => {
    const [early, late] = [GOOD, GOOD.replaceAll('T00:', 'T01:')];
    for (const command of [['clean'], ['daily', '--format', 'csv']]) {
      const [name, ...words] = command as [string, ...string[]];
      const forth = await call([name, '-', ...words, '--zone', 'UTC'], { stdin: early + late });
      const back = await call([name, '-', ...words, '--zone', 'UTC'], { stdin: late + early });
      expect(rowsOf(forth.stdout).length).toBeGreaterThan(0);
      expect(back.stdout).toBe(forth.stdout);
    }
  });
});

describe('the result', () => {
  it('does not depend on the hour', async () => {
    for (const words of [['audit'], ['clean'], ['daily'], ['damp']]) {
      const [now, later] = await Promise.all(
        [0, Date.UTC(2030, 6, 1)].map((now) => call([...words, '-', ...LONDON], { stdin: GOOD, now })),
      );
      expect(later).toEqual(now);
    }
  });

  it('does not depend on the zone of the system, where one is named', async () => {
    const zoneBefore = process.env.TZ;
    const results = new Map<string, unknown[]>();
    const offsets = new Set<number>();
    for (const zone of ['UTC', 'America/St_Johns', 'Pacific/Apia']) {
      process.env.TZ = zone;
      offsets.add(new Date(2025, 9, 1).getTimezoneOffset());
      for (const words of [['audit'], ['audit', '--format', 'json'], ['clean'], ['daily'], ['damp']]) {
        const day = ['--day', '2025-10-26'];
        const result = await call([...words, sample('sail-loft.csv'), ...LONDON, ...day]);
        expect(result.stdout.length).toBeGreaterThan(100);
        results.set(`${words}`, [...(results.get(`${words}`) ?? []), result]);
      }
    }
    if (zoneBefore === undefined) delete process.env.TZ;
    else process.env.TZ = zoneBefore;
    expect(offsets.size).toBe(3); // the system did listen
    for (const [first, ...others] of results.values())
      for (const other of others) expect(other).toEqual(first);
  });

  it('does not depend on colour and width asked for by the environment, but where it is shown', async () => {
    for (const words of [
      ['audit', '--format', 'csv'],
      ['clean'],
      ['daily', '--format', 'json'],
      ['damp', '--format', 'csv'],
    ]) {
      const plain = await call([...words, '-', ...LONDON], { stdin: GOOD });
      const env = { FORCE_COLOR: '1', COLUMNS: '20', LANG: 'de_DE.ISO-8859-1', TERM: 'dumb' };
      expect(await call([...words, '-', ...LONDON, '--color'], { stdin: GOOD, env })).toEqual(plain);
    }
  });
});
