import { readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';

/**
 * Joins the program and the packages that it stands on into the few files of `dist/program`: opening files is
 * what start-up costs. What only some commands need is a file of its own. Names and lines stay as they are
 * (small letters gain nothing that can be measured), so that the stack of a bug can be read.
 */
const FOLDER = 'dist/program';

/**
 * What packages do on being loaded although it is hardly ever asked for, put off: a third of the start-up
 * of `--version` (Node 20). Each is tied to the exact version of its package, and stops the build where the
 * package has changed.
 */
const lateStart = {
  name: 'late start',
  setup({ onResolve, onLoad }) {
    // commander runs programs beside it if it is asked to, and takes `process` in a way that opens stdin
    onResolve({ filter: /^node:(child_process|process)$/ }, ({ path, importer }) =>
      importer.includes('/commander/') ? { path, namespace: 'commander' } : undefined,
    );
    onLoad({ filter: /./, namespace: 'commander' }, ({ path }) => ({
      contents: `module.exports = ${path === 'node:process' ? 'process' : '{}'};`,
    }));
    // string-width loads the rules of all scripts, but texts are plain as a rule
    onLoad({ filter: /node_modules\/string-width\/index\.js$/ }, ({ path }) => {
      const now = 'const segmenter = new Intl.Segmenter();';
      const late = 'let made; const segmenter = { segment: (text) => (made ??= new Intl.Segmenter()).segment(text) };';
      const text = readFileSync(path, 'utf8');
      if (!text.includes(now)) throw new Error(`${path} does not start as it did`);
      return { contents: text.replace(now, late) };
    });
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
  // for packages that are CommonJS
  banner: { js: "import { createRequire as requireFrom } from 'node:module'; const require = requireFrom(import.meta.url);" },
  plugins: [lateStart],
  metafile: true,
  logLevel: 'warning',
});

// The packages' licences ask that their notices go with every copy.
const packages = Object.keys(metafile.inputs).map((path) => /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1]);
const notices = [...new Set(packages.filter((path) => path !== undefined))].sort().map((path) => {
  const { name, version, license } = JSON.parse(readFileSync(`${path}/package.json`, 'utf8'));
  const text = readdirSync(path).find((file) => /^licen[cs]e/i.test(file));
  if (text === undefined) throw new Error(`${path} has no licence to go with it`);
  return `${name} ${version} (${license})\n\n${readFileSync(`${path}/${text}`, 'utf8').trim()}\n`;
});
writeFileSync(`${FOLDER}/NOTICES`, notices.join(`\n${'-'.repeat(72)}\n\n`));
