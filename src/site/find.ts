import { stat } from 'node:fs/promises';
import { isAbsolute, join, resolve } from 'node:path';
import { InputError } from '../errors.js';

export interface SiteSearch {
  /** Value of `--site`, null where not given. */
  readonly option: string | null;
  /** Of which `DEWLEDGER_SITE` and `XDG_CONFIG_HOME` count; empty is unset. */
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly cwd: string;
  /** Home folder of the user. */
  readonly home: string;
}

export interface FoundSite {
  /** Absolute. */
  readonly path: string;
  readonly from: '--site' | 'DEWLEDGER_SITE' | 'working folder' | 'configuration folder';
}

/**
 * The site file that counts: the one named by `--site`, else by `DEWLEDGER_SITE`, else `dewledger.toml` in
 * the working folder, else `dewledger/site.toml` in the user's configuration folder (XDG Base Directory
 * Specification: `$XDG_CONFIG_HOME` if absolute, else `~/.config`). Relative names start from `cwd`.
 *
 * @returns null where none was named and none is there
 * @throws InputError if a file that was named is not there, or the search is not allowed to look
 */
export async function findSite({ option, env, cwd, home }: SiteSearch): Promise<FoundSite | null> {
  const named = env.DEWLEDGER_SITE ?? '';
  if (option !== null) return namedSite(resolve(cwd, option), '--site');
  if (named !== '') return namedSite(resolve(cwd, named), 'DEWLEDGER_SITE');

  const xdg = env.XDG_CONFIG_HOME ?? '';
  const configuration = isAbsolute(xdg) ? xdg : join(home, '.config');
  const usual: readonly FoundSite[] = [
    { path: join(cwd, 'dewledger.toml'), from: 'working folder' },
    { path: join(configuration, 'dewledger', 'site.toml'), from: 'configuration folder' },
  ];
  for (const place of usual) if (await isThere(place.path)) return place;
  return null;
}

async function namedSite(path: string, from: FoundSite['from']): Promise<FoundSite> {
  if (await isThere(path)) return { path, from };
  throw new InputError(`the site file that ${from} names does not exist`, { file: path });
}

/** Anything but a folder: a pipe is as good as a file. */
async function isThere(path: string): Promise<boolean> {
  try {
    return !(await stat(path)).isDirectory();
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT' || code === 'ENOTDIR') return false;
    throw new InputError(
      `cannot tell whether there is a site file (${code})`,
      { file: path },
      'name one with --site',
    );
  }
}
