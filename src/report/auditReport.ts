import type { Verdicts } from '../audit/audit.js';
import { counted } from '../audit/episodes.js';
import { formatDuration, formatWallMinute } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import type { Cleaned } from '../cleaning/clean.js';
import { rounded } from '../figures.js';
import type { Finding } from '../log/finding.js';
import type { CleanLog } from '../log/log.js';
import type { LogAccount, SourceAccount } from '../reading/logs.js';
import { HOUR, type Instant, type Milliseconds, SECOND } from '../units.js';
import { type LogCoverage, logCoverage } from './coverage.js';
import { adviceOf } from './findingsTable.js';
import type { Sharing } from './sharingReport.js';
import { percent, stamp } from './written.js';

/** One log, audited: what the audit report is made from. */
export interface AuditedLog {
  readonly reading: LogAccount;
  readonly audit: Verdicts;
  readonly cleaned: Cleaned;
  readonly course: CleanLog;
  readonly bridge: Milliseconds;
}

export interface AuditReportInput {
  readonly works: readonly AuditedLog[];
  readonly sources: readonly SourceAccount[];
  readonly zone: Zone;
  readonly window: { readonly from: Instant | null; readonly until: Instant | null };
}

export const AUDIT_CSV_COLUMNS = [
  'logger',
  'check',
  'severity',
  'quantity',
  'from',
  'until',
  'count',
  'source',
  'first_line',
  'last_line',
  'confidence',
  'message',
  'advice',
] as const;

export function coverageFor(work: AuditedLog, window: AuditReportInput['window']): LogCoverage {
  return logCoverage(
    work.cleaned.log,
    work.course,
    work.audit.cadence,
    work.bridge,
    window.from,
    window.until,
  );
}

/**
 * The document of `audit --format json`; its keys are a contract.
 *
 * @param sharing of the logs in their order, where it was asked for
 */
export function auditDocument(
  { works, sources, zone, window }: AuditReportInput,
  sharing: readonly Sharing[] | null = null,
): object {
  return {
    format: 'dewledger/audit',
    version: 1,
    logs: works.map((work, i) => ({
      ...logDocument(work, zone, window),
      ...(sharing === null ? {} : { sharing: { ...sharing[i]!.facts, readable: sharing[i]!.readable } }),
    })),
    sources: sources.map(({ source, lines, assumed }) => ({ source, lines: linesDocument(lines), assumed })),
  };
}

function linesDocument(lines: SourceAccount['lines']): object {
  return {
    total: lines.total,
    header: lines.header,
    blank: lines.blank,
    accepted: lines.accepted,
    rejected: lines.rejected,
    outside_window: lines.outsideWindow,
  };
}

function logDocument(work: AuditedLog, zone: Zone, window: AuditReportInput['window']): object {
  const { reading, audit, cleaned } = work;
  const coverage = coverageFor(work, window);
  return {
    logger: reading.log.logger,
    sources: reading.log.sources,
    zone: zone.name,
    assumed: reading.parts[0]?.assumed ?? null,
    from: stamp(coverage.from, zone),
    until: stamp(coverage.until, zone),
    cadence_s: audit.cadence === null ? null : audit.cadence / SECOND,
    lines: linesDocument(reading.lines),
    readings: {
      accepted: reading.log.length,
      duplicates_dropped: cleaned.dropped.length,
      conflicting_of_these: cleaned.dropped.filter(({ conflicting }) => conflicting).length,
      kept: cleaned.log.length,
    },
    coverage: {
      expected: coverage.expected,
      observed: coverage.observed,
      fraction: coverage.fraction === null ? null : rounded(coverage.fraction, 4),
      unknown_hours: coverage.unknown === null ? null : rounded(coverage.unknown / HOUR, 4),
    },
    findings: audit.findings.map((finding) => findingDocument(finding, zone)),
    not_evaluated: audit.unevaluated.map(({ check, quantity, reason }) => ({ check, quantity, reason })),
  };
}

function findingDocument(finding: Finding, zone: Zone): object {
  return {
    check: finding.check,
    severity: finding.severity,
    quantity: finding.quantity,
    from: stamp(finding.from, zone),
    until: stamp(finding.until, zone),
    count: finding.count,
    source: finding.source,
    lines: finding.lines,
    message: finding.message,
    confidence: finding.confidence,
    advice: adviceOf(finding.check),
  };
}

/** Rows under `AUDIT_CSV_COLUMNS`, a finding each. */
export function* auditRows({ works, zone }: AuditReportInput): Generator<(string | number | null)[]> {
  for (const { reading, audit } of works) {
    for (const finding of audit.findings) {
      yield [
        reading.log.logger,
        finding.check,
        finding.severity,
        finding.quantity,
        stamp(finding.from, zone),
        stamp(finding.until, zone),
        finding.count,
        finding.source,
        finding.lines?.[0] ?? null,
        finding.lines?.[1] ?? null,
        finding.confidence,
        finding.message,
        adviceOf(finding.check),
      ];
    }
  }
}

/** What stands over the findings of one log: who, when, how complete. */
export function auditHeadline(work: AuditedLog, input: AuditReportInput): string {
  const { zone } = input;
  const { from, until, expected, observed, fraction, unknown } = coverageFor(work, input.window);
  const name = work.reading.log.logger;
  if (from === null || until === null) return `${name}: no readings`;
  const span = `${formatWallMinute(from, zone)} to ${formatWallMinute(until, zone)} ${zone.name}`;
  const { cadence } = work.audit;
  const pace = cadence === null ? 'no cadence' : `a reading every ${formatDuration(cadence)}`;
  const share =
    expected === null || fraction === null
      ? counted(work.cleaned.log.length, 'reading')
      : `${observed} of ${expected} readings came (${percent(fraction, 1)})`;
  const open =
    unknown === null || unknown === 0
      ? ''
      : `, ${formatDuration(Math.round(unknown / SECOND) * SECOND)} unknown`;
  const apart =
    cadence !== null && cadence > work.bridge ? ' (readings further apart than --bridge joins)' : '';
  return `${name}: ${span}, ${pace}, ${share}${open}${apart}${unevaluated(work.audit)}`;
}

/** The checks for which there is too little to go on; others that stand out are a matter of what was stated and asked. */
function unevaluated(audit: Verdicts): string {
  const checks = audit.unevaluated
    .filter(({ reason }) => reason === 'too few readings')
    .map(({ check }) => check);
  return checks.length === 0 ? '' : `, too few for ${[...new Set(checks)].join(', ')}`;
}
