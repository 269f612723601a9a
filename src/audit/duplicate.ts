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
    const firsts: number[] = []; // of the instant of each
    for (const instant of sameInstants(log)) {
      const different = differentRows(log, instant);
      for (let row = instant.from, next = 0; row < instant.to; row++) {
        if (row === different[next]) next++;
        else {
          rows.push(row);
          firsts.push(instant.from);
        }
      }
    }
    // readings that are repeated one after the other are events of their own: each has its instant
    let told = 0;
    for (const episode of episodesOf(rows, log.time, cadence === null ? null : cadence / 4)) {
      const all: number[] = [];
      for (const row of episode) {
        const first = firsts[told]!;
        if (first !== firsts[told - 1] || all.length === 0) all.push(first);
        all.push(row);
        told++;
      }
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
