import { spawnSync } from 'node:child_process';

/** What one run of a program took, by the operating system's accounting. */
export interface Run {
  /** From start to end [s]. */
  readonly wall: number;
  /** Of all its threads [s]. */
  readonly cpu: number;
  /** Most memory that it held [MiB]. */
  readonly memory: number;
  readonly printed: string;
}

export interface Runner {
  readonly name: string;
  readonly words: readonly string[];
}

const TIMER = '/usr/bin/time';

/** Runs a program once. It is started by `time`, since the memory of the one who starts it would else be counted in. */
export function run({ words }: Pick<Runner, 'words'>): Run {
  const started = performance.now();
  const { status, stdout, stderr, error } = spawnSync(TIMER, ['-f', '%U %S %M', ...words], {
    encoding: 'utf8',
    maxBuffer: 1 << 28,
  });
  const wall = (performance.now() - started) / 1000;
  if (error !== undefined || status !== 0) throw new Error(`${words.join(' ')}\n${error ?? stderr}`);
  const [user, system, kibibytes] = stderr.trimEnd().split('\n').at(-1)!.split(' ').map(Number);
  return { wall, cpu: user! + system!, memory: kibibytes! / 1024, printed: stdout };
}

/** Runs of each, in turn (A B A B), after one of each to warm up. */
export function race(runners: readonly Runner[], times: number): Run[][] {
  for (const runner of runners) run(runner);
  const runs = runners.map((): Run[] => []);
  for (let round = 0; round < times; round++) {
    for (const [i, runner] of runners.entries()) runs[i]!.push(run(runner));
  }
  return runs;
}

export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return (sorted[Math.floor(middle)]! + sorted[Math.ceil(middle)]!) / 2;
}

/** How long the first took by the measure of the second: the median of the rounds, since the machine drifts. */
export function ratio(ours: readonly Run[], theirs: readonly Run[], of: 'wall' | 'cpu' = 'wall'): number {
  return median(ours.map((run, round) => run[of] / theirs[round]![of]));
}

export const wall = (runs: readonly Run[]): number => median(runs.map((run) => run.wall));
export const cpu = (runs: readonly Run[]): number => median(runs.map((run) => run.cpu));
export const memory = (runs: readonly Run[]): number => Math.max(...runs.map((run) => run.memory));
