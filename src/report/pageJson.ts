import { auditDocument } from './auditReport.js';
import { dailyDocument } from './dailyReport.js';
import { dampDocument } from './dampReport.js';
import { needsOf } from './needs.js';
import { outagesDocument } from './outagesReport.js';
import type { Page } from './page.js';
import { verdictOf } from './verdict.js';
import { stamp } from './written.js';

/** The document of `report --format json`: what the other commands would say of the same time, and the verdict. */
export function pageJson(page: Page): object {
  const { place, zone, zoneFrom, span, loggers, outages, sources, made } = page;
  const needs = needsOf(page);
  const { tone, text } = verdictOf(page, needs);
  return {
    format: 'dewledger/report',
    version: 1,
    place,
    zone: zone.name,
    zone_from: zoneFrom,
    from: stamp(span?.start ?? null, zone),
    until: stamp(span?.end ?? null, zone),
    verdict: { tone, text },
    needs: needs.map((need) => ({
      severity: need.severity,
      about: need.about,
      loggers: need.loggers,
      from: stamp(need.from, zone),
      until: stamp(need.until, zone),
      open: need.isOpen,
      text: need.text,
      advice: need.advice,
    })),
    whole: dailyDocument(
      loggers.map(({ id, whole }) => ({ logger: id, summaries: [whole] })),
      'whole',
      zone,
    ),
    days: dailyDocument(
      loggers.map(({ id, days }) => ({ logger: id, summaries: days })),
      'day',
      zone,
    ),
    damp: dampDocument(
      loggers.map(({ damp }) => damp),
      'whole',
      zone,
    ),
    outages: outagesDocument(outages),
    audit: auditDocument({
      works: loggers,
      sources,
      zone,
      window: { from: span?.start ?? null, until: span?.end ?? null },
    }),
    made: {
      program: made.program,
      options: made.options,
      inputs: made.inputs.map(({ path, sha256 }) => ({ path: page.nameOf(path), sha256 })),
    },
  };
}
