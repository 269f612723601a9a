import { writeFileSync } from 'node:fs';
import { periodsCovering } from '../../src/calendar/period.js';
import { takeIn } from '../../src/commands/intake.js';
import { condensation } from '../../src/damp/condensation.js';
import { pairsOf, tableOf } from '../../src/log/pairs.js';
import { pairMeans } from '../../src/period/pairMeans.js';
import { summarise } from '../../src/period/summary.js';
import { defaultAir } from '../../src/psychrometry/airModel.js';
import { quantities } from '../../src/psychrometry/quantities.js';
import { spanOf } from '../../src/report/coverage.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { ADDED, HEADING, PRESSURE, SKIPPED, TIME_CONSTANT, ZONE } from './job.js';

/**
 * The whole job by the functions that the commands call.
 *
 * @param words the log, the file for the table, and `all` for all checks and not those of the job alone
 */
export async function run([log = '', table = '', checks = '']: readonly string[]): Promise<void> {
  const { stdin, stdout, stderr } = process;
  const io = { stdin, stdout, stderr, env: {}, cwd: process.cwd(), now: Date.now };
  const intake = await takeIn(
    [log],
    { zone: ZONE, header: true, quiet: true, skip: checks === 'all' ? [] : SKIPPED },
    io,
  );

  // the dew point is a part of every daily table
  const [, ...OTHERS] = ADDED;
  const derived = quantities.filter(({ name }) => OTHERS.includes(name));

  const lines = [HEADING];
  for (const { course, bridge, logger } of intake.works) {
    const span = spanOf(course, intake.window)!;
    const days = periodsCovering('day', span.from, span.until, intake.zone);
    const summaries = summarise(course, days, { bridge });
    const pairs = pairsOf(course);
    const tables = derived.map((quantity) =>
      tableOf(pairs, (t, u) => quantity.of(t, u, PRESSURE, defaultAir)),
    );
    const { means } = pairMeans(course, tables, days, bridge);
    const surface = { name: 'mass', model: 'mass', timeConstant: TIME_CONSTANT } as const;
    const wet = condensation(course, surface, days, { bridge, accuracy: logger.accuracy });
    for (const [day, summary] of summaries.entries()) {
      const { period, readings, airTemperature: t, relativeHumidity: u, dewPointMean } = summary;
      const noon = new Date(period.start + 12 * HOUR).toISOString().slice(0, 10);
      const at = (instant: number | null) => (instant ?? Number.NaN) / MINUTE;
      const extremes = [t.min, at(t.minTime), t.max, at(t.maxTime), t.mean, u.min, u.max, u.mean];
      lines.push(
        [
          noon,
          readings,
          ...extremes,
          dewPointMean,
          ...means.map((mean) => mean[day]),
          wet[day]!.expected / HOUR,
        ].join(),
      );
    }
  }
  writeFileSync(table, `${lines.join('\n')}\n`);
  (globalThis as { gc?: () => void }).gc!(); // as bin/dewledger.js ends
}
