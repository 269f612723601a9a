import type { BigIntStats } from 'node:fs';
import { closeSync, constants, openSync, rmSync } from 'node:fs';
import { access, open, readlink, realpath, rename, rm, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { getSystemErrorMap } from 'node:util';
import { InputError } from '../errors.js';
import type { Io } from './io.js';

/** Text, or its bytes; bytes hold good until the piece after the next is asked for. */
export type Chunks = Iterable<string | Uint8Array> | AsyncIterable<string>;

/** Where a command's data goes. Nothing is promised to be there before `close`. */
export interface Output {
  /** Takes text piece by piece, no faster than it can be passed on. Adds no line ends. */
  write(chunks: Chunks): Promise<void>;
  /** The work is done: the file appears under its name. */
  close(): Promise<void>;
  /** The work failed: the file stays as it was. No harm after `close` or a second time. */
  abandon(): Promise<void>;
}

/**
 * Opens what `--output` names.
 *
 * A regular file is written beside its place and moved there by `close`, so that a reader sees the
 * old file or the whole new one. Devices and named pipes are written directly.
 *
 * @param target path from `io.cwd`; undefined or `-` is standard output
 * @param protectedInputs paths of what is being read, which must not be overwritten
 * @param encoding latin1 writes a byte for each character, for text that holds bytes as they came
 * @throws InputError if the target is an input, a folder, or cannot be written; also from the
 *   methods of the output, as on a full disk. A closed pipe comes as it is: see `isClosedPipe`.
 */
export async function openOutput(
  target: string | undefined,
  io: Io,
  protectedInputs: readonly string[],
  encoding: 'utf8' | 'latin1' = 'utf8',
): Promise<Output> {
  if (target === undefined || target === '-') return streamOutput(io.stdout, encoding);
  const path = resolve(io.cwd, target);
  const old = await statOf(path, target);
  if (old !== null) await refuseInputs(old, target, io.cwd, protectedInputs);
  if (old?.isDirectory()) {
    throw new InputError('cannot be written: it is a folder', { file: target }, 'name a file in it');
  }
  return old === null || old.isFile()
    ? fileOutput(path, target, old, encoding)
    : deviceOutput(path, target, encoding);
}

/**
 * Whether an error says that the reader has gone away (`| head`), which is no failure of ours.
 * Where pipes are sockets, a reader that leaves text unread gives ECONNRESET.
 */
export function isClosedPipe(error: unknown): boolean {
  return ['EPIPE', 'ECONNRESET', 'ERR_STREAM_DESTROYED'].includes(codeOf(error));
}

/** Keeps a failing stream from ending the process by itself: its failures reach those who write to it. */
export function ownFailures(stream: NodeJS.WritableStream): void {
  if (!stream.listeners('error').includes(reportedToTheWriter)) stream.on('error', reportedToTheWriter);
}

function reportedToTheWriter(): void {}

function streamOutput(stream: NodeJS.WritableStream, encoding: BufferEncoding): Output {
  ownFailures(stream);
  const send = (bytes: Uint8Array) =>
    new Promise<void>((done, failed) => {
      stream.write(bytes, (error) => (error ? failed(outputError(error, 'standard output')) : done()));
    });
  return {
    write: (chunks) => passOn(chunks, encoding, send),
    close: async () => {},
    abandon: async () => {},
  };
}

async function deviceOutput(path: string, target: string, encoding: BufferEncoding): Promise<Output> {
  const file = await attempt(target, () => open(path, constants.O_WRONLY));
  let isOpen = true;
  const finish = async () => {
    if (!isOpen) return;
    isOpen = false;
    await attempt(target, () => file.close());
  };
  return {
    write: (chunks) => passOn(chunks, encoding, (bytes) => attempt(target, () => file.appendFile(bytes))),
    close: finish,
    abandon: finish,
  };
}

async function fileOutput(
  path: string,
  target: string,
  old: BigIntStats | null,
  encoding: BufferEncoding,
): Promise<Output> {
  // A file that its owner has locked against writing would not stop a rename.
  if (old !== null) await attempt(target, () => access(path, constants.W_OK));
  const place = await attempt(target, () => destination(path));
  const temporary = join(dirname(place), `.${crypto.randomUUID()}.part`);
  const settled = removedWhenInterrupted(temporary);
  const file = await attempt(target, () => {
    closeSync(openSync(temporary, 'wx')); // in one go, so that no signal finds it half made
    return open(temporary, 'r+');
  }).catch((error) => {
    settled();
    throw error;
  });
  let isOpen = true;
  const discard = async () => {
    await file.close().catch(() => {});
    await rm(temporary, { force: true });
    settled();
  };
  return {
    write: (chunks) => passOn(chunks, encoding, (bytes) => attempt(target, () => file.appendFile(bytes))),
    close: async () => {
      if (!isOpen) return;
      isOpen = false;
      try {
        await attempt(target, async () => {
          if (old !== null) await file.chmod(Number(old.mode & 0o777n));
          // Else a power cut soon after the rename could leave an empty file under the name.
          await file.sync();
          await file.close();
          await rename(temporary, place);
        });
        settled();
      } catch (error) {
        await discard();
        throw error;
      }
    },
    abandon: async () => {
      if (!isOpen) return;
      isOpen = false;
      await discard();
    },
  };
}

/**
 * Takes a file away should the process be told to end, and then lets the signal do its work.
 *
 * @returns to be called when the file has been moved or removed
 */
function removedWhenInterrupted(path: string): () => void {
  const takings = (['SIGINT', 'SIGTERM'] as const).map((signal) => {
    const take = () => {
      rmSync(path, { force: true });
      process.kill(process.pid, signal); // nobody listens any more: it ends us, with its own exit code
    };
    process.once(signal, take);
    return () => process.off(signal, take);
  });
  return () => {
    for (const release of takings) release();
  };
}

/** Text held back to make a write worth its cost [characters]. */
const BATCH = 65_536;

/** Sends pieces in order, one at a time; while one is on its way, the next is made. */
async function passOn(
  chunks: Chunks,
  encoding: BufferEncoding,
  send: (bytes: Uint8Array) => Promise<void>,
): Promise<void> {
  let held = '';
  let sending = Promise.resolve();
  const pass = async (bytes: Uint8Array) => {
    await sending;
    sending = send(bytes);
    sending.catch(() => {}); // told by the next `await`
  };
  const release = async () => {
    const text = held;
    held = '';
    if (text !== '') await pass(Buffer.from(text, encoding));
  };
  try {
    for await (const chunk of chunks) {
      if (typeof chunk === 'string') {
        held += chunk;
        if (held.length >= BATCH) await release();
      } else {
        await release();
        await pass(chunk);
      }
    }
    await release();
  } finally {
    await sending;
  }
}

async function statOf(path: string, target: string): Promise<BigIntStats | null> {
  try {
    return await stat(path, { bigint: true });
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null;
    throw outputError(error, target);
  }
}

/** Compares what the names stand for, so that links and other spellings of a path are seen through. */
async function refuseInputs(
  old: BigIntStats,
  target: string,
  cwd: string,
  inputs: readonly string[],
): Promise<void> {
  // A terminal or the null device may well be both.
  if (old.isCharacterDevice()) return;
  for (const input of inputs) {
    if (input === '-') continue;
    const read = await stat(resolve(cwd, input), { bigint: true }).catch(() => null);
    if (read === null || read.dev !== old.dev || read.ino !== old.ino) continue;
    const advice = 'write to another file, then move it';
    throw new InputError('cannot be written: it is one of the inputs', { file: target }, advice);
  }
}

/** Where a path leads in the end, so that a link stays a link; also a link to a file not yet there. */
async function destination(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (error) {
    if (codeOf(error) !== 'ENOENT') throw error;
  }
  const link = await readlink(path).catch(() => null);
  if (link !== null) return destination(resolve(dirname(path), link));
  return join(await realpath(dirname(path)), basename(path));
}

async function attempt<Result>(target: string, act: () => Promise<Result>): Promise<Result> {
  try {
    return await act();
  } catch (error) {
    throw outputError(error, target);
  }
}

const ADVICE: Readonly<Record<string, string>> = {
  ENOENT: 'make the folder first, or name another',
  ENOTDIR: 'a part of the path is a file, not a folder',
  EACCES: 'ask for the right to write there, or name another folder',
  EPERM: 'ask for the right to write there, or name another folder',
  EROFS: 'name a folder on a disk that can be written to',
  ENOSPC: 'make room, or name a folder on another disk',
  EDQUOT: 'make room, or name a folder on another disk',
};

/** What the operating system refused, as something to mend; a closed pipe and our own bugs as they are. */
function outputError(error: unknown, target: string): unknown {
  const code = codeOf(error);
  if (code === '' || isClosedPipe(error)) return error;
  const errno = (error as NodeJS.ErrnoException).errno;
  const reason = (errno === undefined ? undefined : getSystemErrorMap().get(errno)?.[1]) ?? code;
  return new InputError(`cannot be written: ${reason}`, { file: target }, ADVICE[code]);
}

function codeOf(error: unknown): string {
  if (!(error instanceof Error) || !('code' in error)) return '';
  return typeof error.code === 'string' ? error.code : '';
}
