import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, GOOD, sample, smallLog } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

const RFC_3339 = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{3})?(Z|[+-]\d\d:\d\d)$/;
const SITE = ['--site', sample('skerry-mere.toml')];

interface Lines {
  readonly total: number;
  readonly header: number;
  readonly blank: number;
  readonly accepted: number;
  readonly rejected: number;
  readonly outside_window: number;
}

/** Both equations of the contract, for every log and every source. */
function expectAccounts(document: {
  readonly logs: readonly { readonly lines: Lines; readonly readings: Record<string, number> }[];
  readonly sources: readonly { readonly lines: Lines }[];
}): void {
  for (const { lines } of [...document.logs, ...document.sources]) {
    const { header, blank, accepted, rejected, outside_window: outside } = lines;
    expect(lines.total).toBe(header + blank + accepted + rejected + outside);
  }
  for (const { lines, readings } of document.logs) {
    expect(readings.accepted).toBe(readings.duplicates_dropped! + readings.kept!);
    expect(readings.accepted).toBe(lines.accepted);
  }
}

const audited = async (words: readonly string[], stdin = '') =>
  JSON.parse((await call(['audit', ...words, '--format', 'json'], { stdin })).stdout);

const OF_THE_SITE = await audited(SITE);

describe('audit --format json', () => {
  it('has these keys, in this order', () => {
    const document = OF_THE_SITE;
    expect(Object.keys(document)).toEqual(['format', 'version', 'logs', 'sources']);
    expect(document).toMatchObject({ format: 'dewledger/audit', version: 1 });
    expect(document.logs.map(({ logger }: { logger: string }) => logger)).toEqual([
      'boat-hall',
      'sail-loft',
      'battery-locker',
    ]);
    for (const log of document.logs) {
      expect(Object.keys(log)).toEqual([
        'logger',
        'sources',
        'zone',
        'assumed',
        'from',
        'until',
        'cadence_s',
        'lines',
        'readings',
        'coverage',
        'findings',
        'not_evaluated',
      ]);
      expect(Object.keys(log.lines)).toEqual([
        'total',
        'header',
        'blank',
        'accepted',
        'rejected',
        'outside_window',
      ]);
      expect(Object.keys(log.readings)).toEqual([
        'accepted',
        'duplicates_dropped',
        'conflicting_of_these',
        'kept',
      ]);
      expect(Object.keys(log.coverage)).toEqual(['expected', 'observed', 'fraction', 'unknown_hours']);
      for (const finding of log.findings) {
        expect(Object.keys(finding)).toEqual([
          'check',
          'severity',
          'quantity',
          'from',
          'until',
          'count',
          'source',
          'lines',
          'message',
          'confidence',
          'advice',
        ]);
      }
    }
    for (const source of document.sources)
      expect(Object.keys(source)).toEqual(['source', 'lines', 'assumed']);
  });

  it('has plain numbers, null where there is nothing, times with their offset', async () => {
    const document = OF_THE_SITE;
    for (const log of document.logs) {
      expect(log.zone).toBe('Europe/London');
      expect([log.from, log.until]).toEqual([
        expect.stringMatching(RFC_3339),
        expect.stringMatching(RFC_3339),
      ]);
      expect(log.coverage.fraction).toBeGreaterThan(0.9);
      expect(log.coverage.fraction).toBeLessThan(1);
      expect(log.coverage.unknown_hours).toBeGreaterThan(0);
      expect(log.findings.length).toBeGreaterThan(3);
      for (const { from, until, lines, count, severity, confidence, quantity } of log.findings) {
        for (const time of [from, until]) expect(time === null || RFC_3339.test(time)).toBe(true);
        expect(lines === null || (lines.length === 2 && lines[0] <= lines[1])).toBe(true);
        expect(Number.isInteger(count) && count > 0).toBe(true);
        expect(['note', 'warning', 'error']).toContain(severity);
        expect(['certain', 'likely', 'possible']).toContain(confidence);
        expect(['time', 'air_temperature', 'relative_humidity']).toContain(quantity);
      }
    }
    const empty = await audited(['-']);
    expect(empty.logs[0]).toMatchObject({
      assumed: expect.anything(),
      from: null,
      until: null,
      cadence_s: null,
    });
    expect(empty.logs[0].coverage).toEqual({
      expected: null,
      observed: null,
      fraction: 0,
      unknown_hours: null,
    });
  });

  it.each([
    { why: 'the whole month', words: SITE },
    { why: 'a day', words: [...SITE, '--day', '2025-10-26'] },
    { why: 'a day before the logs', words: [...SITE, '--day', '2024-10-26'] },
    { why: 'one logger', words: [...SITE, '--logger', 'sail-loft'] },
  ])('accounts for every line of the samples: $why', async ({ words }) => {
    const document = await audited(words);
    expectAccounts(document);
    const total = { 'boat-hall.csv': 1486, 'sail-loft.csv': 4272, 'battery-locker.tsv': 8299 };
    for (const { source, lines } of document.sources) {
      const name = source.slice(source.lastIndexOf('/') + 1) as keyof typeof total;
      // the last line of the locker is torn and has no line end
      expect(lines.total).toBe(total[name] + (name === 'battery-locker.tsv' ? 1 : 0));
    }
  });

  const heading = 'time,logger,temperature,humidity';
  it.each([
    {
      why: 'broken lines between two loggers',
      total: 9,
      text: `${heading}\n2025-10-01T00:00Z,a,1,50\nbroken\n2025-10-01T00:00Z,b,1,50\n,,,\n2025-10-01T00:10Z,a,x,50\n2025-10-01T00:10Z,b,1,y\n2025-10-01T00:20Z,a,1,50\n2025-10-01T00:20Z,b,1,50\n`,
    },
    {
      why: 'no line names its logger',
      total: 3,
      text: `${heading}\n2025-10-01T00:00Z,,1,50\n2025-10-01T00:10Z,,1,50\n`,
    },
    {
      why: 'a heading in the middle',
      total: 4,
      text: `${heading}\n2025-10-01T00:00Z,a,1,50\n${heading}\n2025-10-01T00:10Z,a,1,50\n`,
    },
    {
      why: 'duplicates and a conflict',
      total: 5,
      text: `${heading}\n${'2025-10-01T00:00Z,a,1,50\n'.repeat(3)}2025-10-01T00:00Z,a,2,50\n`,
    },
    {
      why: 'a quote that does not close',
      total: 4,
      text: `${heading}\n2025-10-01T00:00Z,a,1,50\n"2025-10-01T00:10Z,a,1,50\n2025-10-01T00:20Z,a,1,50\n`,
    },
    {
      why: 'one line that is two',
      total: 5,
      text: `${heading}\n2025-10-01T00:00Z,a,1,50\n2025-10-01T00:10Z,a,1,502025-10-01T00:20Z,a,1,50\n2025-10-01T00:30Z,a,1,50\n2025-10-01T00:40Z,a,1,50`,
    },
    {
      why: 'two pairs of columns, one of them empty',
      total: 3,
      text: 'time,west temperature,west humidity,east temperature,east humidity\n2025-10-01T00:00Z,1,50,2,51\n2025-10-01T00:10Z,1,50,,\n',
    },
  ])('accounts for damaged lines: $why', async ({ total, text }) => {
    const document = await audited(['-', '--zone', 'UTC'], text);
    expectAccounts(document);
    expect(document.sources[0].lines.total).toBe(total);
  });

  it('tells 100,000 broken lines as one finding with first and last line', async () => {
    const document = await audited(['-', '--zone', 'UTC'], `${GOOD}${'power lost\n'.repeat(100_000)}`);
    expectAccounts(document);
    const [log] = document.logs;
    expect(log.lines).toMatchObject({ total: 100_007, accepted: 6, rejected: 100_000 });
    const unreadable = log.findings.filter(({ check }: { check: string }) => check === 'unreadable');
    expect(unreadable).toMatchObject([{ count: 100_000, lines: [8, 100_007], severity: 'error' }]);
  });

  it('shows hostile names as they are, in valid JSON', async () => {
    const name = '"><script>\u202e\x1b[31m=1+1';
    const text = `time,logger,temperature,humidity\n2025-10-01T00:00Z,"${name.replaceAll('"', '""')}",1,50\n`;
    expect((await audited(['-', '--zone', 'UTC'], text)).logs[0].logger).toBe(name);
  });
});

describe('audit --format csv', () => {
  it('has a row per finding under its heading', async () => {
    const csv = await call(['audit', ...SITE, '--format', 'csv']);
    const lines = csv.stdout.trimEnd().split('\n');
    expect(lines[0]).toBe(
      'logger,check,severity,quantity,from,until,count,source,first_line,last_line,confidence,message,advice',
    );
    const findings = OF_THE_SITE.logs.flatMap(({ findings }: { findings: unknown[] }) => findings);
    expect(lines.length - 1).toBe(findings.length);
    expect(csv.code).toBe(1);
  });

  it('has its heading without a finding, too', async () => {
    const { stdout, code } = await call(['audit', '-', '--format', 'csv', '--zone', 'UTC'], { stdin: GOOD });
    expect(code).toBe(0);
    expect(stdout).toMatch(/^logger,check,[^\n]*\n$/);
  });
});

describe('the table', () => {
  it('lets nothing in a log steer the terminal', async () => {
    const stdin =
      'time,logger,temperature,humidity\n2025-10-01T00:00Z,\x1b[31mred,1,50\nbroken \x1b]0;x\x07 line\n';
    const { stdout } = await call(['audit', '-', '--zone', 'UTC'], { stdin });
    expect(stdout).toContain('\\x1b[31mred');
    for (const control of ['\x1b', '\x07']) expect(stdout).not.toContain(control);
  });

  it('says so where nothing is wrong', async () => {
    const { stdout } = await call(['audit', '-', '--zone', 'UTC'], { stdin: GOOD });
    expect(stdout).toBe(
      'stdin: 2025-10-01 00:00 to 2025-10-01 00:50 UTC, a reading every 10 min, 6 of 6 readings came (100 %), too few for decimal_shift, inconsistent, spike, rate_of_change, nothing found\n',
    );
  });
});

describe('exit code and silence', () => {
  // a lost reading is a note, a sentinel a warning, three hours without reading an error
  const note = GOOD.replace(/2025-10-01T00:30:00Z.*\n/, '');
  const warning = smallLog([
    [10, 50],
    [10.2, 51],
    [-999, 52],
    [10.3, 53],
    [10.5, 52],
  ]);
  const error = GOOD + GOOD.replace(/^.*\n/, '').replaceAll('T00', 'T09');

  it.each([
    { worst: 'nothing', text: GOOD, failing: [] },
    { worst: 'a note', text: note, failing: ['note'] },
    { worst: 'a warning', text: warning, failing: ['note', 'warning'] },
    { worst: 'an error', text: error, failing: ['note', 'warning', 'error'] },
  ])('$worst fails on $failing', async ({ text, failing }) => {
    for (const level of ['note', 'warning', 'error', 'never']) {
      for (const command of ['audit', 'clean', 'daily', 'damp']) {
        const { code } = await call([command, '-', '--zone', 'UTC', '--fail-on', level], { stdin: text });
        expect({ command, level, code }).toEqual({ command, level, code: failing.includes(level) ? 1 : 0 });
      }
    }
    const { code } = await call(['audit', '-', '--zone', 'UTC'], { stdin: text });
    expect(code).toBe(failing.includes('error') ? 1 : 0);
    for (const command of ['clean', 'daily', 'damp']) {
      expect((await call([command, '-', '--zone', 'UTC'], { stdin: text })).code).toBe(0);
    }
  });

  it.each([
    { why: 'nothing wrong', text: GOOD, words: [], silent: true },
    { why: 'less than asked for', text: warning, words: [], silent: true },
    { why: 'as much as asked for', text: warning, words: ['--fail-on', 'warning'], silent: false },
    { why: 'an error', text: error, words: [], silent: false },
  ])('--quiet with $why', async ({ text, words, silent }) => {
    const loud = await call(['audit', '-', '--zone', 'UTC', ...words], { stdin: text });
    const quiet = await call(['audit', '-', '--zone', 'UTC', '--quiet', ...words], { stdin: text });
    expect(quiet).toEqual({ code: loud.code, stdout: silent ? '' : loud.stdout, stderr: '' });
    expect(quiet.code).toBe(silent ? 0 : 1);
  });

  it('--quiet leaves no file behind when all is well', async () => {
    const cwd = folderOf({ 'log.csv': GOOD });
    await call(['audit', 'log.csv', '--quiet', '-o', 'out.txt'], { cwd });
    expect((await call(['audit', 'out.txt'], { cwd })).stderr).toContain('no such file');
  });

  it('a check that is skipped does not count', async () => {
    const { code } = await call(['audit', '-', '--zone', 'UTC', '--skip', 'gap'], { stdin: error });
    expect(code).toBe(0);
  });
});
