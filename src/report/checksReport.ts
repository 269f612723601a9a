import type { AuditSettings, Check, LimitInForce, LimitSetting } from '../audit/check.js';

/** What the checks go by for one logger; without a site file there is one of no name. */
export interface LoggerLimits {
  readonly logger: string | null;
  readonly settings: Pick<AuditSettings, LimitSetting>;
}

/** A limit, and the loggers for which it has this value; null for all of them. */
export interface LimitRow extends LimitInForce {
  readonly loggers: readonly string[] | null;
}

/** The limits of a check, those of the same value as one. */
export function limitRows(check: Check, loggers: readonly LoggerLimits[]): LimitRow[] {
  const byValue = new Map<string, { inForce: LimitInForce; loggers: string[] }>();
  for (const { logger, settings } of loggers) {
    for (const inForce of check.limits?.(settings) ?? []) {
      const id = JSON.stringify(inForce);
      const row = byValue.get(id) ?? { inForce, loggers: [] };
      byValue.set(id, row);
      if (logger !== null) row.loggers.push(logger);
    }
  }
  return [...byValue.values()]
    .map(({ inForce, loggers: those }) => ({
      ...inForce,
      loggers: those.length === 0 || those.length === loggers.length ? null : those,
    }))
    .sort((a, b) => (a.key === b.key ? 0 : a.key < b.key ? -1 : 1));
}

/** The document of `audit --explain --format json`; its keys are a contract. */
export function checksDocument(checks: readonly Check[], loggers: readonly LoggerLimits[]): object {
  return {
    format: 'dewledger/checks',
    version: 1,
    checks: checks.map((check) => ({
      check: check.name,
      looks_for: check.looksFor,
      method: check.method,
      source: check.source,
      advice: check.advice,
      limits: limitRows(check, loggers).map(({ limit, value, isStated, key, loggers: those }) => ({
        limit,
        in_force: value,
        from: isStated ? 'site file' : 'default',
        key,
        loggers: those,
      })),
    })),
  };
}

export const CHECKS_CSV_COLUMNS = ['check', 'looks_for', 'method', 'source', 'advice'] as const;

export function checkRow({ name, looksFor, method, source, advice }: Check): string[] {
  return [name, looksFor, method, source, advice];
}

export const LIMIT_HEADINGS = ['limit', 'in force', 'from', 'key in the site file', 'loggers'] as const;

export function limitCells({ limit, value, isStated, key, loggers }: LimitRow): string[] {
  return [limit, value, isStated ? 'site file' : 'default', key, loggers?.join(', ') ?? 'all'];
}
