import { createHash } from 'node:crypto';
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import { piecesOf, STDIN } from '../reading/source.js';
import type { PageInput } from '../report/page.js';

/** What was read, with the SHA-256 of every file as it lies there; null where it cannot be had any more. */
export async function digestsOf(paths: readonly string[], cwd: string): Promise<PageInput[]> {
  const inputs: PageInput[] = [];
  for (const path of new Set(paths)) {
    inputs.push({ path, sha256: path === STDIN ? null : await digest(resolve(cwd, path)) });
  }
  return inputs;
}

async function digest(path: string): Promise<string | null> {
  const hash = createHash('sha256');
  try {
    if (!statSync(path).isFile()) return null; // what came through a pipe is gone
    for await (const piece of piecesOf(path)) hash.update(piece);
  } catch {
    return null; // that it could not be read is told elsewhere
  }
  return hash.digest('hex');
}
