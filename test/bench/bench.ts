// How fast the program is, beside what else a person would do the same work with. From the top of the project:
//
//   npm run bench -- [--runs 5] [--sizes 10000,525600,5256000] [--slowest 525600] [--peers FOLDER] [--python python3]
//                    [--logs FOLDER]
//
// `--peers` is a folder in whose node_modules the SQL engine is (`npm i @duckdb/node-api` there); `--slowest` is the
// largest log for the peer with an object for every reading; `--logs` keeps the logs and uses those that are there.

import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { type BuildOptions, build } from 'esbuild';
import { differences } from './agreement.js';
import { ADDED, SKIPPED, ZONE } from './job.js';
import { VARIANTS, writeLog, writeLong, writeWide } from './logs.js';
import { cpu, memory, type Run, type Runner, race, ratio, wall } from './race.js';

const { values: options } = parseArgs({
  options: {
    runs: { type: 'string', default: '5' },
    sizes: { type: 'string', default: '10000,525600,5256000' },
    slowest: { type: 'string', default: '525600' },
    peers: { type: 'string', default: '.' },
    python: { type: 'string', default: 'python3' },
    logs: { type: 'string' },
  },
});

const YEAR = 525_600;
const DECADE = 5_256_000;
const runs = Number(options.runs);
const sizes = options.sizes.split(',').map(Number);
const folder = mkdtempSync(join(tmpdir(), 'dewledger-bench-'));
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));
const logs = resolve(options.logs ?? folder);
mkdirSync(logs, { recursive: true });
process.env.PEERS = resolve(options.peers);

const NODE = process.execPath;
/** What `bin/dewledger.js` sets for itself. */
const ENGINE = [
  '--expose-gc',
  ...(process.versions.v8.startsWith('11.') ? ['--max-inlined-bytecode-size-cumulative=250'] : []),
];
const PROGRAM = resolve('bin/dewledger.js');
const within = (name: string) => join(folder, name);

/** A log that is there, or is made. */
function made(name: string, make: (path: string) => void): string {
  const path = join(logs, name);
  if (!existsSync(path)) make(path);
  return path;
}
const logOf = (readings: number) => made(`${readings}.csv`, (path) => writeLog(path, readings));

/** The job by our own functions, made as the program is. */
async function buildOurs(): Promise<string[]> {
  const { scripting } = (await import(pathToFileURL(resolve('.bundling.js')).href)) as {
    scripting: BuildOptions;
  };
  const script = within('ours.cjs');
  await build({ ...scripting, entryPoints: ['test/bench/ours.ts'], outfile: script });
  const start = [...ENGINE, resolve('test/bench/start.js'), script];
  spawnSync(NODE, [...start, smallest, within('try.csv'), 'all']);
  return [NODE, ...start];
}

const smallest = logOf(10_000);
const ours = await buildOurs();

interface Contender {
  readonly name: string;
  words(log: string, table: string, cleaned?: string): string[];
}

const OURS: Contender = { name: 'dewledger', words: (log, table) => [...ours, log, table] };
const OURS_ALL: Contender = {
  name: 'dewledger, all checks',
  words: (log, table) => [...OURS.words(log, table), 'all'],
};
const CLEANING_ALL: Contender = {
  name: 'dewledger clean, all',
  words: (log, _table, cleaned) => [
    NODE,
    PROGRAM,
    'clean',
    log,
    '--zone',
    ZONE,
    '--add',
    ADDED.join(),
    '-o',
    cleaned!,
  ],
};
const CLEANING: Contender = {
  name: 'dewledger clean',
  words: (...files) => [...CLEANING_ALL.words(...files), '--skip', SKIPPED.join()],
};
const withOutputs = (words: string[], cleaned?: string) =>
  cleaned === undefined ? words : [...words, cleaned];
const peer = (name: string, ...program: string[]): Contender => ({
  name,
  words: (log, table, cleaned) => withOutputs([...program, log, table], cleaned),
});
const RECORDS = peer('objects (csv-parse)', NODE, 'test/bench/peers/records.js');
const FRAMES = peer('data frames (pandas)', options.python, 'test/bench/peers/frames.py');
const SQL = peer('SQL engine (DuckDB)', NODE, 'test/bench/peers/sql.js');

function isThere({ name, words }: Contender): boolean {
  const [command, ...rest] = words(smallest, within('try.csv'));
  const { status } = spawnSync(command!, rest, { stdio: 'ignore' });
  if (status !== 0) console.log(`missing: ${name}`);
  return status === 0;
}
const peers = [RECORDS, FRAMES, SQL].filter(isThere);

const figure = (value: number, places = 3) => value.toFixed(places);
const goals: string[] = [];
function goal(what: string, value: number, most: number, unit = ''): void {
  const verdict = value <= most ? 'met   ' : 'MISSED';
  goals.push(`${verdict}  ${what}: ${figure(value)}${unit}, at most ${most}${unit}`);
}
function floor(what: string, value: number, least: number, unit: string): void {
  const verdict = value >= least ? 'met   ' : 'MISSED';
  goals.push(`${verdict}  ${what}: ${figure(value)}${unit}, at least ${least}${unit}`);
}

function tell(name: string, readings: number, all: readonly Run[], first: readonly Run[]): void {
  const columns = [
    name.padEnd(22),
    `${figure(wall(all), 3)} s`.padStart(10),
    `cpu ${figure(cpu(all), 3)} s`.padStart(13),
    `${figure(memory(all), 0)} MiB`.padStart(9),
    `${figure(readings / wall(all) / 1e6)} M readings/s`.padStart(18),
  ];
  if (all !== first)
    columns.push(
      `ours / this: wall ${figure(ratio(first, all), 3)}, cpu ${figure(ratio(first, all, 'cpu'), 3)}`,
    );
  console.log(columns.join('  '));
}

/** Ours against the peers over one log. */
function sideBySide(readings: number, isCleaned: boolean): Map<string, Run[]> {
  const log = logOf(readings);
  const slow = readings > Number(options.slowest);
  const own = isCleaned ? [CLEANING, CLEANING_ALL] : [OURS, OURS_ALL];
  const contenders = [...own, ...peers.filter((each) => each !== RECORDS || !slow)];
  console.log(
    `\n${isCleaned ? 'cleaned CSV with six derived columns' : 'the whole job'}, ${readings} readings`,
  );
  const runners = contenders.map(({ name, words }, i): Runner => {
    return {
      name,
      words: words(log, within(`table${i}.csv`), isCleaned ? within(`cleaned${i}.csv`) : undefined),
    };
  });
  const all = race(runners, runs);
  for (const [i, { name }] of runners.entries()) tell(name, readings, all[i]!, all[0]!);
  if (!isCleaned) {
    for (const [i, { name }] of runners.entries()) {
      const apart = i === 0 ? [] : differences(within('table0.csv'), within(`table${i}.csv`));
      if (apart.length > 0) console.log(`DISAGREES: ${name}: ${apart.join('; ')}`);
    }
    const counts = new Set(
      all
        .slice(own.length)
        .map((each) => JSON.stringify(Object.entries(JSON.parse(each[0]!.printed)).sort())),
    );
    if (counts.size > 1) console.log(`the peers count differently: ${[...counts].join(' ')}`);
  }
  return new Map(runners.map(({ name }, i) => [name, all[i]!]));
}

const whole = new Map(sizes.map((readings) => [readings, sideBySide(readings, false)]));
const cleaned = new Map(sizes.map((readings) => [readings, sideBySide(readings, true)]));

for (const [readings, most, mostSql, mostCleaned, memoryAtMost] of [
  [YEAR, 0.45, 0.35, 0.33, 120],
  [DECADE, 0.15, 0.11, 0.16, 320],
] as const) {
  const job = whole.get(readings);
  const writing = cleaned.get(readings);
  if (job === undefined || writing === undefined) continue;
  const mine = job.get(OURS.name)!;
  const [frames, sql, sqlCleaned] = [job.get(FRAMES.name), job.get(SQL.name), writing.get(SQL.name)];
  if (frames !== undefined) goal(`${readings} readings, wall / data frames`, ratio(mine, frames), most);
  if (sql !== undefined) goal(`${readings} readings, wall / SQL engine`, ratio(mine, sql), mostSql);
  if (sqlCleaned !== undefined)
    goal(
      `${readings} readings, cleaned, wall / SQL engine`,
      ratio(writing.get(CLEANING.name)!, sqlCleaned),
      mostCleaned,
    );
  goal(`${readings} readings, most memory`, memory(mine), memoryAtMost, ' MiB');
}

const [least, most] = [Math.min(...sizes), Math.max(...sizes)];
if (least < most) {
  const middle = sizes.includes(YEAR) && most > YEAR ? YEAR : least;
  const between = (all: Map<number, Map<string, Run[]>>, name: string) => {
    const [few, many] = [wall(all.get(middle)!.get(name)!), wall(all.get(most)!.get(name)!)];
    return (most - middle) / (many - few) / 1e6;
  };
  floor(`whole job, between ${middle} and ${most} readings`, between(whole, OURS.name), 6, ' M/s');
  floor(`cleaned CSV, between ${middle} and ${most} readings`, between(cleaned, CLEANING.name), 2.3, ' M/s');
}

/** One runner against another, both over as many readings. */
function against(what: string, words: string[], plain: string[], atMost: number, perReading = 1): void {
  const [one, other] = race(
    [
      { name: what, words },
      { name: 'plain', words: plain },
    ],
    runs,
  );
  goal(what, ratio(one!, other!) * perReading, atMost);
}

writeFileSync(within('empty.mjs'), 'export {};\n');
const EMPTY = [NODE, within('empty.mjs')];
const startUp = wall(race([{ name: 'empty', words: EMPTY }], runs)[0]!);
if (least < most) {
  const net = (readings: number) => wall(whole.get(readings)!.get(OURS.name)!) - startUp;
  const middle = sizes.includes(YEAR) && most > YEAR ? YEAR : least;
  goal('exponent of growth', Math.log(net(most) / net(middle)) / Math.log(most / middle), 1.05);
}

const year = logOf(YEAR);
const plain = [...ours, year, within('plain.csv')];
for (const [name, atMost] of [
  ['quoted', 1.5],
  ['gz', 1.3],
  ['reversed', 2],
] as const) {
  const path = made(`${YEAR}-${name}.csv${name === 'gz' ? '.gz' : ''}`, (to) => VARIANTS[name]!(year, to));
  against(`${name}, wall / plain`, [...ours, path, within('variant.csv')], plain, atMost);
  // a file read backwards is one that other loggers write, too: it may not give other figures
  const apart = differences(within('plain.csv'), within('variant.csv'));
  if (apart.length > 0) console.log(`DISAGREES: ${name}: ${apart.join('; ')}`);
}
const daily = (log: string) => [
  NODE,
  PROGRAM,
  'daily',
  log,
  '--zone',
  ZONE,
  '--format',
  'csv',
  '-o',
  within('daily.csv'),
];
const wideLog = made('wide.csv', (path) => writeWide(path, YEAR, 20));
const longLog = made('long.csv', (path) => writeLong(path, YEAR, 100));
against('20 sensors side by side, wall / plain', daily(wideLog), daily(year), 2);
against('100 sensors in turn, wall / plain', daily(longLog), daily(year), 2);

const program = (...words: string[]) => [NODE, PROGRAM, ...words];
const many = Math.max(runs, 11);
for (const [words, atMost] of [
  [['--version'], 1.25],
  [['--help'], 1.25],
  [['air', '20', '60'], 1.6],
] as const) {
  const [one, other] = race(
    [
      { name: 'it', words: program(...words) },
      { name: 'empty', words: EMPTY },
    ],
    many,
  );
  goal(`${words.join(' ')}, wall / empty module`, ratio(one!, other!), atMost);
}
const month = logOf(43_200);
goal(
  'a month to a daily table',
  wall(race([{ name: 'month', words: program('daily', month, '--zone', ZONE) }], many)[0]!),
  0.17,
  ' s',
);

console.log(`\nGoals (Node ${process.version}, ${runs} runs):\n${goals.join('\n')}`);
