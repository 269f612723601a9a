import { readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { basename, resolve } from 'node:path';
import { build } from 'esbuild';
import { bundling } from './.bundling.js';

/**
 * Joins the program and the packages that it stands on into the few files of `dist/program`: opening files is
 * what start-up costs. What only some commands need is a file of its own. Names and lines stay as they are
 * (small letters gain nothing that can be measured), so that the stack of a bug can be read.
 */
const FOLDER = 'dist/program';

/**
 * Whatever is loaded late asks for what starts the program, so that all of that is one file: opening a file costs a
 * millisecond. Without this, what one of them does not need would be cut out for its sake.
 */
const oneStart = {
  name: 'one start',
  setup({ onLoad }) {
    onLoad({ filter: /\/src\/(commands\/[a-z]\w+|present\/sheetPage|site\/load)\.ts$/ }, ({ path }) => ({
      contents: `${readFileSync(path, 'utf8')}\nimport '${resolve('src/run.ts')}';\n`,
      loader: 'ts',
    }));
  },
};

rmSync(FOLDER, { recursive: true, force: true });
const { metafile } = await build({
  entryPoints: ['src/run.ts'],
  outdir: FOLDER,
  ...bundling,
  plugins: [...bundling.plugins, oneStart],
  chunkNames: '[name]-[hash]',
  metafile: true,
  logLevel: 'warning',
});

// What is asked for by others, too, esbuild puts beside the file that was asked for, which is left pointing to it. A file
// less is a millisecond less: it takes that place.
const [start] = Object.entries(metafile.outputs).find(([, { inputs }]) => Object.hasOwn(inputs, 'src/run.ts'));
for (const path of Object.keys(metafile.outputs))
  writeFileSync(path, readFileSync(path, 'utf8').replaceAll(`/${basename(start)}`, '/run.js'));
renameSync(start, `${FOLDER}/run.js`);

// The packages' licences ask that their notices go with every copy.
const packages = Object.keys(metafile.inputs).map((path) => /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1]);
const notices = [...new Set(packages.filter((path) => path !== undefined))].sort().map((path) => {
  const { name, version, license } = JSON.parse(readFileSync(`${path}/package.json`, 'utf8'));
  const text = readdirSync(path).find((file) => /^licen[cs]e/i.test(file));
  if (text === undefined) throw new Error(`${path} has no licence to go with it`);
  return `${name} ${version} (${license})\n\n${readFileSync(`${path}/${text}`, 'utf8').trim()}\n`;
});
writeFileSync(`${FOLDER}/NOTICES`, notices.join(`\n${'-'.repeat(72)}\n\n`));
