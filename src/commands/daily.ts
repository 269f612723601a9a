import type { PeriodKind } from '../calendar/period.js';
import { summariseCivil } from '../period/civil.js';
import { type Cell, csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { proseLines } from '../present/prose.js';
import { tableLines } from '../present/table.js';
import { type Palette, paletteFor, type Style } from '../present/terminal.js';
import { spanOf } from '../report/coverage.js';
import {
  DAILY_CSV_COLUMNS,
  DAILY_HEADINGS,
  type DailyLog,
  dailyCells,
  dailyDocument,
  dailyLegend,
  dailyRow,
} from '../report/dailyReport.js';
import { type Intake, takeIn } from './intake.js';
import type { ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitOf, nothingRead, sayIntake, styleOf } from './session.js';

export const FORMATS = ['table', 'csv', 'json'] as const;

export interface DailyOptions extends ReadingOptions, WritingOptions {
  readonly format: (typeof FORMATS)[number];
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
  const style = styleOf(options, io);
  return table(daily, options, zone, style, await paletteFor(style.level));
}

function* table(
  daily: readonly DailyLog[],
  { per }: DailyOptions,
  zone: Intake['zone'],
  style: Style,
  palette: Palette,
): Generator<string> {
  const columns = DAILY_HEADINGS.map(
    (heading, i) => ({ heading, align: i === 0 ? 'left' : 'right' }) as const,
  );
  for (const { logger, summaries } of daily) {
    if (summaries.length === 0) continue;
    yield* proseLines(`${logger}, ${zone.name}`, style, palette.strong);
    yield* tableLines(
      columns,
      summaries.map((summary) => dailyCells(summary, per, zone)),
      style,
    );
    yield '\n';
  }
  for (const line of dailyLegend(daily)) yield* proseLines(line, style, palette.faint);
}
