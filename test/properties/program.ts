import { Readable, Writable } from 'node:stream';
import type { Io } from '../../src/present/io.js';
import { run } from '../../src/run.js';

/** The house alone holds 231,240 values, and a busy machine has other things to do [ms]. */
export const PATIENCE = 60_000;

export interface Ended {
  readonly code: number;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the whole program in this process: no site file of the machine, no clock, no terminal. */
export async function dewledger(words: readonly string[], stdin: string | Buffer = ''): Promise<Ended> {
  const out: Buffer[] = [];
  const said: Buffer[] = [];
  const io: Io = {
    stdin: Readable.from([Buffer.from(stdin)]),
    stdout: collector(out),
    stderr: collector(said),
    env: { HOME: '/nowhere', XDG_CONFIG_HOME: '/nowhere' },
    cwd: process.cwd(),
    now: () => 0,
  };
  const code = await run(words, io);
  return { code, stdout: Buffer.concat(out).toString(), stderr: Buffer.concat(said).toString() };
}

function collector(into: Buffer[]): Writable {
  return new Writable({
    write(chunk: Buffer, _encoding, done) {
      // the writer makes its next piece where this one lies
      into.push(Buffer.from(chunk));
      done();
    },
  });
}

/** Runs a command that must succeed, and gives its JSON document. */
export async function documentOf<T>(words: readonly string[], stdin?: string | Buffer): Promise<T> {
  const { code, stdout, stderr } = await dewledger([...words, '--format', 'json'], stdin);
  if (code === 2) throw new Error(`exit 2: ${stderr}`);
  return JSON.parse(stdout) as T;
}

export interface Finding {
  readonly check: string;
  readonly severity: string;
  readonly quantity: string;
  readonly from: string | null;
  readonly until: string | null;
  readonly count: number;
  readonly lines: readonly [number, number] | null;
  readonly message: string;
}

type Lines = Record<'total' | 'header' | 'blank' | 'accepted' | 'rejected' | 'outside_window', number>;

export interface AuditedLog {
  readonly logger: string;
  readonly from: string | null;
  readonly until: string | null;
  readonly cadence_s: number | null;
  readonly lines: Lines;
  readonly readings: Record<'accepted' | 'duplicates_dropped' | 'kept', number>;
  readonly coverage: { readonly expected: number; readonly observed: number; readonly unknown_hours: number };
  readonly assumed: { readonly columns: Record<string, string> };
  readonly findings: readonly Finding[];
}

export interface AuditDocument {
  readonly logs: readonly AuditedLog[];
  readonly sources: readonly { readonly source: string; readonly lines: Lines }[];
}

export interface DailyPeriod {
  readonly period_start: string;
  readonly period_end: string;
  readonly air_temperature_min_degC: number;
  readonly air_temperature_min_time: string;
  readonly air_temperature_max_degC: number;
  readonly air_temperature_max_time: string;
  readonly relative_humidity_min_pct: number;
  readonly relative_humidity_max_pct: number;
  readonly frost_hours: number | null;
  readonly not_frost_hours: number;
  readonly frost_unknown_hours: number;
  readonly readings: number;
}

export interface DailyDocument {
  readonly logs: readonly { readonly logger: string; readonly periods: readonly DailyPeriod[] }[];
}

export interface DampPeriod {
  readonly period_start: string;
  readonly period_end: string;
  readonly condensation_hours_certain: number | null;
  readonly condensation_hours_expected: number | null;
  readonly condensation_hours_possible: number | null;
  readonly dry_hours: number;
  readonly unknown_hours: number;
}

export interface DampDocument {
  readonly surfaces: readonly {
    readonly logger: string;
    readonly surface: string;
    readonly periods: readonly DampPeriod[];
  }[];
}
