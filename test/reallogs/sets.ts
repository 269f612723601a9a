import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { dewledger } from '../properties/program.js';

const FOLDER = new URL('../../../shared/data/', import.meta.url);

/** Whether the published logs lie beside the project; they are too large to be part of it. */
export const haveLogs = existsSync(FOLDER);

const path = (name: string) => fileURLToPath(new URL(name, FOLDER));

export interface LogSet {
  readonly files: readonly string[];
  /** What must be said of these files, and no more. */
  readonly told: readonly string[];
  readonly zone: string;
  readonly inFahrenheit: boolean;
}

export const SETS = {
  house: {
    files: [path('house-ten-minute/house-2016-01-11-to-03-31.csv.gz')],
    told: ['--zone', 'UTC'],
    zone: 'UTC',
    inFahrenheit: false,
  },
  nyc: {
    files: [path('nyc-airports-hourly/weather.csv.gz')],
    told: ['--zone', 'America/New_York', '--temperature-unit', 'degF'],
    zone: 'America/New_York',
    inFahrenheit: true,
  },
  office: {
    files: [path('office-one-minute/datatest.txt'), path('office-one-minute/datatraining.txt')],
    told: ['--zone', 'UTC'],
    zone: 'UTC',
    inFahrenheit: false,
  },
} as const satisfies Record<string, LogSet>;

export type SetName = keyof typeof SETS;
export const SET_NAMES = Object.keys(SETS) as SetName[];

/** The text of a file, unpacked. */
export function textOf(file: string): string {
  const bytes = readFileSync(file);
  return (file.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString();
}

export function celsius({ inFahrenheit }: LogSet, written: number): number {
  return inFahrenheit ? (written - 32) / 1.8 : written;
}

export type CleanedRow = Readonly<Record<string, string>>;

/** The cleaned rows of a set, by logger and then by instant. */
export async function cleanedRows(
  set: LogSet,
  ...more: readonly string[]
): Promise<Map<string, Map<number, CleanedRow>>> {
  const { code, stdout, stderr } = await dewledger(['clean', ...set.files, ...set.told, ...more]);
  if (code !== 0) throw new Error(`exit ${code}: ${stderr}`);
  const loggers = new Map<string, Map<number, CleanedRow>>();
  // no cell of these files needs quotes, and a parser that allows for them takes five times as long
  const [header, ...lines] = stdout
    .trimEnd()
    .split('\n')
    .map((line) => line.split(','));
  for (const cells of lines) {
    const row: CleanedRow = Object.fromEntries(header!.map((name, i) => [name, cells[i]!]));
    const rows = loggers.get(row.logger!) ?? new Map<number, CleanedRow>();
    rows.set(Date.parse(row.time!), row);
    loggers.set(row.logger!, rows);
  }
  return loggers;
}

/** Mean and largest of the absolute values. */
export function distance(differences: readonly number[]): { rows: number; mean: number; max: number } {
  const sizes = differences.map(Math.abs);
  return {
    rows: sizes.length,
    mean: sizes.reduce((sum, size) => sum + size, 0) / sizes.length,
    max: sizes.reduce((largest, size) => Math.max(largest, size), 0),
  };
}
