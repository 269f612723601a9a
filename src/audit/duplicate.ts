import { type Check, findingOn } from './check.js';
import { counted, episodesOf } from './episodes.js';
import { differentRows, sameInstants } from './sameInstant.js';

/** Readings that came more than once. */
export const duplicate: Check = {
  name: 'duplicate',
  looksFor: 'readings that came more than once',
  method: 'The same instant with the same values as a line before. Cleaning keeps one of them.',
  source: 'common practice, no source (loggers send again until they are answered)',
  advice:
    'the logger sends again when the answer of the server is lost; a unique key in the table prevents it',
  *run({ log, cadence }) {
    const rows: number[] = [];
    const group = new Map<number, number>(); // surplus row -> first row of its instant
    for (const instant of sameInstants(log)) {
      const different = new Set(differentRows(log, instant));
      for (let row = instant.from; row < instant.to; row++) {
        if (different.has(row)) continue;
        rows.push(row);
        group.set(row, instant.from);
      }
    }
    // readings that are repeated one after the other are events of their own: each has its instant
    for (const episode of episodesOf(rows, log.time, cadence === null ? null : cadence / 4)) {
      const all = [...new Set(episode.map((row) => group.get(row)!)), ...episode].sort((a, b) => a - b);
      yield {
        finding: findingOn(log, all, {
          check: 'duplicate',
          severity: 'note',
          quantity: 'time',
          message: `${counted(episode.length, 'line')} with a reading that was there already`,
          count: episode.length,
        }),
        marks: [],
      };
    }
  },
};
