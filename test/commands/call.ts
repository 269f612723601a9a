import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { afterAll } from 'vitest';
import { run } from '../../src/run.js';

export interface Called {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

export interface Surroundings {
  readonly stdin?: string | Buffer;
  /** Whether standard input is a terminal, on which nobody types. */
  readonly terminal?: boolean;
  /** Columns of the terminal that standard output is; none: it is a pipe. */
  readonly width?: number;
  readonly cwd?: string;
  readonly env?: Readonly<Record<string, string>>;
  readonly now?: number;
}

/** Runs the program in this process. Nothing of the machine is seen but the files that are named. */
export async function call(words: readonly string[], surroundings: Surroundings = {}): Promise<Called> {
  const {
    stdin = '',
    terminal = false,
    width,
    cwd = '/',
    env = {},
    now = Date.UTC(2025, 10, 1, 12),
  } = surroundings;
  const stdout = sink();
  const stderr = sink();
  const code = await run(words, {
    stdin: Object.assign(Readable.from([Buffer.from(stdin)]), { isTTY: terminal }),
    stdout: Object.assign(stdout.stream, width === undefined ? {} : { isTTY: true, columns: width }),
    stderr: stderr.stream,
    env: { HOME: '/nonexistent', ...env },
    cwd,
    now: () => now,
  });
  return { code, stdout: stdout.text(), stderr: stderr.text() };
}

function sink(): { stream: Writable; text(): string } {
  const pieces: Buffer[] = [];
  const stream = new Writable({
    write(chunk, encoding, done) {
      pieces.push(typeof chunk === 'string' ? Buffer.from(chunk, encoding) : Buffer.from(chunk));
      done();
    },
  });
  return { stream, text: () => Buffer.concat(pieces).toString() };
}

const made: string[] = [];

/** A folder of its own with these files in it; gone after the tests of the file. */
export function folderOf(files: Readonly<Record<string, string | Buffer>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'dewledger-commands-'));
  made.push(folder);
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, name)), { recursive: true });
    writeFileSync(join(folder, name), content);
  }
  return folder;
}

afterAll(() => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true });
});

export const sample = (name: string): string =>
  fileURLToPath(new URL(`../../samples/${name}`, import.meta.url));

/** A log with a heading and a reading every ten minutes, from midnight UTC of 1 October 2025. */
export function smallLog(
  values: readonly (readonly [temperature: number | string, humidity: number | string])[],
) {
  const rows = values.map(([temperature, humidity], i) => `${tenMinutes(i)},${temperature},${humidity}`);
  return ['time,temperature,humidity', ...rows, ''].join('\n');
}

export function tenMinutes(count: number): string {
  return new Date(Date.UTC(2025, 9, 1) + count * 600_000).toISOString().replace('.000', '');
}

/** Six readings with nothing wrong. */
export const GOOD = smallLog([
  [10, 50],
  [10.5, 51],
  [11, 52],
  [11.2, 53],
  [11.4, 54],
  [11.1, 55],
]);
