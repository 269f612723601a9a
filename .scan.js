import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import asc from 'assemblyscript/asc';

/** Compiles the scan of plain lines, and puts it into a module: a file beside the program would have to be opened. */
const SOURCE = 'src/reading/plainScan.as.ts';
const MODULE = 'src/reading/plainScan.wasm.ts';

let code;
const { error, stderr } = await asc.main([SOURCE, '--outFile', 'scan', '-O3', '--runtime', 'stub', '--use', 'abort='], {
  writeFile: (_name, contents) => {
    code = Buffer.from(contents);
  },
});
if (error !== null) {
  console.error(`${stderr}`);
  process.exit(1);
}
const text = `// Made from ${SOURCE.split('/').at(-1)} by .scan.js\nexport const CODE =\n  '${code.toString('base64')}';\n`;
if (!existsSync(MODULE) || readFileSync(MODULE, 'utf8') !== text) writeFileSync(MODULE, text);
