// Runs a script by the code that was kept of it, as bin/dewledger.js starts the program, and keeps it where there is
// none: node start.js SCRIPT WORD...
const [, , file, ...words] = process.argv;
const { existsSync, readFileSync, writeFileSync } = process.getBuiltinModule('node:fs');
const { Script } = process.getBuiltinModule('node:vm');

const kept = `${file}.code`;
const cachedData = existsSync(kept) ? readFileSync(kept) : undefined;
const script = new Script(readFileSync(file, 'latin1'), { filename: file, cachedData });
if (script.cachedDataRejected) throw new Error(`${kept} was kept by another Node`);
const module = {};
script.runInThisContext()(process.getBuiltinModule, module, import.meta.url);
await module.exports.run(words);
if (cachedData === undefined) writeFileSync(kept, script.createCachedData());
