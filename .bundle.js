import { readFileSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, resolve } from 'node:path';
import { build, transform } from 'esbuild';

/**
 * Joins the program and the packages that it stands on into the few files of `dist/program`: opening files is
 * what start-up costs. What only some commands need is a file of its own. Names and lines stay as they are
 * (small letters gain nothing that can be measured), so that the stack of a bug can be read.
 */
const FOLDER = 'dist/program';
const require = createRequire(import.meta.url);

/** Packages that a run hardly ever asks, and what is asked of them: they make themselves ready when they are. */
const LATE = {
  // compiles what it knows of all scripts; nearly all texts are plain
  'string-width': 'default',
  // for lines that our own reader cannot cut
  'csv-parse/sync': 'parse',
};

/** Puts off what packages do on being loaded: a quarter of the start-up of `--version` (Node 20). */
const lateStart = {
  name: 'late start',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /./ }, ({ path, importer, namespace }) => {
      if (Object.hasOwn(LATE, path) && namespace !== 'late') return { path, namespace: 'late' };
      // it can run programs beside it, which we have none of, and takes `process` in a way that opens stdin
      if (/^node:(child_process|process)$/.test(path) && importer.includes('/commander/'))
        return { path, namespace: 'commander' };
    });
    onLoad({ filter: /./, namespace: 'late' }, ({ path }) => {
      const name = LATE[path];
      const late = `(...given) => (asked ??= require('${path}').${name})(...given)`;
      const contents = `let asked; export ${name === 'default' ? 'default' : `const ${name} =`} ${late};`;
      return { contents, resolveDir: process.cwd() };
    });
    // a good half of these is comments, which the engine reads, too
    onLoad({ filter: /\/node_modules\/(commander\/lib|csv-parse\/dist)\/.*\.c?js$/ }, async ({ path }) => ({
      contents: (await transform(readFileSync(path, 'utf8'), { minifyWhitespace: true, charset: 'utf8' })).code,
    }));
    onLoad({ filter: /./, namespace: 'commander' }, ({ path }) => ({
      contents: `module.exports = ${path === 'node:process' ? 'process' : '{}'};`,
    }));
  },
};

/**
 * Takes what Node brings by way of `require`: an `import` of `node:fs` reads every name that it has, and with that
 * loads streams and promises of files that a run may never open (a twentieth of the start-up of `--version`, Node 20).
 */
const builtIn = {
  name: 'built in',
  setup({ onResolve, onLoad }) {
    onResolve({ filter: /^node:/ }, ({ path, kind }) =>
      kind === 'import-statement' ? { path, namespace: 'built-in' } : undefined,
    );
    onLoad({ filter: /./, namespace: 'built-in' }, ({ path }) => {
      const names = Object.keys(require(path)).filter((name) => name !== 'default');
      // marked as pure, so that only those that are asked for are left
      const exported = names.map((name) => `export const ${name} = /* @__PURE__ */ take('${name}');`);
      const own = `const whole = require('${path}'); const take = (name) => whole[name]; export default whole;`;
      return { contents: [own, ...exported].join('\n') };
    });
  },
};

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
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  chunkNames: '[name]-[hash]',
  // what Node brings, and nothing else, is not in the bundle; from Node 20.16 on it can be had without an import
  banner: {
    js: "const require = process.getBuiltinModule ?? (await import('node:module')).createRequire(import.meta.url);",
  },
  plugins: [lateStart, builtIn, oneStart],
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
