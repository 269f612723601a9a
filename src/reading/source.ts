import { createReadStream } from 'node:fs';
import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
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

/**
 * The bytes of an input, unpacked where they begin like a gzip file, whatever its name.
 *
 * @throws InputError where the input cannot be opened, is a directory, or is damaged gzip
 */
export async function* bytesOf(path: string, stdin: AsyncIterable<unknown>): AsyncGenerator<Buffer> {
  const raw = path === STDIN ? buffersOf(stdin) : await openFile(path);
  try {
    const first = await raw.next();
    if (first.done === true) return;
    const whole = chain(first.value, raw);
    const packed = GZIP_MAGIC.every((byte, i) => first.value[i] === byte);
    yield* packed ? gunzip(whole) : whole;
  } catch (error) {
    throw readable(error, path);
  }
}

async function openFile(path: string): Promise<AsyncGenerator<Buffer>> {
  try {
    if ((await stat(path)).isDirectory()) {
      throw new InputError('this is a directory, not a log', { file: path }, 'name the files in it');
    }
  } catch (error) {
    throw readable(error, path);
  }
  return buffersOf(createReadStream(path, { highWaterMark: CHUNK }));
}

/** The first piece of a pipe may hold a single byte; two are needed to know gzip. */
async function* buffersOf(stream: AsyncIterable<unknown>): AsyncGenerator<Buffer> {
  let head: Buffer | null = null;
  for await (const piece of stream) {
    const chunk: Buffer = typeof piece === 'string' ? Buffer.from(piece) : Buffer.from(piece as Uint8Array);
    const joined: Buffer = head === null ? chunk : Buffer.concat([head, chunk]);
    head = joined.length < GZIP_MAGIC.length ? joined : null;
    if (head === null) yield joined;
  }
  if (head !== null) yield head;
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
