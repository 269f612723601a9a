import { stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { InputError } from '../errors.js';
import type { Io } from '../present/io.js';
import { withProgress } from '../present/progress.js';
import { STDIN } from '../reading/source.js';
import { firstSite } from '../site/firstSite.js';
import { defaultSite, NO_HINTS } from '../site/site.js';
import { survey, surveyInWords } from '../site/survey.js';
import { expanded, layoutFor, zoneFor } from './intake.js';
import type { LayoutWords } from './options.js';
import { deliver, Exit, say, sayFailures } from './session.js';

export interface SiteInitOptions extends LayoutWords {
  readonly zone?: string;
  readonly output?: string;
  readonly force?: boolean;
}

/** Writes a first site file from what the logs show. */
export async function runSiteInit(logs: readonly string[], options: SiteInitOptions, io: Io): Promise<Exit> {
  const target = options.output === '-' ? undefined : options.output;
  if (target !== undefined && options.force !== true) await refuseExisting(resolve(io.cwd, target), target);
  if (logs.includes(STDIN)) {
    throw new InputError('a site file names files', { text: STDIN }, 'give the logs as files');
  }
  const paths = (await Promise.all(logs.map((word) => expanded(word, io.cwd)))).flat();
  const { zone, from: zoneFrom } = zoneFor(options, io, defaultSite);
  const files = [...new Set(paths)].sort();
  const layout = layoutFor(options, NO_HINTS);
  const seen = await withProgress(io, false, (progress) =>
    survey(files, layout, zone, io.stdin, (path) => progress(`reading ${path}`)),
  );
  sayFailures(io, seen.failures);
  if (seen.loggers.length === 0) return Exit.failed;
  const folder = target === undefined ? io.cwd : dirname(resolve(io.cwd, target));
  const text = firstSite(seen, {
    zone,
    zoneFrom: ZONE_FROM[zoneFrom],
    folder,
    cwd: io.cwd,
    stated: statedKeys(options),
  });
  await deliver([text], { output: target ?? '-' }, io, paths);
  if (target !== undefined)
    say(io, `${target}: ${surveyInWords(seen)}. Look through it, then: dewledger site check ${target}`);
  return seen.failures.length > 0 ? Exit.failed : Exit.done;
}

/** A site file holds what somebody has typed in: it is not overwritten like a result. */
async function refuseExisting(path: string, target: string): Promise<void> {
  const isThere = await stat(path).then(
    (found) => found.isFile(),
    () => false,
  );
  if (!isThere) return;
  throw new InputError('is there already', { file: target }, 'write to another file, or say --force');
}

const ZONE_FROM = {
  option: '--zone',
  environment: 'DEWLEDGER_ZONE',
  'site file': 'the site file',
  system: 'this computer; change it if the loggers are elsewhere',
};

/** What was said about the writing of the logs, by the names that it has in a site file. */
function statedKeys(options: LayoutWords): Record<string, string> {
  const keys = {
    time_column: options.timeColumn,
    temperature_column: options.temperatureColumn,
    humidity_column: options.humidityColumn,
    logger_column: options.loggerColumn,
    temperature_unit: options.temperatureUnit,
    date_order: options.dateOrder,
    delimiter: options.delimiter,
    decimal: options.decimal,
  };
  return Object.fromEntries(
    Object.entries(keys).flatMap(([key, value]) => (value === undefined ? [] : [[key, value] as const])),
  );
}
