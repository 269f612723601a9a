import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import type { Audit } from '../../src/audit/audit.js';
import { takeIn } from '../../src/commands/intake.js';
import { CHECK_NAMES, type CheckName, type Finding } from '../../src/log/finding.js';
import { lineAt } from '../../src/log/lines.js';
import { allowedFor } from './allowed.js';
import type { Fault } from './fault.js';
import { GOALS, KIND_GOALS } from './kinds.js';
import { type Setting, type Site, siteOf } from './site.js';

/** The audits of a site's logs, made from files as every command makes them. */
export async function auditsOf(site: Site): Promise<ReadonlyMap<string, Audit>> {
  const folder = mkdtempSync(join(tmpdir(), 'score-'));
  try {
    const paths = site.logs.map(({ logger, text }) => {
      const path = join(folder, `${logger}.csv`);
      writeFileSync(path, text, 'latin1');
      return path;
    });
    const nowhere = new Writable({ write: (_chunk, _encoding, done) => done() });
    const { works, failures } = await takeIn(
      paths,
      { zone: site.zone, header: true },
      {
        stdin: Readable.from([]),
        stdout: nowhere,
        stderr: nowhere,
        env: { HOME: folder },
        cwd: folder,
        now: () => Date.UTC(2025, 11, 31),
      },
      { raw: true },
    );
    if (failures.length > 0) throw failures[0]!;
    return new Map(works.map(({ audit }) => [audit.log.logger, audit]));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

export interface Judged {
  readonly setting: Setting;
  readonly fault: Fault;
  /** By its own check, by another whose word is enough, or not at all. */
  readonly found: 'own' | 'other' | 'missed';
  /** Share of its lines with a value that is questionable, bad or missing in the end. */
  readonly marked: number;
}

export interface Spoken {
  readonly setting: Setting;
  readonly logger: string;
  readonly finding: Finding;
  /** A fault of its own check is there, another fault of which it may speak, or nothing. */
  readonly verdict: 'true' | 'allowed' | 'false';
}

export interface Verdicts {
  readonly faults: readonly Judged[];
  readonly findings: readonly Spoken[];
  readonly readings: number;
  /** Readings of logs without any fault, and what was found in them. */
  readonly clean: { readonly readings: number; readonly findings: number };
  /** Values that each check spoke against without a fault being there. */
  readonly falseMarks: ReadonlyMap<CheckName, number>;
}

export async function scoreOf(setting: Setting): Promise<Verdicts> {
  const site = siteOf(setting);
  const audits = await auditsOf(site);
  const faults: Judged[] = [];
  const findings: Spoken[] = [];
  const falseMarks = new Map<CheckName, number>();
  let readings = 0;
  const clean = { readings: 0, findings: 0 };
  for (const { logger, readings: count } of site.logs) {
    readings += count;
    const audit = audits.get(logger);
    const here = site.faults.filter((fault) => fault.logger === logger).map(shownBy);
    const said = audit?.findings ?? [];
    if (here.length === 0) {
      clean.readings += count;
      clean.findings += said.length;
    }
    const slack = (audit?.cadence ?? 0) + 1000;
    const marked = audit === undefined ? null : markedLines(audit);
    for (const shown of here) {
      const { fault } = shown;
      const by = said.filter((finding) => meets(shown, finding, slack));
      const own = by.some(({ check }) => check === fault.check);
      const other = by.some(({ check }) => shown.allowed.get(check) === true);
      const found = own ? 'own' : other ? 'other' : 'missed';
      faults.push({ setting, fault, found, marked: marked === null ? 0 : markedOf(shown, marked) });
    }
    for (const finding of said) {
      const by = here.filter((shown) => meets(shown, finding, slack));
      const own = by.some(({ fault }) => fault.check === finding.check);
      const allowed = by.some((shown) => shown.allowed.has(finding.check));
      const padded = isPadded(
        finding,
        by.filter((shown) => shown.fault.check === finding.check || shown.allowed.has(finding.check)),
      );
      const verdict = padded ? 'false' : own ? 'true' : allowed ? 'allowed' : 'false';
      findings.push({ setting, logger, finding, verdict });
    }
    if (audit !== undefined) countFalseMarks(audit, here, falseMarks);
  }
  return { faults, findings, readings, clean, falseMarks };
}

/** A fault with what it may be called, and where it stands in the file. */
interface Shown {
  readonly fault: Fault;
  readonly allowed: ReadonlyMap<CheckName, boolean>;
  readonly lines: ReadonlySet<number>;
  readonly firstLine: number;
  readonly lastLine: number;
}

function shownBy(fault: Fault): Shown {
  const lines = new Set(fault.rows.map(({ line }) => line).filter((line) => line > 0));
  let [firstLine, lastLine] = [Infinity, 0];
  for (const line of lines) {
    firstLine = Math.min(firstLine, line);
    lastLine = Math.max(lastLine, line);
  }
  return { fault, allowed: allowedFor(fault.kind), lines, firstLine, lastLine };
}

/** Of a fault that is everywhere, a finding must tell at least this share. */
const WIDE = 0.1;

/** Whether a finding speaks of the time of a fault or, where the time of either is lost, of its lines. */
function meets({ fault, firstLine, lastLine }: Shown, finding: Finding, slack: number): boolean {
  const { from, until, lines } = finding;
  if (from !== null && until !== null) {
    const shared = Math.min(until, fault.until + slack) - Math.max(from, fault.from - slack);
    if (fault.everywhere) return shared >= WIDE * (fault.until - fault.from);
    if (shared >= 0) return true;
  }
  if (!fault.timeless) return false;
  return lines !== null && lines[0] <= lastLine && lines[1] >= firstLine;
}

/** Checks that count lines, or events of single lines. */
const COUNTING: readonly CheckName[] = CHECK_NAMES.filter(
  (check) => !['clock', 'cadence', 'daylight_saving', 'neighbour'].includes(check),
);
/** A finding that counts more than this many times what was injected gathers what is not there. */
const PADDED = 3;

function isPadded({ check, count }: Finding, by: readonly Shown[]): boolean {
  const injected = by.reduce((sum, { fault }) => sum + fault.rows.length, 0);
  return COUNTING.includes(check) && count > PADDED * injected;
}

/** By line: whether a value on it is questionable, bad or missing. */
function markedLines({ log, flags }: Audit): ReadonlySet<number> {
  const lines = new Set<number>();
  for (let row = 0; row < log.length; row++) {
    if (flags.temperature[row]! > 2 || flags.humidity[row]! > 2) lines.add(lineAt(log.lines, row));
  }
  return lines;
}

function markedOf({ lines }: Shown, marked: ReadonlySet<number>): number {
  let count = 0;
  for (const line of lines) if (marked.has(line)) count++;
  return lines.size === 0 ? 0 : count / lines.size;
}

/** A step out of a fault is marked on the row behind it. */
const BESIDE = 1;

function countFalseMarks(
  { log, marks }: Audit,
  here: readonly Shown[],
  counts: Map<CheckName, number>,
): void {
  const lines = new Map<CheckName, Set<number>>();
  for (const check of CHECK_NAMES) {
    const good = new Set<number>();
    for (const { fault, allowed, lines: own } of here) {
      if (fault.check !== check && !allowed.has(check)) continue;
      for (const line of own) for (let at = line - BESIDE; at <= line + BESIDE; at++) good.add(at);
    }
    lines.set(check, good);
  }
  for (const { check, mark } of marks) {
    const good = lines.get(check)!;
    let count = 0;
    for (let i = 0; i < mark.rows.length; i++) if (!good.has(lineAt(log.lines, mark.rows[i]!))) count++;
    if (count > 0) counts.set(check, (counts.get(check) ?? 0) + count);
  }
}

/** A line of the score: a check, or one kind of fault of it. */
export interface Score {
  readonly check: CheckName;
  /** Null for all kinds of the check together. */
  readonly kind: string | null;
  readonly faults: number;
  readonly own: number;
  readonly other: number;
  readonly right: number;
  readonly wrong: number;
  readonly falseMarks: number;
  readonly recall: number;
  readonly precision: number;
  /** Mean share of the lines of a fault with a flag other than good. */
  readonly marked: number;
  readonly passes: boolean | null;
}

export function scoresOf(all: readonly Verdicts[]): Score[] {
  const faults = all.flatMap((each) => each.faults);
  const findings = all.flatMap((each) => each.findings);
  return CHECK_NAMES.flatMap((check) => {
    const mine = faults.filter(({ fault }) => fault.check === check);
    const said = findings.filter(({ finding }) => finding.check === check);
    const right = said.filter(({ verdict }) => verdict === 'true').length;
    const wrong = said.filter(({ verdict }) => verdict === 'false').length;
    const falseMarks = all.reduce((sum, each) => sum + (each.falseMarks.get(check) ?? 0), 0);
    const kinds = [...new Set(mine.map(({ fault }) => fault.kind))].sort();
    const line = (kind: string | null): Score => {
      const these = kind === null ? mine : mine.filter(({ fault }) => fault.kind === kind);
      const own = these.filter(({ found }) => found === 'own').length;
      const other = these.filter(({ found }) => found === 'other').length;
      const recall = (own + other) / these.length;
      const precision = right / (right + wrong);
      const marked = these.reduce((sum, each) => sum + each.marked, 0) / these.length;
      const passes = kind === null ? everyPasses(check, mine, precision) : kindPasses(check, kind, recall);
      return {
        check,
        kind,
        faults: these.length,
        own,
        other,
        right,
        wrong,
        falseMarks,
        recall,
        precision,
        marked,
        passes,
      };
    };
    if (mine.length === 0 && said.length === 0) return [];
    return [line(null), ...(kinds.length > 1 ? kinds.map(line) : [])];
  });
}

/** Whether the faults of one kind are found as often as is asked for; null where nothing is. */
function kindPasses(check: CheckName, kind: string, recall: number): boolean | null {
  const wanted = KIND_GOALS[kind] === undefined ? GOALS[check]?.recall : KIND_GOALS[kind];
  return wanted === undefined || wanted === null || Number.isNaN(recall) ? null : recall >= wanted;
}

/** A check reaches its goal by its precision, its ordinary kinds together, and each kind with a goal of its own. */
function everyPasses(check: CheckName, mine: readonly Judged[], precision: number): boolean | null {
  const goal = GOALS[check];
  if (goal === undefined || mine.length === 0) return null;
  const recallOf = (these: readonly Judged[]) =>
    these.filter(({ found }) => found !== 'missed').length / these.length;
  const ordinary = mine.filter(({ fault }) => KIND_GOALS[fault.kind] === undefined);
  const special = Object.keys(KIND_GOALS).map((kind) =>
    kindPasses(check, kind, recallOf(mine.filter(({ fault }) => fault.kind === kind))),
  );
  const isPrecise = Number.isNaN(precision) || precision >= goal.precision;
  return isPrecise && recallOf(ordinary) >= goal.recall && !special.includes(false);
}
