#!/usr/bin/env node
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { buck1996 } from '../dist/psychrometry/buck1996.js';
import { samples } from './generator/samples.js';

/** Writes the sample logs and what is known of them: `node samples/generate.js [folder]`, after `npx tsc`. */
const folder = process.argv[2] ?? fileURLToPath(new URL('.', import.meta.url));

mkdirSync(folder, { recursive: true });
for (const [name, text] of samples(buck1996.water)) {
  writeFileSync(join(folder, name), name.endsWith('.gz') ? gzipSync(text, { level: 9 }) : text);
}
