#!/usr/bin/env node

const builtIn = async (name) => process.getBuiltinModule?.(name) ?? (await import(name));
const [, , ...words] = process.argv;
const command = /^[a-z]+$/.exec(words[0] ?? '')?.[0];

/**
 * The program by the code that the build kept of it (`.keptCode.js`); null where it kept none for this Node or this
 * command, or where the engine was given flags that want other code.
 */
function keptProgram() {
  const at = (name) => new URL(`../dist/program/${name}`, import.meta.url);
  const kept = `${process.version}-${process.platform}-${process.arch}`;
  try {
    const { readFileSync } = process.getBuiltinModule('node:fs');
    const { Script } = process.getBuiltinModule('node:vm');
    const cachedData = readFileSync(at(`${kept}/${command}.code`));
    const text = readFileSync(at(`${kept}/run.cjs`), 'latin1');
    const script = new Script(text, { filename: at(`${kept}/run.cjs`).href, cachedData });
    if (script.cachedDataRejected) return null;
    const module = {};
    script.runInThisContext()(process.getBuiltinModule, module, at('run.js').href);
    return module.exports;
  } catch {
    return null;
  }
}

process.getBuiltinModule?.('node:module').enableCompileCache?.(); // from Node 22.3 on: code of the last run is used again
const { run } = (command && keptProgram()) ?? (await import('../dist/program/run.js'));
if (process.versions.v8.startsWith('11.') && command) {
  // Node 20. Most of a run passes before its code is compiled. Compiled in smaller pieces it is there sooner: a month's
  // page takes a tenth less of the processor, long logs a twentieth less.
  (await builtIn('node:v8')).setFlagsFromString('--max-inlined-bytecode-size-cumulative=250');
}
process.exitCode = await run(words, {
  // each is opened when it is asked for
  get stdin() {
    return process.stdin;
  },
  get stdout() {
    return process.stdout;
  },
  get stderr() {
    return process.stderr;
  },
  env: process.env,
  cwd: process.cwd(),
  now: Date.now,
});

// A thread of V8 that still compiles may ask the main thread to collect garbage when columns have filled the memory up to
// a limit. If the main thread is already waiting for that thread, at the end, both wait for ever (nodejs/node#54918, seen
// in 2 of 100 runs). Collecting once before lifts the limit by more than a compilation takes.
if (process.memoryUsage().external > 4 * 2 ** 20) {
  (await builtIn('node:v8')).setFlagsFromString('--expose-gc');
  (await builtIn('node:vm')).runInNewContext('gc')();
}
