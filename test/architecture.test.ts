import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

/** From the top down. What shares a step knows nothing of what stands beside it there. */
const STEPS = [
  ['run.ts'],
  ...'commands present report site damp period outages sharing cleaning audit reading calendar psychrometry log'
    .split(' ')
    .map((folder) => [folder]),
  ['wasm.ts'],
  ['figures.ts', 'errors.ts', 'units.ts'],
];
const place = (file: string) => file.split('/')[0]!;
const step = (file: string) => STEPS.findIndex((names) => names.includes(place(file)));

it('every source file stands on a step, and imports go downward only', () => {
  const files = readdirSync(join(ROOT, 'src'), { recursive: true, encoding: 'utf8' }).filter((name) =>
    name.endsWith('.ts'),
  );
  const imports = files.flatMap((file) =>
    [...readFileSync(join(ROOT, 'src', file), 'utf8').matchAll(/(?:from|import\() ?'(\.[^']*)\.js'/g)].map(
      ([, path]) => [file, `${join(dirname(file), path!)}.ts`] as const,
    ),
  );
  expect(imports.length).toBeGreaterThan(200);
  expect(files.filter((file) => step(file) < 0)).toEqual([]);
  expect(imports.filter(([from, to]) => place(from) !== place(to) && step(from) >= step(to))).toEqual([]);
});

it('the top level holds what belongs there', () => {
  const ignored = readFileSync(join(ROOT, '.gitignore'), 'utf8')
    .split('\n')
    .map((line) => line.replace('/', ''));
  const found = readdirSync(ROOT).filter((name) => !name.startsWith('.') && !ignored.includes(name));
  const documents = ['README.md', 'DEVELOPERS.md', 'LICENSE'];
  const settings = ['package.json', 'package-lock.json', 'tsconfig.json'];
  expect(found.sort()).toEqual([...documents, ...settings, 'src', 'bin', 'samples', 'test'].sort());
});
