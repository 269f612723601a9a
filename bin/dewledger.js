#!/usr/bin/env node
import { run } from '../dist/run.js';

const { stdin, stdout, stderr, env } = process;
process.exitCode = await run(process.argv.slice(2), {
  stdin,
  stdout,
  stderr,
  env,
  cwd: process.cwd(),
  now: Date.now,
});
