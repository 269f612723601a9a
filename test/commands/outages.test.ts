import { readFileSync } from 'node:fs';
import { describe, expect, it, vi } from 'vitest';
import { call, folderOf, sample } from './call.js';

vi.setConfig({ testTimeout: 30_000 });

const SITE = ['--site', sample('skerry-mere.toml')];

interface Entry {
  readonly logger: string;
  readonly cause: string;
  readonly last_sign: string;
  readonly next_sign: string | null;
}
const plain = ({ logger, cause, last_sign, next_sign }: Entry) => ({ logger, cause, last_sign, next_sign });

/** Beats and readings of some hours, from midnight UTC of 1 October 2025. */
const stampAt = (minute: number, second: number) =>
  new Date(Date.UTC(2025, 9, 1, 0, minute, second)).toISOString().replace('.000', '');
function files(silent: (minute: number) => boolean, hours = 12) {
  const minutes = Array.from({ length: 60 * hours }, (_, minute) => minute).filter(
    (minute) => !silent(minute),
  );
  const beats = minutes.map((minute) => stampAt(minute, 20));
  const readings = minutes
    .filter((minute) => minute % 10 === 0)
    .map((m) => `${stampAt(m, 0)},${10 + (m % 7) / 10},${60 + (m % 11) / 10}`);
  return {
    'loft.csv': ['time,temperature,humidity', ...readings, ''].join('\n'),
    'loft-heartbeats.csv': ['time', ...beats, ''].join('\n'),
  };
}

const WORDS = ['outages', 'loft.csv', '--heartbeats', 'loft-heartbeats.csv', '--zone', 'UTC'];

describe('outages of the samples', () => {
  it('are exactly those that are known, each with its cause and its bounds', async () => {
    const known = JSON.parse(readFileSync(sample('outages.json'), 'utf8')) as Entry[];
    const { stdout, code } = await call(['outages', ...SITE, '--format', 'json']);
    const { outages } = JSON.parse(stdout) as { outages: Entry[] };
    const inOrder = (entries: readonly Entry[]) =>
      entries.map(plain).sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1));
    expect(inOrder(outages)).toEqual(inOrder(known));
    expect(code).toBe(1);
  });

  it('have a row each in CSV, and all of their columns', async () => {
    const { stdout } = await call(['outages', ...SITE, '--format', 'csv']);
    const rows = stdout.trimEnd().split('\n');
    expect(rows[0]).toMatch(
      /^logger,cause,could_also_be,from,until,last_sign,next_sign,down_least_s,down_s,down_most_s,/,
    );
    expect(rows.length).toBe(1 + 22);
  });

  it('of one day reach over its ends', async () => {
    const { stdout } = await call([
      'outages',
      ...SITE,
      '--day',
      '2025-10-18',
      '--logger',
      'sail-loft',
      '--format',
      'json',
    ]);
    const { outages, loggers } = JSON.parse(stdout);
    expect(outages).toMatchObject([
      {
        cause: 'power',
        censored: 'start',
        from: '2025-10-18T00:00:00+01:00',
        last_sign: '2025-10-17T13:13:05+01:00',
      },
    ]);
    expect(loggers[0].device.observed_hours).toBe(24);
  });
});

describe('outages', () => {
  it('end with 0 and say nothing under --quiet where all is well', async () => {
    const cwd = folderOf(files(() => false));
    expect(await call([...WORDS, '--quiet'], { cwd })).toEqual({ code: 0, stdout: '', stderr: '' });
    const { stdout } = await call(WORDS, { cwd });
    expect(stdout).toContain('no outage');
    expect(stdout).toContain('> ');
  });

  it('end with 1 from --fail-on on', async () => {
    const cwd = folderOf(files((minute) => minute >= 120 && minute < 180));
    const codes: number[] = [];
    for (const failOn of ['never', 'error', 'warning', 'note']) {
      codes.push((await call([...WORDS, '--fail-on', failOn], { cwd })).code);
    }
    expect(codes).toEqual([0, 0, 1, 1]);
  });

  it('without heartbeats say that the cause cannot be told', async () => {
    const cwd = folderOf(files((minute) => minute >= 120 && minute < 180));
    const { stdout } = await call(['outages', 'loft.csv', '--zone', 'UTC', '--format', 'json'], { cwd });
    expect(JSON.parse(stdout)).toMatchObject({
      format: 'dewledger/outages',
      version: 1,
      outages: [{ cause: 'undecided', could_also_be: ['power', 'link', 'sensor'], missed_readings: 6 }],
      loggers: [{ device: null }],
    });
  });

  it('give beats of a file to the logger that its name speaks of, or its lines', async () => {
    const made = files((minute) => minute >= 120 && minute < 180);
    const named = made['loft-heartbeats.csv']
      .replace('time', 'logger,time')
      .replaceAll('\n2025', '\nloft,2025');
    const cwd = folderOf({ ...made, 'all.csv': named });
    const cause = async (beats: string) => {
      const { stdout } = await call(
        ['outages', 'loft.csv', '--heartbeats', beats, '--zone', 'UTC', '--format', 'json'],
        { cwd },
      );
      return JSON.parse(stdout).outages.map((each: Entry) => [each.logger, each.cause]);
    };
    expect(await cause('loft-heartbeats.csv')).toEqual([['loft', 'link']]);
    expect(await cause('all.csv')).toEqual([['loft', 'link']]);
    expect(await cause('l*-heart*.csv')).toEqual([['loft', 'link']]);
  });

  it('name a heartbeat file that is not there, work the rest, and end with 2', async () => {
    const cwd = folderOf(files(() => false));
    const { code, stdout, stderr } = await call(
      ['outages', 'loft.csv', '--heartbeats', 'gone.csv', '--zone', 'UTC'],
      { cwd },
    );
    expect(code).toBe(2);
    expect(stderr).toContain('gone.csv: no such file');
    expect(stdout).toContain('loft (data)');
  });

  it('read the heartbeats of the site file, and leave them out of the readings', async () => {
    const site = `[[logger]]\nid = "loft"\nfiles = ["loft*.csv"]\nheartbeats = ["loft-heart*"]\nheartbeat_cadence = "PT1M"\n`;
    const cwd = folderOf({ ...files((minute) => minute >= 120 && minute < 180), 'dewledger.toml': site });
    const { stdout, stderr } = await call(['outages', '--zone', 'UTC', '--format', 'json'], { cwd });
    expect(stderr).toBe('');
    expect(JSON.parse(stdout).outages).toMatchObject([{ cause: 'link', missed_beats: 60 }]);
  });

  it('take the heartbeats from standard input, but not the readings as well', async () => {
    const made = files((minute) => minute >= 120 && minute < 180);
    const cwd = folderOf(made);
    const stdin = made['loft-heartbeats.csv'];
    const { stdout } = await call([...WORDS.slice(0, 3), '-', ...WORDS.slice(4), '--format', 'csv'], {
      cwd,
      stdin,
    });
    expect(stdout.split('\n')[1]).toMatch(/^loft,link,power,/);
    const twice = await call(['outages', '-', '--heartbeats', '-', '--zone', 'UTC'], {
      cwd,
      stdin: made['loft.csv'],
    });
    expect(twice).toMatchObject({ code: 2, stdout: '' });
    expect(twice.stderr).toContain('only once');
  });

  it('do not write over the heartbeats', async () => {
    const cwd = folderOf(files(() => false));
    const { code, stderr } = await call([...WORDS, '-o', 'loft-heartbeats.csv'], { cwd });
    expect(code).toBe(2);
    expect(stderr).toContain('one of the inputs');
  });

  it.each(['PT0S', 'a minute'])('refuse the cadence %s', async (cadence) => {
    const cwd = folderOf(files(() => false));
    expect((await call([...WORDS, '--heartbeat-cadence', cadence], { cwd })).code).toBe(2);
  });
});
