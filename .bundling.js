import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { transform } from 'esbuild';

/** How the program is bundled, for all that is to start as it does. */

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

/** To be given to esbuild, with what is to be bundled and where to. */
export const bundling = {
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  // what Node brings, and nothing else, is not in the bundle; from Node 20.16 on it can be had without an import
  banner: {
    js: "const require = process.getBuiltinModule ?? (await import('node:module')).createRequire(import.meta.url);",
  },
  plugins: [lateStart, builtIn],
};

/** The same as one script, which makes a function: code that was compiled before goes with nothing else. */
export const scripting = {
  ...bundling,
  splitting: false,
  format: 'cjs',
  define: { 'import.meta.url': 'place' },
  supported: { 'dynamic-import': false },
  banner: { js: '(function (require, module, place) {' },
  footer: { js: '})' },
};
