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

/**
 * The findings of one log for people: of a kind that was met often the longest, and a line about the others.
 *
 * @param cadence of the log [ms], null where it has none
 */
export function findingLines(
  findings: readonly Finding[],
  cadence: Milliseconds | null,
  zone: Zone,
): FindingLine[] {
  return kindsOf(findings).flatMap((kind) => {
    const [shown, rest] = kind.length > SHOWN + 1 ? longestOf(kind, cadence) : [kind, []];
    const lines = shown.map((finding) => ({
      severity: finding.severity,
      cells: findingCells(finding, cadence, zone),
    }));
    return rest.length === 0 ? lines : [...lines, restLine(rest, cadence, zone)];
  });
}

/** The cells of one finding in a table for people. */
export function findingCells(finding: Finding, cadence: Milliseconds | null, zone: Zone): string[] {
  const { severity, check, lines, message } = finding;
  const where = lines === null ? '' : lines[0] === lines[1] ? `${lines[0]}` : `${lines[0]}-${lines[1]}`;
  return [severity, check, whenOf(finding, cadence, zone), where, message];
}

function whenOf(finding: Finding, cadence: Milliseconds | null, zone: Zone): string {
  const { from, until } = finding;
  if (from === null) return '';
  const start = formatWallMinute(from, zone);
  if (until !== null && isScattered(finding, cadence)) return `${start} to ${formatWallMinute(until, zone)}`;
  const length = lengthOf(finding, cadence);
  return length > 0 ? `${start}, ${formatDuration(length)}` : start;
}

/** Less than every other reading between the first and the last is no stretch, and has no length (project rule). */
const DENSE = 2;

function isScattered({ from, until, count }: Finding, cadence: Milliseconds | null): boolean {
  if (from === null || until === null || cadence === null || count < 2) return false;
  return until - from > DENSE * count * cadence;
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
function longestOf(
  kind: readonly Finding[],
  cadence: Milliseconds | null,
): [shown: Finding[], rest: Finding[]] {
  const shown = new Set(
    [...kind].sort((a, b) => lengthOf(b, cadence) - lengthOf(a, cadence)).slice(0, SHOWN),
  );
  return [[...shown].sort((a, b) => start(a) - start(b)), kind.filter((finding) => !shown.has(finding))];
}

function restLine(rest: readonly Finding[], cadence: Milliseconds | null, zone: Zone): FindingLine {
  const { severity, check, from } = rest[0]!;
  const first = from === null ? '' : formatWallMinute(from, zone);
  const length = rest.reduce((sum, finding) => sum + lengthOf(finding, cadence), 0);
  const inAll = length > 0 ? `, ${formatDuration(length)} in all` : '';
  return {
    severity,
    cells: [severity, check, `${first}, and on`, '', `${rest.length} more, none of them longer${inAll}`],
  };
}

function lengthOf(finding: Finding, cadence: Milliseconds | null): Milliseconds {
  const { from, until } = finding;
  return from === null || until === null || isScattered(finding, cadence) ? 0 : until - from;
}
