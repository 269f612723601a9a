#!/usr/bin/env node

process.getBuiltinModule?.('node:module').enableCompileCache?.(); // from Node 22.3 on: code of the last run is used again
const { run } = await import('../dist/program/run.js');
process.exitCode = await run(process.argv.slice(2), {
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
  const v8 = process.getBuiltinModule?.('node:v8') ?? (await import('node:v8'));
  const vm = process.getBuiltinModule?.('node:vm') ?? (await import('node:vm'));
  v8.setFlagsFromString('--expose-gc');
  vm.runInNewContext('gc')();
}
