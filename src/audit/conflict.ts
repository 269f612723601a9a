import { formatWallMinute } from '../calendar/print.js';
import type { Finding } from '../log/finding.js';
import { Flag } from '../log/flag.js';
import { type Measured, valuesOf } from '../log/log.js';
import { type AuditInput, type Check, findingOn, type Mark, MOST_FINDINGS } from './check.js';
import { counted } from './episodes.js';
import { QUANTITIES, unitOf } from './range.js';
import { differentRows, isSame, type SameInstant, sameInstants } from './sameInstant.js';

/** Different readings of one instant. */
export const conflict: Check = {
  name: 'conflict',
  looksFor: 'different readings of one and the same instant',
  method:
    'The same instant with other values than a line before. The values that differ are questionable (flag 3). Cleaning ' +
    'keeps the reading with more values, then the one nearer to the straight line between its neighbours.',
  source: 'common practice, no source',
  advice:
    'two devices under one name, a clock that was set back, or an hour that came twice in a file sorted by local time',
  learns: true,
  *run(input) {
    const { log, asked } = input;
    const all: Conflict[] = [];
    for (const instant of sameInstants(log)) {
      const different = differentRows(log, instant);
      if (different.length > 1) all.push({ instant, different });
    }
    const told = all.filter(({ instant }) => instant.from >= asked.first && instant.from < asked.end);
    if (told.length > MOST_FINDINGS)
      yield { finding: manyConflicts(input, told), marks: marksOf(input, all) };
    else for (const each of all) yield { finding: oneConflict(input, each), marks: marksOf(input, [each]) };
  },
};

/** Rows of one instant, and the first of each different reading among them. */
interface Conflict {
  readonly instant: SameInstant;
  readonly different: readonly number[];
}

const STATED = { check: 'conflict', severity: 'warning', quantity: 'time' } as const;

function oneConflict(input: AuditInput, { instant, different }: Conflict): Finding {
  const { log, zone } = input;
  const message = `${difference(input, different)} at ${formatWallMinute(log.time[instant.from]!, zone)}`;
  return findingOn(log, different, { ...STATED, message, count: different.length - 1 });
}

/** Very many as one; its lines are of the source that the first of them begins in. */
function manyConflicts({ log }: AuditInput, all: readonly Conflict[]): Finding {
  const source = log.source[all[0]!.instant.from];
  const rows = all.flatMap(({ instant, different }) =>
    log.source[instant.from] === source ? different : [],
  );
  const message = `${counted(all.length, 'instant')} with different readings`;
  const count = all.reduce((sum, { different }) => sum + different.length - 1, 0);
  return {
    ...findingOn(log, rows, { ...STATED, message, count }),
    until: log.time[all.at(-1)!.instant.from]!,
  };
}

function isDifferent({ log }: AuditInput, quantity: Measured, rows: readonly number[]): boolean {
  const values = valuesOf(log, quantity);
  return rows.some((row) => !isSame(values[row]!, values[rows[0]!]!));
}

/** Against every line of the instants, those that say the same as one before too. */
function marksOf(input: AuditInput, all: readonly Conflict[]): Mark[] {
  return QUANTITIES.map((quantity) => {
    const values = valuesOf(input.log, quantity);
    const rows: number[] = [];
    for (const { instant, different } of all) {
      if (!isDifferent(input, quantity, different)) continue;
      for (let row = instant.from; row < instant.to; row++) if (!Number.isNaN(values[row]!)) rows.push(row);
    }
    return { quantity, rows, flag: Flag.questionable };
  });
}

function difference(input: AuditInput, rows: readonly number[]): string {
  return QUANTITIES.filter((quantity) => isDifferent(input, quantity, rows))
    .map((quantity) => {
      const values = valuesOf(input.log, quantity);
      const said = [...new Set(rows.map((row) => values[row]!))].map((value) =>
        Number.isNaN(value) ? 'none' : `${value}`,
      );
      return `${said.slice(0, 3).join(' or ')}${said.length > 3 ? ' or ...' : ''} ${unitOf(quantity)}`;
    })
    .join(', ');
}
