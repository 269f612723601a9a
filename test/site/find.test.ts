import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { InputError } from '../../src/errors.js';
import { findSite } from '../../src/site/find.js';

describe('findSite', () => {
  let root: string;
  const at = (path: string) => join(root, path);
  const make = async (path: string) => {
    await mkdir(dirname(at(path)), { recursive: true });
    await writeFile(at(path), '');
  };
  const search = (option: string | null = null, env: Record<string, string> = {}) =>
    findSite({ option, env, cwd: at('work'), home: at('home') });

  beforeEach(async () => {
    root = await mkdtemp(join(tmpdir(), 'find-'));
    await mkdir(at('work'));
  });
  afterEach(() => rm(root, { recursive: true }));

  it('takes the first of the four places that there is', async () => {
    await make('work/option.toml');
    await make('work/named.toml');
    await make('work/dewledger.toml');
    await make('xdg/dewledger/site.toml');
    await make('home/.config/dewledger/site.toml');
    const env = { DEWLEDGER_SITE: 'named.toml', XDG_CONFIG_HOME: at('xdg') };

    expect(await search('option.toml', env)).toEqual({ path: at('work/option.toml'), from: '--site' });
    expect(await search(null, env)).toEqual({ path: at('work/named.toml'), from: 'DEWLEDGER_SITE' });
    const unset = { ...env, DEWLEDGER_SITE: '' };
    expect(await search(null, unset)).toEqual({ path: at('work/dewledger.toml'), from: 'working folder' });
    await rm(at('work/dewledger.toml'));
    expect(await search(null, unset)).toEqual({
      path: at('xdg/dewledger/site.toml'),
      from: 'configuration folder',
    });
    await rm(at('xdg/dewledger/site.toml'));
    expect(await search(null, unset)).toBeNull();
  });

  it.each([
    { why: 'unset', env: {} },
    { why: 'empty', env: { XDG_CONFIG_HOME: '' } },
    { why: 'relative', env: { XDG_CONFIG_HOME: 'xdg' } },
  ])('looks in ~/.config where XDG_CONFIG_HOME is $why', async ({ env }) => {
    await make('work/xdg/dewledger/site.toml');
    await make('home/.config/dewledger/site.toml');
    expect(await search(null, env)).toEqual({
      path: at('home/.config/dewledger/site.toml'),
      from: 'configuration folder',
    });
  });

  it('is content with none', async () => {
    expect(await search()).toBeNull();
  });

  it.each([
    { from: '--site', option: 'gone.toml', env: {} },
    { from: 'DEWLEDGER_SITE', option: null, env: { DEWLEDGER_SITE: 'gone.toml' } },
  ])('refuses a missing file that $from names, whatever else is there', async ({ from, option, env }) => {
    await make('work/dewledger.toml');
    const refusal = search(option, env);
    await expect(refusal).rejects.toBeInstanceOf(InputError);
    await expect(refusal).rejects.toMatchObject({
      message: `the site file that ${from} names does not exist`,
      place: { file: at('work/gone.toml') },
    });
  });

  it('takes a folder of the name for nothing', async () => {
    await mkdir(at('work/dewledger.toml'));
    expect(await search()).toBeNull();
    await expect(search('dewledger.toml')).rejects.toBeInstanceOf(InputError);
  });

  it('takes a file in the way of the configuration folder for nothing', async () => {
    await make('home/.config');
    expect(await search()).toBeNull();
  });

  it('does not pass over a file that it cannot look at', async () => {
    await symlink('dewledger.toml', at('work/dewledger.toml'));
    await expect(search()).rejects.toMatchObject({
      name: 'InputError',
      place: { file: at('work/dewledger.toml') },
    });
  });
});
