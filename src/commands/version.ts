import { readFileSync } from 'node:fs';

/** Name and version of the program, `dewledger 0.1.0`. */
export function nameAndVersion(): string {
  const manifest = new URL('../../package.json', import.meta.url);
  const { version } = JSON.parse(readFileSync(manifest, 'utf8')) as { version: string };
  return `dewledger ${version}`;
}
