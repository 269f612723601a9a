import { realpath } from 'node:fs/promises';
import { dirname } from 'node:path';
import type { Site, SiteLogger } from './site.js';

/**
 * The files that a logger's globs name, from the folder of the site file on: `*`, `?`, `**`, `[a-z]`,
 * `{a,b}`, and `!` before what to leave out; parentheses stand for themselves.
 *
 * @returns absolute paths sorted by name, each once; none if none is there
 */
export async function filesOf(site: Site, logger: SiteLogger): Promise<string[]> {
  const paths = await matching(site, logger.files);
  if (logger.heartbeats.length === 0 || paths.length === 0) return paths;
  // a wide glob such as "boat-hall*" takes in the heartbeats too, which are no readings
  const beats = new Set(await heartbeatFilesOf(site, logger));
  return paths.filter((path) => !beats.has(path));
}

/** The files that a logger's globs of heartbeats name, as `filesOf` those of its readings. */
export function heartbeatFilesOf(site: Site, logger: SiteLogger): Promise<string[]> {
  return matching(site, logger.heartbeats);
}

async function matching(site: Site, written: readonly string[]): Promise<string[]> {
  if (written.length === 0) return [];
  // a twentieth of a short run, which mostly has no use for it
  const { glob } = await import('tinyglobby');
  const folder = dirname(site.file ?? '.');
  // downloads are called "export (1).csv" far more often than anybody groups with parentheses
  const globs = written.map((each) => each.replace(/[()]/g, '\\$&'));
  const paths = await glob(globs, { cwd: folder, absolute: true, expandDirectories: false });
  return paths.sort();
}

/**
 * Looks up whose file a path is. The globs are expanded once, here; links are followed on both sides.
 *
 * @returns look-up of a path: the loggers that claim it in order of the site file, none for a strange file,
 *   several where one export holds several loggers
 */
export async function fileOwners(site: Site): Promise<(path: string) => Promise<readonly SiteLogger[]>> {
  const owners = new Map<string, SiteLogger[]>();
  for (const logger of site.loggers) {
    const files = await Promise.all((await filesOf(site, logger)).map(realOrGiven));
    for (const file of new Set(files)) owners.set(file, [...(owners.get(file) ?? []), logger]);
  }
  return async (path) => owners.get(await realOrGiven(path)) ?? [];
}

/** A path that cannot be followed is left as it is: whoever opens it will say why. */
async function realOrGiven(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch {
    return path;
  }
}
