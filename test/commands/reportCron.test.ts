import { type ChildProcess, execFileSync, spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it, vi } from 'vitest';
import { folderOf } from './call.js';

// What the README tells people to put into their crontab and their units, done as cron and systemd would do it.

vi.setConfig({ testTimeout: 60_000 });

const PROGRAM = fileURLToPath(new URL('../../bin/dewledger.js', import.meta.url));
const README = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
const MINUTE = 60_000;
const DAY = 1440 * MINUTE;

/** A reading every ten minutes for some days up to now, without those of an hour in the night before. */
function logUpToNow(days: number, isWhole: boolean): string {
  const now = Math.floor(Date.now() / (10 * MINUTE)) * 10 * MINUTE;
  const midnight = Math.floor(now / DAY) * DAY;
  const rows: string[] = ['time,temperature,humidity'];
  for (let at = midnight - days * DAY; at <= now; at += 10 * MINUTE) {
    const inHole = at > midnight - 20 * 60 * MINUTE && at < midnight - 15 * 60 * MINUTE;
    if (!isWhole && inHole) continue;
    const minute = (at / MINUTE) % 1440;
    rows.push(
      `${new Date(at).toISOString().slice(0, 19)}Z,${(10 + 3 * Math.sin(minute / 229)).toFixed(1)},${(60 + (minute % 70) / 10).toFixed(1)}`,
    );
  }
  return `${rows.join('\n')}\n`;
}

function home(isWhole = true): string {
  const folder = folderOf({
    'site.toml': 'zone = "UTC"\n[[logger]]\nid = "loft"\nfiles = ["loft.csv"]\n',
    'loft.csv': logUpToNow(40, isWhole),
  });
  mkdirSync(join(folder, 'pages'));
  return folder;
}

function block(language: string): string[] {
  return [...README.matchAll(new RegExp(`\`\`\`${language}\n([\\s\\S]*?)\`\`\``, 'g'))].map(
    ([, text]) => text!,
  );
}

const [crontab] = block('crontab');
const settings = new Map(
  [...crontab!.matchAll(/^([A-Z]+)=(.*)$/gm)].map(([, name, value]) => [name!, value!] as const),
);
const jobs = crontab!.split('\n').filter((line) => /^[\d*]/.test(line));

/** The command of a job as cron hands it to the shell: `%` ends it unless it has a backslash before it. */
function commandOf(job: string): string {
  const command = job.split(/ +/).slice(5).join(' ');
  expect(command).not.toMatch(/(?<!\\)%/);
  return command.replaceAll('\\%', '%');
}

/** Runs a job of the README as cron does, with the folder in the keeper's place and the site's zone UTC. */
function cron(job: string, folder: string) {
  const command = commandOf(job)
    .replaceAll('/home/keeper', folder)
    .replaceAll('/usr/local/bin/dewledger', `'${process.execPath}' '${PROGRAM}'`);
  const { status, stdout, stderr } = spawnSync(settings.get('SHELL')!, ['-c', command], {
    cwd: '/',
    env: { HOME: '/nonexistent', PATH: settings.get('PATH')!, SHELL: settings.get('SHELL')!, TZ: 'UTC' },
    encoding: 'utf8',
  });
  return { status, stdout, stderr };
}

describe('the crontab of the README', () => {
  it('has absolute paths, a zone and somebody to write to', () => {
    expect([...settings.keys()]).toEqual(['SHELL', 'PATH', 'TZ', 'MAILTO']);
    expect(jobs).toHaveLength(2);
    for (const job of jobs) expect(commandOf(job)).toMatch(/^\/usr\/local\/bin\/dewledger .*--site \/home\//);
  });

  it('in the morning sends no mail while all is well', () => {
    expect(cron(jobs[0]!, home())).toEqual({ status: 0, stdout: '', stderr: '' });
  });

  it('in the morning sends the page when something needs a hand', () => {
    const { status, stdout, stderr } = cron(jobs[0]!, home(false));
    expect({ status, stderr }).toEqual({ status: 1, stderr: '' });
    expect(stdout).toMatch(/^Temperature and humidity\n/);
    expect(stdout).toMatch(/Not all is well: loft away for \d h( \d+ min)?;?/);
  });

  it('on the first of the month writes the page of the last', () => {
    const folder = home(false);
    expect(cron(jobs[1]!, folder)).toEqual({ status: 0, stdout: '', stderr: '' });
    const [page, ...others] = readdirSync(join(folder, 'pages'));
    expect(others).toEqual([]);
    expect(page).toMatch(/^\d{4}-\d\d\.html$/);
    expect(readFileSync(join(folder, 'pages', page!), 'utf8')).toMatch(/^<!DOCTYPE html>[\s\S]*<\/html>\n$/);
  });
});

describe('the units of the README', () => {
  const [service, timer] = block('ini');

  it('run what the crontab runs, at a time of the zone', () => {
    expect(service).toMatch(/^ExecStart=\/usr\/local\/bin\/dewledger report --site \/\S+ --day yesterday /m);
    expect(service).toMatch(/^Type=oneshot$/m);
    expect(timer).toMatch(/^OnCalendar=\S+ \d\d:\d\d \w+\/\w+$/m);
    expect(timer).toMatch(/^WantedBy=timers\.target$/m);
  });

  it.skipIf(!existsSync('/usr/bin/systemd-analyze'))('are accepted by systemd', () => {
    // a program that is there, whatever is installed, and a user likewise
    const runnable = service!
      .replace('/usr/local/bin/dewledger', '/bin/true')
      .replace('User=keeper', 'User=root');
    const folder = folderOf({ 'dewledger.service': runnable, 'dewledger.timer': timer! });
    const said = execFileSync(
      '/usr/bin/systemd-analyze',
      ['verify', ...['service', 'timer'].map((kind) => join(folder, `dewledger.${kind}`))],
      { encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] },
    );
    expect(said).toBe('');
  });
});

describe('a report that is written to a file', () => {
  const start = (folder: string): ChildProcess =>
    spawn(
      process.execPath,
      [PROGRAM, 'report', '--site', 'site.toml', '--format', 'html', '--fail-on', 'never', '-o', 'page.html'],
      { cwd: folder, env: { HOME: '/nonexistent', PATH: '/usr/bin:/bin' }, stdio: 'ignore' },
    );
  const ended = (child: ChildProcess) =>
    new Promise<number | null>((done) => {
      child.on('exit', (code) => done(code));
    });

  it('is the old one or the whole new one, whenever the run is killed', async () => {
    const folder = home();
    const path = join(folder, 'page.html');
    await ended(start(folder));
    const whole = readFileSync(path, 'utf8');
    expect(whole).toMatch(/<\/html>\n$/);
    for (const [after, signal] of [
      [60, 'SIGKILL'],
      [250, 'SIGTERM'],
      [450, 'SIGKILL'],
      [650, 'SIGINT'],
      [900, 'SIGKILL'],
    ] as const) {
      writeFileSync(path, 'the old page\n');
      const child = start(folder);
      const end = ended(child);
      setTimeout(() => child.kill(signal), after);
      await end;
      expect(['the old page\n', whole]).toContain(readFileSync(path, 'utf8'));
    }
  });

  it('is one of them, whole, where two runs write it at once, and nothing is left over', async () => {
    const folder = home();
    const codes = await Promise.all([ended(start(folder)), ended(start(folder))]);
    expect(codes).toEqual([0, 0]);
    expect(readFileSync(join(folder, 'page.html'), 'utf8')).toMatch(/^<!DOCTYPE html>[\s\S]*<\/html>\n$/);
    expect(readdirSync(folder).sort()).toEqual(['loft.csv', 'page.html', 'pages', 'site.toml']);
  });
});

it('the beginning of the page is what the README shows of it', () => {
  const [, words, shown] = /```\n\$ dewledger (report .*)\n([\s\S]*?)```/.exec(README)!;
  const { stdout } = spawnSync(process.execPath, [PROGRAM, ...words!.split(' ')], {
    cwd: fileURLToPath(new URL('../..', import.meta.url)),
    env: { PATH: '/usr/bin:/bin', HOME: '/nonexistent', LANG: 'C' },
    encoding: 'utf8',
  });
  expect(stdout.startsWith(shown!)).toBe(true);
});
