import { formatWallMinute } from '../calendar/print.js';
import { Flag } from '../log/flag.js';
import { type Measured, valuesOf } from '../log/log.js';
import { type AuditInput, type Check, fewOf, findingOn, type Mark } from './check.js';
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
    const { log } = input;
    const instants = [...sameInstants(log)]
      .map((instant) => ({ instant, different: differentRows(log, instant) }))
      .filter(({ different }) => different.length > 1);
    const all = instants.map(({ instant, different }) => ({
      finding: findingOn(log, different, {
        check: 'conflict',
        severity: 'warning',
        quantity: 'time',
        message: `${difference(input, different)} at ${formatWallMinute(log.time[instant.from]!, input.zone)}`,
        count: different.length - 1,
      }),
      marks: marksOf(input, instant, different),
    }));
    yield* fewOf(input, all, (count) => `${counted(count, 'instant')} with different readings`);
  },
};

function isDifferent({ log }: AuditInput, quantity: Measured, rows: readonly number[]): boolean {
  const values = valuesOf(log, quantity);
  return rows.some((row) => !isSame(values[row]!, values[rows[0]!]!));
}

/** Against every line of the instant, those that say the same as one before too. */
function marksOf(input: AuditInput, { from, to }: SameInstant, different: readonly number[]): Mark[] {
  const rows = Array.from({ length: to - from }, (_, i) => from + i);
  return QUANTITIES.filter((quantity) => isDifferent(input, quantity, different)).map((quantity) => ({
    quantity,
    rows: rows.filter((row) => !Number.isNaN(valuesOf(input.log, quantity)[row]!)),
    flag: Flag.questionable,
  }));
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
