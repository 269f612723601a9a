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
