import { readFile } from 'node:fs/promises';
import { parse, TomlError } from 'smol-toml';
import { InputError } from '../errors.js';
import { complaintsAbout } from './complaint.js';
import { siteFrom } from './resolve.js';
import type { Site } from './site.js';
import { statedIn } from './stated.js';

/**
 * The site that a TOML text describes.
 *
 * @param file its name, for messages, and the place that the globs in it start from
 * @throws InputError about the first mistake, with its line, column and key path
 */
export function parseSite(text: string, file: string): Site {
  const complain = complaintsAbout(text, file);
  return siteFrom(statedIn(documentIn(text, file), complain), file, complain);
}

const REASONS: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'a part of the path is not a folder',
  EISDIR: 'this is a folder',
  EACCES: 'not allowed',
  EPERM: 'not allowed',
};

/** The site in a file (UTF-8). Throws an InputError if it cannot be read or has a mistake in it. */
export async function loadSite(path: string): Promise<Site> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    throw new InputError(`the site file cannot be read: ${REASONS[code] ?? code}`, { file: path });
  }
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new InputError('the site file is not UTF-8 text', { file: path }, 'save it anew as UTF-8');
  }
  return parseSite(text, path);
}

function documentIn(text: string, file: string): unknown {
  try {
    return parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const { line, column } = error;
    const [reason = ''] = error.message.replace('Invalid TOML document: ', '').split('\n');
    throw new InputError(
      `this is not TOML, ${reason}`,
      { file, line, column, text: text.split(/\r?\n/)[line - 1]?.trim() ?? '' },
      'a line is key = value, [table] or [[list of tables]]; text stands in "quotes", each key once',
    );
  }
}
