import type { PeriodKind } from '../calendar/period.js';
import { summariseCivil } from '../period/civil.js';
import { type Cell, csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import type { Sheet } from '../present/sheet.js';
import { spanOf } from '../report/coverage.js';
import {
  DAILY_CSV_COLUMNS,
  DAILY_HEADINGS,
  type DailyLog,
  dailyCells,
  dailyDocument,
  dailyLegend,
  dailyRow,
  dailyTrends,
} from '../report/dailyReport.js';
import { type Intake, takeIn } from './intake.js';
import type { Format, ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitOf, nothingRead, sayIntake } from './session.js';
import { onSheet } from './sheet.js';

export interface DailyOptions extends ReadingOptions, WritingOptions {
  readonly format: Format;
  readonly per: PeriodKind;
}

/** Extremes, means and coverage of every day, or other civil period. */
export async function runDaily(logs: readonly string[], options: DailyOptions, io: Io): Promise<Exit> {
  const intake = await takeIn(logs, options, io);
  sayIntake(io, intake, options);
  if (nothingRead(intake)) return Exit.failed;
  const { zone, window } = intake;
  const daily = intake.works.map(({ reading, cleaned, course, bridge }): DailyLog => {
    const span = spanOf(cleaned.log, window);
    const summaries =
      span === null ? [] : summariseCivil(course, options.per, span.from, span.until, zone, { bridge });
    return { logger: reading.log.logger, summaries };
  });
  await deliver(await textOf(options, daily, intake, io), options, io, intake.paths);
  return exitOf(intake, options);
}

async function textOf(
  options: DailyOptions,
  daily: readonly DailyLog[],
  { zone }: Intake,
  io: Io,
): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(dailyDocument(daily, options.per, zone))];
  if (options.format === 'csv') {
    const rows = daily.flatMap(({ logger, summaries }) =>
      summaries.map((summary): Cell[] => {
        const row = dailyRow(logger, summary, zone);
        return DAILY_CSV_COLUMNS.map((name) => (typeof row[name] === 'boolean' ? `${row[name]}` : row[name]));
      }),
    );
    return csvLines(DAILY_CSV_COLUMNS, rows);
  }
  return onSheet('Extremes and means', options, io, (sheet) => table(daily, options, zone, sheet));
}

function* table(
  daily: readonly DailyLog[],
  { per }: DailyOptions,
  zone: Intake['zone'],
  sheet: Sheet,
): Generator<string> {
  const columns = DAILY_HEADINGS.map(
    (heading, i) => ({ heading, align: i === 0 ? 'left' : 'right' }) as const,
  );
  for (const { logger, summaries } of daily) {
    if (summaries.length === 0) continue;
    yield* sheet.title(`${logger}, ${zone.name}`);
    yield* sheet.table(
      columns,
      summaries.map((summary) => dailyCells(summary, per, zone)),
    );
    yield* sheet.trends(dailyTrends(summaries));
    yield* sheet.gap();
  }
  for (const line of dailyLegend(daily)) yield* sheet.smallPrint(line);
}
