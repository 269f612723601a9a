import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { COMMAND_NAMES } from '../../src/commands/program.js';
import { call } from './call.js';

const { stdout: manual, stderr, code } = await call(['manual']);
const { stdout: script } = await call(['completion', 'bash']);

describe('manual', () => {
  it('is written, the same at any time and in any place', async () => {
    expect({ stderr, code }).toEqual({ stderr: '', code: 0 });
    const later = await call(['manual'], { now: 0, cwd: '/tmp', env: { LANG: 'de_DE.UTF-8' } });
    expect(later.stdout).toBe(manual);
    expect(manual).toMatch(/^[\n -~]*$/);
  });

  it.skipIf(spawnSync('mandoc', ['-h']).error !== undefined)('mandoc has nothing to say against it', () => {
    const { status, stdout } = spawnSync('mandoc', ['-T', 'lint', '-W', 'warning'], {
      input: manual,
      encoding: 'utf8',
    });
    expect({ status, stdout }).toEqual({ status: 0, stdout: '' });
  });

  it.skipIf(spawnSync('mandoc', ['-h']).error !== undefined)(
    'says hyphens and units as they are typed',
    () => {
      const shown = spawnSync('mandoc', ['-T', 'utf8', '-O', 'width=200'], {
        input: manual,
        encoding: 'utf8',
      });
      const text = shown.stdout.replace(/.[\b]/g, '');
      expect(text).toContain('dewledger audit --site site.toml --day yesterday --quiet');
      expect(text).toContain('20 °C and 60 %');
      expect(text).toContain('"relative_humidity<=85"');
    },
  );
});

it('goes with the package, as a list: npm passes over a lone name', () => {
  const manifest = JSON.parse(readFileSync(new URL('../../package.json', import.meta.url), 'utf8'));
  expect(manifest.man).toEqual(['dist/dewledger.1']);
  expect(manifest.files).toContain('dist/dewledger.1');
  expect(manifest.scripts.build).toContain('npm run -s man');
});

describe.each(COMMAND_NAMES.map((name) => ({ name })))('$name', ({ name }) => {
  it('has the same options in help, completion and manual', async () => {
    const { stdout: help } = await call([...name.split(' '), '--help']);
    const helped = options(help);
    expect(helped).toContain('--help');
    const completed = new RegExp(`^ +'${name}'\\)\\n.*?words='([^']*)'`, 'm').exec(script)![1]!;
    expect(options(completed)).toEqual(helped);
    for (const option of helped) expect(manual).toContain(`\\fB${option.replaceAll('-', '\\-')}\\fR`);
    expect(manual).toContain(`\\fBdewledger ${name}\\fR`);
  });
});

/** The long options that begin a line or stand in a list. */
function options(text: string): string[] {
  return [...text.matchAll(/(?:^ +(?:-\w, )?|(?<= |^))(--[\w-]+)(?=$|\s)/gm)]
    .map(([, option]) => option!)
    .filter((option, i, all) => all.indexOf(option) === i)
    .toSorted();
}
