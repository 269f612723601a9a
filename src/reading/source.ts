import { closeSync, createReadStream, openSync, readSync, statSync } from 'node:fs';
import { basename } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { createGunzip } from 'node:zlib';
import { InputError } from '../errors.js';

/** Standard input, as it is named on the command line. */
export const STDIN = '-';

const CHUNK = 1 << 18;
const GZIP_MAGIC = [0x1f, 0x8b] as const;

/** What a person wrote for an input, made fit for messages and for the `sources` of a result. */
export function sourceName(path: string): string {
  return path === STDIN ? 'stdin' : path;
}

/** The logger's id where nothing else names it: the file's name without its endings. */
export function loggerFromPath(path: string): string {
  if (path === STDIN) return 'stdin';
  return basename(path).replace(/(?<=.)(\.(csv|tsv|txt|dat|log|psv|tab|gz))+$/i, '');
}

const BEAT_WORDS = /[-_. ]*(?:heart[-_. ]?beats?|beats?|alive|pings?)[-_. ]*/i;

/** The same for a file of heartbeats, whose name says as a rule that it holds them. */
export function beatLoggerFromPath(path: string): string {
  const name = loggerFromPath(path);
  return name.replace(BEAT_WORDS, '') || name;
}

/** An input that has been opened. */
export interface Source {
  /** Its bytes, unpacked. A piece is not kept: it may be gone when the next one is asked for. */
  readonly pieces: AsyncGenerator<Buffer>;
  /** About how many they are in all, null where nothing tells beforehand. */
  readonly size: number | null;
}

/**
 * Opens an input; it is unpacked where it begins like a gzip file, whatever its name.
 *
 * @throws InputError, here or from `pieces`, where it cannot be opened, is a directory, or is damaged gzip
 */
export async function openSource(path: string, stdin: AsyncIterable<unknown>): Promise<Source> {
  try {
    if (path === STDIN) return { pieces: withReasons(unpacked(stdin), path), size: null };
    const { size, isPlain } = lookInto(path);
    const pieces = isPlain ? piecesOf(path) : unpacked(createReadStream(path, { highWaterMark: CHUNK }));
    return { pieces: withReasons(pieces, path), size };
  } catch (error) {
    throw readable(error, path);
  }
}

/** Text is seldom packed to less than this share of its size; a damaged file may speak of any. */
const MOST_PACKED = 1 / 40;

/** How many bytes a file holds, unpacked, and whether it is a regular file that is not packed. */
function lookInto(path: string): { size: number | null; isPlain: boolean } {
  const stats = statSync(path);
  if (stats.isDirectory()) {
    throw new InputError('this is a directory, not a log', { file: path }, 'name the files in it');
  }
  if (!stats.isFile()) return { size: null, isPlain: false };
  // a few bytes come sooner than word that they have come
  const file = openSync(path, 'r');
  try {
    const bytes = Buffer.alloc(4);
    const length = readSync(file, bytes, 0, 4, 0);
    if (length < GZIP_MAGIC.length || !isPacked(bytes)) return { size: stats.size, isPlain: true };
    // the last four bytes hold the size of what was packed, modulo 2^32 (RFC 1952, section 2.3.1)
    readSync(file, bytes, 0, 4, Math.max(0, stats.size - 4));
    return { size: Math.min(bytes.readUInt32LE(), stats.size / MOST_PACKED), isPlain: false };
  } finally {
    closeSync(file);
  }
}

function isPacked(head: Buffer): boolean {
  return GZIP_MAGIC.every((byte, i) => head[i] === byte);
}

/** Pieces after which whatever else has come, a signal above all, gets its turn. */
const AT_A_STRETCH = 64;

/**
 * A regular file piece by piece, all of them in the same memory: fresh memory for each costs more than the reading.
 * It does not wait for each piece either, since waiting takes longer than the copy out of the system's cache.
 */
export async function* piecesOf(path: string): AsyncGenerator<Buffer> {
  const file = openSync(path, 'r');
  try {
    const memory = Buffer.allocUnsafeSlow(CHUNK);
    for (let piece = 1; ; piece++) {
      const length = readSync(file, memory);
      if (length === 0) return;
      yield memory.subarray(0, length);
      if (piece % AT_A_STRETCH === 0) await setImmediate();
    }
  } finally {
    closeSync(file);
  }
}

async function* unpacked(stream: AsyncIterable<unknown>): AsyncGenerator<Buffer> {
  const raw = buffersOf(stream);
  const first = await raw.next();
  if (first.done === true) return;
  const whole = chain(first.value, raw);
  yield* isPacked(first.value) ? gunzip(whole) : whole;
}

async function* withReasons(pieces: AsyncGenerator<Buffer>, path: string): AsyncGenerator<Buffer> {
  try {
    yield* pieces;
  } catch (error) {
    throw readable(error, path);
  }
}

/** The first piece of a pipe may hold a single byte; two are needed to know gzip. */
async function* buffersOf(stream: AsyncIterable<unknown>): AsyncGenerator<Buffer> {
  let head: Buffer | null = null;
  for await (const piece of stream) {
    const chunk: Buffer = typeof piece === 'string' ? Buffer.from(piece) : bufferOver(piece as Uint8Array);
    const joined: Buffer = head === null ? chunk : Buffer.concat([head, chunk]);
    head = joined.length < GZIP_MAGIC.length ? joined : null;
    if (head === null) yield joined;
  }
  if (head !== null) yield head;
}

function bufferOver({ buffer, byteOffset, byteLength }: Uint8Array): Buffer {
  return Buffer.from(buffer, byteOffset, byteLength);
}

async function* chain(first: Buffer, rest: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  yield first;
  yield* rest;
}

async function* gunzip(packed: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  const unpacker = createGunzip({ chunkSize: CHUNK });
  const { pipeline } = await import('node:stream/promises');
  const fed = pipeline(packed, unpacker);
  fed.catch(() => {}); // the same failure reaches the loop below
  for await (const chunk of unpacker) yield chunk as Buffer;
  await fed;
}

function readable(error: unknown, path: string): unknown {
  if (error instanceof InputError || !(error instanceof Error)) return error;
  const place = { file: sourceName(path) };
  switch ((error as NodeJS.ErrnoException).code) {
    case 'ENOENT':
      return new InputError('no such file', place);
    case 'ENOTDIR':
      return new InputError('no such file: a part of the path is not a directory', place);
    case 'EACCES':
    case 'EPERM':
      return new InputError('not allowed to read this file', place);
    case 'EISDIR':
      return new InputError('this is a directory, not a log', place, 'name the files in it');
    case 'Z_BUF_ERROR':
      return new InputError(
        'the gzip file ends too early',
        place,
        'copy it again, or unpack what is left of it',
      );
    case 'Z_DATA_ERROR':
      return new InputError('the gzip file is damaged', place, 'copy it again, or unpack what is left of it');
    case 'EIO':
    case 'EMFILE':
    case 'ELOOP':
    case 'ENAMETOOLONG':
      return new InputError(`cannot be read (${error.message})`, place);
    default:
      return error;
  }
}
