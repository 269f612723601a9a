import { type PeriodKind, periodsCovering } from '../calendar/period.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import { spanOf } from '../report/coverage.js';
import {
  DAMP_CAUTIONS,
  DAMP_CSV_COLUMNS,
  DAMP_HEADINGS,
  type DampLog,
  dampCells,
  dampDocument,
  dampHeadline,
  dampProse,
  dampRows,
  dampTotal,
  dampTrends,
} from '../report/dampReport.js';
import { exposedLog } from '../report/exposedLog.js';
import { companionFinder } from './companions.js';
import { type Intake, takeIn } from './intake.js';
import type { Format, ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitOf, nothingRead, sayIntake } from './session.js';
import { onSheet } from './sheet.js';
import { statedSurfaces } from './statedSurfaces.js';

export interface DampOptions extends ReadingOptions, WritingOptions {
  readonly format: Format;
  readonly per: PeriodKind;
  /** `NAME=DURATION`: a mass beside every logger, instead of what the site file states. */
  readonly surface?: readonly string[];
  readonly temperatureAccuracy?: number;
  readonly humidityAccuracy?: number;
}

/** What the air did to each surface, per day or other civil period. */
export async function runDamp(logs: readonly string[], options: DampOptions, io: Io): Promise<Exit> {
  const stated = options.surface && statedSurfaces(options.surface);
  const intake = await takeIn(logs, options, io);
  sayIntake(io, intake, options);
  if (nothingRead(intake)) return Exit.failed;
  const companionOf = companionFinder(logs, options, io, intake);
  const damp: DampLog[] = [];
  for (const work of intake.works) {
    const span = spanOf(work.cleaned.log, intake.window);
    if (span === null) continue;
    const surfaces = stated ?? work.logger.surfaces;
    const companions = await Promise.all(surfaces.map((surface) => companionOf(surface, work)));
    const periods = periodsCovering(options.per, span.from, span.until, intake.zone);
    const days = periodsCovering('day', span.from, span.until, intake.zone);
    damp.push(exposedLog(work, surfaces, companions, periods, days, options));
  }
  await deliver(await textOf(options, damp, intake, io), options, io, intake.paths);
  return exitOf(intake, options);
}

async function textOf(
  options: DampOptions,
  damp: readonly DampLog[],
  { zone }: Intake,
  io: Io,
): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(dampDocument(damp, options.per, zone))];
  if (options.format === 'csv') return csvLines(DAMP_CSV_COLUMNS, dampRows(damp, zone));
  return onSheet('Damp exposure', options, io, (sheet) => table(damp, options, zone, sheet));
}

function* table(
  damp: readonly DampLog[],
  { per, quiet }: DampOptions,
  zone: Intake['zone'],
  sheet: Sheet,
): Generator<string> {
  const columns = DAMP_HEADINGS.map(
    (heading, i) => ({ heading, align: i === 0 ? 'left' : 'right' }) as const,
  );
  for (const log of damp) {
    for (const exposure of log.surfaces) {
      yield* sheet.title(dampHeadline(log, exposure));
      const rows = exposure.condensation.map((summary) => dampCells(summary, per, zone));
      if (rows.length > 1) rows.push(dampTotal(exposure.condensation));
      yield* sheet.table(columns, rows);
      yield* sheet.trends(dampTrends(exposure.condensation));
      for (const line of dampProse(log, exposure, zone)) yield* sheet.prose(line);
      yield* sheet.gap();
    }
  }
  if (quiet === true) return;
  for (const caution of DAMP_CAUTIONS) yield* sheet.smallPrint(caution);
}
