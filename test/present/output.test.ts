import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { createWriteStream, existsSync } from 'node:fs';
import {
  chmod,
  link,
  lstat,
  mkdir,
  mkdtemp,
  readdir,
  readFile,
  rm,
  stat,
  symlink,
  writeFile,
} from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Writable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { explain, InputError } from '../../src/errors.js';
import type { Io } from '../../src/present/io.js';
import { isClosedPipe, openOutput } from '../../src/present/output.js';

/** To the superuser no folder is closed and every device can be replaced. */
const isSuperuser = process.getuid?.() === 0;

let folder: string;
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'dewledger-output-'));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

function ioWith(stdout: NodeJS.WritableStream = new PassThrough()): Io {
  return { stdin: new PassThrough(), stdout, stderr: new PassThrough(), env: {}, cwd: folder, now: () => 0 };
}

async function save(target: string, chunks: Iterable<string> | AsyncIterable<string>, inputs: string[] = []) {
  const output = await openOutput(target, ioWith(), inputs);
  try {
    await output.write(chunks);
    await output.close();
  } finally {
    await output.abandon();
  }
}

const contents = (name: string) => readFile(join(folder, name), 'utf8');
const refusal = async (work: Promise<unknown>) => {
  const error: unknown = await work.then(
    () => undefined,
    (reason) => reason,
  );
  expect(error).toBeInstanceOf(InputError);
  return explain(error as InputError);
};

function* megabytes(count: number): Generator<string> {
  for (let i = 0; i < count * 16; i++) yield 'x'.repeat(65_535).concat('\n');
}

describe('standard output', () => {
  it.each([undefined, '-'])('is meant by %s', async (target) => {
    const stdout = new PassThrough();
    const output = await openOutput(target, ioWith(stdout), []);
    await output.write(['time,logger\n', 'noon,sail-loft\n']);
    await output.write([]);
    await output.close();
    expect(String(stdout.read())).toBe('time,logger\nnoon,sail-loft\n');
    expect(await readdir(folder)).toEqual([]);
  });

  it('is still open after the output is closed', async () => {
    const stdout = new PassThrough();
    for (const text of ['one ', 'two']) {
      const output = await openOutput('-', ioWith(stdout), []);
      await output.write([text]);
      await output.close();
    }
    expect(stdout.writableEnded).toBe(false);
    expect(String(stdout.read())).toBe('one two');
  });

  it('waits for a slow reader, and asks for no more meanwhile', async () => {
    let asked = 0;
    let largest = 0;
    function* chunks() {
      for (; asked < 50; asked++) yield 'y'.repeat(65_536);
    }
    let taken = 0;
    const slow = new Writable({
      write(chunk: Buffer, _encoding, done) {
        taken += chunk.length;
        largest = Math.max(largest, asked - taken / 65_536);
        setImmediate(done);
      },
    });
    const output = await openOutput('-', ioWith(slow), []);
    await output.write(chunks());
    expect(taken).toBe(50 * 65_536);
    expect(largest).toBeLessThanOrEqual(1);
  });

  it('brings every byte through a real pipe', async () => {
    const reader = spawn('sh', ['-c', 'sleep 0.1; wc -c'], { stdio: ['pipe', 'pipe', 'inherit'] });
    const output = await openOutput('-', ioWith(reader.stdin), []);
    await output.write(megabytes(3));
    await output.close();
    reader.stdin.end();
    let count = '';
    for await (const text of reader.stdout) count += text;
    expect(Number(count)).toBe(3 * 1_048_576);
  });

  it('tells of a closed pipe in a way that can be recognised, and stops asking for text', async () => {
    const reader = spawn('head', ['-c', '10'], { stdio: ['pipe', 'ignore', 'inherit'] });
    const output = await openOutput('-', ioWith(reader.stdin), []);
    let stopped = false;
    function* chunks() {
      try {
        yield* megabytes(1000);
      } finally {
        stopped = true;
      }
    }
    const error: unknown = await output.write(chunks()).catch((reason) => reason);
    expect(isClosedPipe(error)).toBe(true);
    expect(error).not.toBeInstanceOf(InputError);
    expect(stopped).toBe(true);
    await output.abandon();
    await ended(reader);
    // The stream is dead by now: a second output on it says the same.
    const again = await openOutput('-', ioWith(reader.stdin), []);
    expect(isClosedPipe(await again.write(['more']).catch((reason) => reason))).toBe(true);
  });

  it.skipIf(!existsSync('/dev/full'))('says that the disk is full', async () => {
    const output = await openOutput('-', ioWith(createWriteStream('/dev/full')), []);
    expect(await refusal(output.write(['text']))).toMatch(
      /^standard output: cannot be written: no space left on device/,
    );
  });

  it('leaves a failure of the source as it is', async () => {
    const output = await openOutput('-', ioWith(), []);
    const bug = new TypeError('ours');
    async function* chunks() {
      yield 'a';
      throw bug;
    }
    await expect(output.write(chunks())).rejects.toBe(bug);
  });
});

describe('isClosedPipe', () => {
  it.each([null, 'EPIPE', new Error('EPIPE'), Object.assign(new Error('full'), { code: 'ENOSPC' })])(
    'is not true of %s',
    (error) => {
      expect(isClosedPipe(error)).toBe(false);
    },
  );
});

describe('a file', () => {
  it('appears whole when closed, and not before', async () => {
    await writeFile(join(folder, 'out.csv'), 'old');
    const output = await openOutput('out.csv', ioWith(), []);
    await output.write(megabytes(1));
    expect(await contents('out.csv')).toBe('old');
    await output.write(['end\n']);
    await output.close();
    expect(await contents('out.csv')).toHaveLength(1_048_580);
    expect(await readdir(folder)).toEqual(['out.csv']);
  });

  it('keeps what was there when abandoned, and leaves nothing beside it', async () => {
    await writeFile(join(folder, 'out.csv'), 'old');
    const output = await openOutput('out.csv', ioWith(), []);
    await output.write(['half']);
    await output.abandon();
    await output.abandon();
    await output.close();
    expect(await contents('out.csv')).toBe('old');
    expect(await readdir(folder)).toEqual(['out.csv']);
  });

  it('stays when abandoned after all', async () => {
    const output = await openOutput('out.csv', ioWith(), []);
    await output.write(['whole']);
    await output.close();
    await output.abandon();
    await output.close();
    expect(await contents('out.csv')).toBe('whole');
  });

  it('may come from an asynchronous source and is UTF-8', async () => {
    async function* chunks() {
      yield '温度 ';
      yield '°C\n';
    }
    await save('out.csv', chunks());
    expect(await contents('out.csv')).toBe('温度 °C\n');
  });

  it('is made by two runs at once without harm', async () => {
    const outputs = await Promise.all(['a', 'b'].map(() => openOutput('out.csv', ioWith(), [])));
    await Promise.all(outputs.map((output, i) => output.write([`run ${i}\n`])));
    await Promise.all(outputs.map((output) => output.close()));
    expect(await contents('out.csv')).toMatch(/^run [01]\n$/);
    expect(await readdir(folder)).toEqual(['out.csv']);
  });

  it.each([0o600, 0o644, 0o666])('keeps the rights %o it had', async (mode) => {
    await writeFile(join(folder, 'out.csv'), 'old');
    await chmod(join(folder, 'out.csv'), mode);
    await save('out.csv', ['new']);
    expect((await stat(join(folder, 'out.csv'))).mode & 0o777).toBe(mode);
  });

  it('has the rights of any new file otherwise', async () => {
    await writeFile(join(folder, 'any'), '');
    await save('out.csv', ['new']);
    expect((await stat(join(folder, 'out.csv'))).mode).toBe((await stat(join(folder, 'any'))).mode);
  });

  it.each(['there.csv', 'not-yet.csv'])(
    'behind a link is written there, and the link stays (%s)',
    async (name) => {
      await mkdir(join(folder, 'far'));
      await writeFile(join(folder, 'far', 'there.csv'), 'old');
      await symlink(join('far', name), join(folder, 'link.csv'));
      await save('link.csv', ['new']);
      expect((await lstat(join(folder, 'link.csv'))).isSymbolicLink()).toBe(true);
      expect(await contents(join('far', name))).toBe('new');
    },
  );
});

describe('refused', () => {
  beforeEach(async () => {
    await writeFile(join(folder, 'log.csv'), 'precious');
    await symlink('log.csv', join(folder, 'soft.csv'));
    await link(join(folder, 'log.csv'), join(folder, 'hard.csv'));
    await mkdir(join(folder, 'sub'));
  });

  it.each([
    { target: 'log.csv', input: 'log.csv', why: 'the same name' },
    { target: './sub/../log.csv', input: 'log.csv', why: 'another spelling' },
    { target: 'soft.csv', input: 'log.csv', why: 'a link to the input' },
    { target: 'log.csv', input: 'soft.csv', why: 'the input is a link' },
    { target: 'hard.csv', input: 'log.csv', why: 'another name of the same file' },
  ])('$target while $input is read: $why', async ({ target, input }) => {
    const said = await refusal(openOutput(target, ioWith(), ['-', 'missing.csv', input]));
    expect(said).toContain(`${target}: cannot be written: it is one of the inputs`);
    expect(await contents('log.csv')).toBe('precious');
  });

  it('not where the inputs are others', async () => {
    await save('out.csv', ['new'], ['log.csv', '-', 'missing.csv']);
    expect(await contents('out.csv')).toBe('new');
  });

  it.each([
    { target: 'sub', said: 'sub: cannot be written: it is a folder\n  name a file in it' },
    {
      target: 'none/out.csv',
      said: 'none/out.csv: cannot be written: no such file or directory\n  make the folder',
    },
    {
      target: 'log.csv/out.csv',
      said: 'log.csv/out.csv: cannot be written: not a directory\n  a part of the path',
    },
    { target: `${'n'.repeat(300)}.csv`, said: 'cannot be written: name too long' },
  ])('$target', async ({ target, said }) => {
    expect(await refusal(save(target, ['x']))).toContain(said);
    expect(await readdir(folder)).toEqual(['hard.csv', 'log.csv', 'soft.csv', 'sub']);
  });

  it.skipIf(isSuperuser)('a folder that is closed to us', async () => {
    await chmod(join(folder, 'sub'), 0o500);
    expect(await refusal(save('sub/out.csv', ['x']))).toContain('permission denied');
  });

  it.skipIf(isSuperuser)('a file that is locked against writing', async () => {
    await chmod(join(folder, 'log.csv'), 0o400);
    expect(await refusal(save('log.csv', ['x']))).toContain('permission denied');
  });
});

/**
 * A device to write to. The superuser could replace the machine's own by a file, should the code
 * ever take a device for one, so for the superuser it is a node of its own in the test's folder.
 */
function deviceNamed(name: 'null' | 'full'): string | null {
  if (!isSuperuser) return existsSync(`/dev/${name}`) ? `/dev/${name}` : null;
  if (process.platform !== 'linux') return null;
  const path = join(folder, name);
  // Numbers of the memory devices by mem(4) and full(4) of Linux (from memory).
  const made = spawnSync('mknod', [path, 'c', '1', name === 'null' ? '3' : '7']);
  return made.status === 0 ? path : null;
}

describe('what is no regular file', () => {
  it('a full device says so', async ({ skip }) => {
    const full = deviceNamed('full');
    if (full === null) return skip('no device of our own can be made here');
    expect(await refusal(save(full, ['text']))).toBe(
      `${full}: cannot be written: no space left on device\n  make room, or name a folder on another disk`,
    );
    expect((await stat(full)).isCharacterDevice()).toBe(true);
  });

  it('the null device takes everything, even if it is read too', async ({ skip }) => {
    const nothing = deviceNamed('null');
    if (nothing === null) return skip('no device of our own can be made here');
    await save(nothing, megabytes(1), [nothing]);
    expect((await stat(nothing)).isCharacterDevice()).toBe(true);
  });

  it('a named pipe is written straight into', async () => {
    const pipe = join(folder, 'pipe');
    await ended(spawn('mkfifo', [pipe]));
    const reader = spawn('cat', [pipe], { stdio: ['ignore', 'pipe', 'inherit'] });
    await save(pipe, ['one\n', 'two\n']);
    let read = '';
    for await (const text of reader.stdout) read += text;
    expect(read).toBe('one\ntwo\n');
    expect((await stat(pipe)).isFIFO()).toBe(true);
  });

  it('a named pipe whose reader has gone is a closed pipe', async () => {
    const pipe = join(folder, 'pipe');
    await ended(spawn('mkfifo', [pipe]));
    const reader = spawn('head', ['-c', '1', pipe], { stdio: 'ignore' });
    const output = await openOutput(pipe, ioWith(), []);
    expect(isClosedPipe(await output.write(megabytes(10)).catch((reason) => reason))).toBe(true);
    await output.abandon();
    await ended(reader);
  });
});

function ended(child: ChildProcess): Promise<void> {
  return new Promise((done) => {
    if (child.exitCode !== null) done();
    else child.once('exit', () => done());
  });
}
