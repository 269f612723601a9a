import { mkdir, mkdtemp, realpath, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, relative } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fileOwners, filesOf } from '../../src/site/files.js';
import { parseSite } from '../../src/site/load.js';
import { defaultSite, loggerOf } from '../../src/site/site.js';

let root: string;
const at = (path: string) => join(root, path);
const siteOf = (files: Record<string, readonly string[]>) => {
  const loggers = Object.entries(files).map(
    ([id, globs]) => `[[logger]]\nid = "${id}"\nfiles = ${JSON.stringify(globs)}\n`,
  );
  return parseSite(loggers.join('\n'), at('club [1]/dewledger.toml'));
};

beforeAll(async () => {
  root = await realpath(await mkdtemp(join(tmpdir(), 'files-')));
  // a folder whose name would be a pattern
  await mkdir(at('club [1]/old'), { recursive: true });
  const files = ['hall-2.csv', 'hall-10.csv', 'hall-1.csv', 'loft (1).csv', 'loft 1.csv', 'old/hall-0.csv'];
  for (const file of files) await writeFile(at(`club [1]/${file}`), '');
  await writeFile(at('beside.csv'), '');
  await symlink(at('club [1]/hall-2.csv'), at('link.csv'));
});
afterAll(() => rm(root, { recursive: true }));

describe('filesOf', () => {
  it.each([
    { why: 'sorts by name', globs: ['hall-*.csv'], files: ['hall-1.csv', 'hall-10.csv', 'hall-2.csv'] },
    { why: 'names a file once', globs: ['hall-1.csv', 'hall-1*.csv'], files: ['hall-1.csv', 'hall-10.csv'] },
    { why: 'follows subfolders', globs: ['old/*', '**/hall-1.csv'], files: ['hall-1.csv', 'old/hall-0.csv'] },
    { why: 'goes up', globs: ['../beside.csv'], files: ['../beside.csv'] },
    { why: 'leaves out', globs: ['hall-*', '!hall-1*'], files: ['hall-2.csv'] },
    { why: 'takes parentheses as they are', globs: ['loft (1).csv'], files: ['loft (1).csv'] },
    { why: 'takes them so in a pattern', globs: ['l*(1).csv'], files: ['loft (1).csv'] },
    { why: 'takes either word', globs: ['{loft,hall}*1.csv'], files: ['hall-1.csv', 'loft 1.csv'] },
    { why: 'does not take a folder for the files in it', globs: ['old'], files: [] },
    { why: 'finds nothing', globs: ['gone/*.csv', 'gone.csv'], files: [] },
    { why: 'has nothing to find', globs: [], files: [] },
  ])('$why: $globs', async ({ globs, files }) => {
    const site = siteOf({ hall: globs });
    const found = await filesOf(site, site.loggers[0]!);
    expect(found.map((path) => relative(at('club [1]'), path))).toEqual(files);
  });

  it('gives none without a site file', async () => {
    expect(await filesOf(defaultSite, loggerOf(defaultSite, 'hall'))).toEqual([]);
  });
});

describe('fileOwners', () => {
  const site = () => siteOf({ hall: ['hall-*.csv'], both: ['hall-1.csv', 'loft*.csv'], none: [] });
  const ownersOf = async (path: string) => (await (await fileOwners(site()))(path)).map(({ id }) => id);

  it.each([
    { path: 'club [1]/hall-2.csv', ids: ['hall'], why: 'the one logger that claims it' },
    { path: 'club [1]/hall-1.csv', ids: ['hall', 'both'], why: 'both, in order of the site file' },
    { path: 'link.csv', ids: ['hall'], why: 'the owner of what a link leads to' },
    { path: 'club [1]/old/../hall-2.csv', ids: ['hall'], why: 'the owner, by a roundabout path' },
    { path: 'club [1]/old/hall-0.csv', ids: [], why: 'none for a file that no glob names' },
    { path: 'gone.csv', ids: [], why: 'none for a file that is not there' },
  ])('$path → $ids: $why', async ({ path, ids }) => {
    expect(await ownersOf(at(path))).toEqual(ids);
    expect(await ownersOf(relative(process.cwd(), at(path)))).toEqual(ids);
  });
});
