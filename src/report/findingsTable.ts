import { CHECKS } from '../audit/checks.js';
import { formatDuration, formatWallMinute } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { type CheckName, type Finding, SEVERITIES, type Severity } from '../log/finding.js';
import type { Milliseconds } from '../units.js';

/** A line of the table: a finding, or those of its kind that are not shown by themselves. */
export interface FindingLine {
  readonly severity: Severity;
  /** Under `FINDING_HEADINGS`. */
  readonly cells: readonly string[];
}

export const FINDING_HEADINGS = ['severity', 'check', 'when, length', 'lines', 'what'] as const;
export const ADVICE_HEADINGS = ['check', 'what to look at'] as const;

/** Of one kind so many are shown by themselves, if there is more than one beside: a table is to be read. */
const SHOWN = 5;

/** Worst first, then the kinds by when they were first met, and those of one kind by time; those of no time first. */
export function worstFirst(findings: readonly Finding[]): Finding[] {
  return kindsOf(findings).flat();
}

/** The findings of one log for people: of a kind that was met often the longest, and a line about the others. */
export function findingLines(findings: readonly Finding[], zone: Zone): FindingLine[] {
  return kindsOf(findings).flatMap((kind) => {
    const [shown, rest] = kind.length > SHOWN + 1 ? longestOf(kind) : [kind, []];
    const lines = shown.map((finding) => ({
      severity: finding.severity,
      cells: findingCells(finding, zone),
    }));
    return rest.length === 0 ? lines : [...lines, restLine(rest, zone)];
  });
}

/** The cells of one finding in a table for people. */
export function findingCells(
  { severity, check, from, until, lines, message }: Finding,
  zone: Zone,
): string[] {
  const where = lines === null ? '' : lines[0] === lines[1] ? `${lines[0]}` : `${lines[0]}-${lines[1]}`;
  const start = from === null ? '' : formatWallMinute(from, zone);
  const length = lengthOf({ from, until });
  return [severity, check, length > 0 ? `${start}, ${formatDuration(length)}` : start, where, message];
}

/** Advice for each check that spoke, once, in the order of the table. */
export function adviceCells(findings: readonly Finding[]): [check: string, advice: string][] {
  return [...new Set(worstFirst(findings).map(({ check }) => check))].map((check) => [
    check,
    adviceOf(check),
  ]);
}

/** What to look at on the device after a finding of this check. */
export function adviceOf(name: CheckName): string {
  return CHECKS.find((check) => check.name === name)!.advice;
}

/** The findings of each severity, check and quantity in order of time. */
function kindsOf(findings: readonly Finding[]): Finding[][] {
  const kinds = new Map<string, Finding[]>();
  for (const finding of [...findings].sort((a, b) => start(a) - start(b))) {
    const name = `${finding.severity} ${finding.check} ${finding.quantity}`;
    const kind = kinds.get(name);
    if (kind === undefined) kinds.set(name, [finding]);
    else kind.push(finding);
  }
  return [...kinds.values()].sort(([a], [b]) => weight(b!) - weight(a!));
}

const start = ({ from }: Finding) => from ?? -Number.MAX_VALUE;
const weight = ({ severity }: Finding) => SEVERITIES.indexOf(severity);

/** @returns both parts in order of time */
function longestOf(kind: readonly Finding[]): [shown: Finding[], rest: Finding[]] {
  const shown = new Set([...kind].sort((a, b) => lengthOf(b) - lengthOf(a)).slice(0, SHOWN));
  return [[...shown].sort((a, b) => start(a) - start(b)), kind.filter((finding) => !shown.has(finding))];
}

function restLine(rest: readonly Finding[], zone: Zone): FindingLine {
  const { severity, check, from } = rest[0]!;
  const first = from === null ? '' : formatWallMinute(from, zone);
  const length = rest.reduce((sum, finding) => sum + lengthOf(finding), 0);
  const inAll = length > 0 ? `, ${formatDuration(length)} in all` : '';
  return {
    severity,
    cells: [severity, check, `${first}, and on`, '', `${rest.length} more, none of them longer${inAll}`],
  };
}

function lengthOf({ from, until }: Pick<Finding, 'from' | 'until'>): Milliseconds {
  return from === null || until === null ? 0 : until - from;
}
