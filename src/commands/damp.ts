import { exactDuration } from '../calendar/duration.js';
import { type PeriodKind, periodsCovering } from '../calendar/period.js';
import { condensationFrom } from '../damp/condensation.js';
import { depositPoints } from '../damp/depositPoint.js';
import type { Surface } from '../damp/surface.js';
import { settlingTime } from '../damp/surfaceTemperature.js';
import { InputError } from '../errors.js';
import { type Cell, csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { proseLines } from '../present/prose.js';
import { tableLines } from '../present/table.js';
import { type Palette, paletteFor, type Style } from '../present/terminal.js';
import { spanOf } from '../report/coverage.js';
import {
  DAMP_CAUTIONS,
  DAMP_CSV_COLUMNS,
  DAMP_HEADINGS,
  type DampSurface,
  dampCells,
  dampDocument,
  dampHeadline,
  dampRow,
  dampTotal,
} from '../report/dampReport.js';
import type { Site } from '../site/site.js';
import { findingsOf, type Intake, takeIn, type Work } from './intake.js';
import type { ReadingOptions, WritingOptions } from './options.js';
import { deliver, Exit, exitFor, sayAssumptions, sayEmpty, sayFailures, styleOf } from './session.js';

export const FORMATS = ['table', 'csv', 'json'] as const;

export interface DampOptions extends ReadingOptions, WritingOptions {
  readonly format: (typeof FORMATS)[number];
  readonly per: PeriodKind;
  /** `NAME=DURATION`: a mass beside every logger, instead of what the site file states. */
  readonly surface?: readonly string[];
  readonly temperatureAccuracy?: number;
  readonly humidityAccuracy?: number;
}

/** Condensation on each surface, per day or other civil period. */
export async function runDamp(logs: readonly string[], options: DampOptions, io: Io): Promise<Exit> {
  const surfaces = options.surface?.map(parseSurface);
  const runUp = (site: Site) => Math.max(0, ...surfacesOf(site, surfaces).map(settlingTime));
  const intake = await takeIn(logs, options, io, { runUp });
  sayFailures(io, intake.failures);
  if (options.verbose) sayAssumptions(io, intake);
  sayEmpty(io, intake);
  const damp = intake.works.flatMap((work) =>
    dampOf(work, surfaces ?? work.logger.surfaces, options, intake),
  );
  await deliver(await textOf(options, damp, intake, io), options, io, intake.paths);
  return intake.failures.length > 0 ? Exit.failed : exitFor(findingsOf(intake), options.failOn);
}

function surfacesOf(site: Site, stated: readonly Surface[] | undefined): readonly Surface[] {
  return stated ?? site.loggers.flatMap((logger) => logger.surfaces);
}

function parseSurface(text: string): Surface {
  const at = text.lastIndexOf('=');
  const name = text.slice(0, at).trim();
  if (at < 0 || name === '') {
    throw new InputError('a surface is a name and a time constant', { text }, 'such as --surface winch=PT3H');
  }
  const timeConstant = exactDuration(text.slice(at + 1));
  if (timeConstant === 0) return { name, model: 'air' };
  return { name, model: 'mass', timeConstant };
}

function dampOf(
  work: Work,
  surfaces: readonly Surface[],
  options: DampOptions,
  intake: Intake,
): DampSurface[] {
  const { cleaned, course, bridge, logger, reading } = work;
  const span = spanOf(cleaned.log, intake.window);
  if (span === null) return [];
  const stated = options.temperatureAccuracy !== undefined || options.humidityAccuracy !== undefined;
  const accuracy = {
    airTemperature: options.temperatureAccuracy ?? logger.accuracy.airTemperature,
    relativeHumidity: options.humidityAccuracy ?? logger.accuracy.relativeHumidity,
  };
  const periods = periodsCovering(options.per, span.from, span.until, intake.zone);
  const deposits = depositPoints(course, {
    temperature: accuracy.airTemperature,
    humidity: accuracy.relativeHumidity,
  });
  return surfaces.map((surface) => ({
    logger: reading.log.logger,
    surface,
    summaries: condensationFrom(course, deposits, surface, periods, bridge),
    accuracy,
    accuracySource: stated ? 'option' : logger.accuracySource,
  }));
}

async function textOf(
  options: DampOptions,
  damp: readonly DampSurface[],
  { zone }: Intake,
  io: Io,
): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(dampDocument(damp, options.per, zone))];
  if (options.format === 'csv') {
    const rows = damp.flatMap((each) =>
      each.summaries.map((summary): Cell[] => {
        const row = dampRow(each, summary, zone);
        return DAMP_CSV_COLUMNS.map((name) => row[name]);
      }),
    );
    return csvLines(DAMP_CSV_COLUMNS, rows);
  }
  const style = styleOf(options, io);
  return table(damp, options, zone, style, await paletteFor(style.level));
}

function* table(
  damp: readonly DampSurface[],
  { per, quiet }: DampOptions,
  zone: Intake['zone'],
  style: Style,
  palette: Palette,
): Generator<string> {
  const columns = DAMP_HEADINGS.map(
    (heading, i) => ({ heading, align: i === 0 ? 'left' : 'right' }) as const,
  );
  for (const each of damp) {
    yield* proseLines(dampHeadline(each), style, palette.strong);
    const rows = each.summaries.map((summary) => dampCells(summary, per, zone));
    if (rows.length > 1) rows.push(dampTotal(each.summaries));
    yield* tableLines(columns, rows, style);
    yield '\n';
  }
  if (quiet === true) return;
  for (const caution of DAMP_CAUTIONS) yield* proseLines(caution, style, palette.faint);
}
