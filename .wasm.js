import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import asc from 'assemblyscript/asc';

/** Compiles what is written in AssemblyScript, and puts it into modules: a file beside the program would have to be opened. */
const OPTIONS = ['-O3', '--runtime', 'stub', '--enable', 'simd', '--use', 'abort='];

for (const name of readdirSync('src', { recursive: true })) {
  if (!name.endsWith('.as.ts')) continue;
  const source = join('src', name);
  let code = '';
  const writeFile = (_name, contents) => {
    code = Buffer.from(contents).toString('base64');
  };
  const { error, stderr } = await asc.main([source, '--outFile', 'code', ...OPTIONS], { writeFile });
  if (error !== null) throw new Error(`${stderr}`);
  const module = source.replace(/\.as\.ts$/, '.wasm.ts');
  const text = `// Made from ${basename(source)} by .wasm.js\nexport const CODE =\n  '${code}';\n`;
  if (!existsSync(module) || readFileSync(module, 'utf8') !== text) writeFileSync(module, text);
}
