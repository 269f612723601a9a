import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Script } from 'node:vm';
import { build } from 'esbuild';
import { scripting } from './.bundling.js';

/**
 * Keeps what Node 20 makes of the program, once and for all starts: an eighth of the time of a month's table goes by in
 * compiling what is called for the first time. From Node 22.3 on, Node does so itself (`bin/dewledger.js` asks for it).
 *
 * The engine takes such code with the very text that it is of, as one script, and where version and machine are the
 * same; otherwise `bin/dewledger.js` starts the program as ever.
 */
const FOLDER = `dist/program/${process.version}-${process.platform}-${process.arch}`;

const SITE = ['--site', 'samples/skerry-mere.toml'];
const OCTOBER = ['--since', '2025-10-01', '--until', '2025-11-01', '--fail-on', 'never'];
const LOG = ['samples/boat-hall.csv', '--zone', 'Europe/London'];
/** By command, what it is called with: what is not run is not kept. */
const KEPT = {
  air: [[], ['--format', 'json']].map((more) => ['20', '60', ...more]),
  audit: [
    [...SITE, '--fail-on', 'never'],
    [...LOG, '--fail-on', 'never', '--format', 'json'],
  ],
  clean: [LOG, [...LOG, '--add', 'dew_point_temperature']],
  daily: [SITE, LOG, [...LOG, '--format', 'csv']],
  damp: [SITE, [...SITE, '--format', 'csv']],
  outages: [SITE, [...SITE, '--format', 'csv']],
  report: ['table', 'html', 'json'].map((format) => [...SITE, ...OCTOBER, '--format', format]),
  spells: [[...LOG, '--where', 'relative_humidity<=85']],
};

const [name] = process.argv.slice(2);
if (name === undefined) await keepAll();
else await keep(name);

async function keepAll() {
  rmSync(FOLDER, { recursive: true, force: true });
  const { getBuiltinModule } = process;
  // before Node 20.16, and from 22.3 on
  if (getBuiltinModule === undefined || getBuiltinModule('node:module').enableCompileCache !== undefined) return;
  mkdirSync(FOLDER, { recursive: true });
  await build({ ...scripting, entryPoints: ['src/run.ts'], outfile: `${FOLDER}/run.cjs` });
  for (const name of Object.keys(KEPT)) {
    // a process for each, that one does not keep what another ran
    const { status, stderr } = spawnSync(process.execPath, ['.keptCode.js', name], { stdio: ['ignore', 'ignore', 'pipe'] });
    if (status !== 0) throw new Error(`${name}: ${stderr}`);
  }
}

async function keep(name) {
  const filename = resolve(FOLDER, 'run.cjs');
  const script = new Script(readFileSync(filename, 'latin1'), { filename });
  const module = {};
  script.runInThisContext()(process.getBuiltinModule, module, pathToFileURL('dist/program/run.js').href);
  const { stdin, stdout, stderr, env } = process;
  for (const words of KEPT[name]) {
    const io = { stdin, stdout, stderr, env, cwd: process.cwd(), now: Date.now };
    const code = await module.exports.run([name, ...words], io);
    if (code > 1) throw new Error(`${words.join(' ')}: exit code ${code}`);
  }
  writeFileSync(resolve(FOLDER, `${name}.code`), script.createCachedData());
}
