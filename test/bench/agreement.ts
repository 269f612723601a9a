import { readFileSync } from 'node:fs';
import { HEADING, TOLERANCE } from './job.js';

/** Where two daily tables lie further apart than `TOLERANCE`: at most three places in words; none if they agree. */
export function differences(ours: string, theirs: string): string[] {
  const [a, b] = [ours, theirs].map((path) => readFileSync(path, 'utf8').trimEnd().split('\n'));
  if (a!.length !== b!.length) return [`${a!.length} days against ${b!.length}`];
  const columns = HEADING.split(',');
  const found: string[] = [];
  for (let day = 1; day < a!.length && found.length < 3; day++) {
    const [mine, other] = [a![day]!.split(','), b![day]!.split(',')];
    for (const [i, column] of columns.entries()) {
      const same =
        i === 0
          ? mine[i] === other[i]
          : Math.abs(Number(mine[i]) - Number(other[i])) <= (TOLERANCE[column] ?? 0);
      if (!same) found.push(`${mine[0]} ${column}: ${mine[i]} against ${other[i]}`);
    }
  }
  return found.slice(0, 3);
}
