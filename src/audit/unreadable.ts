import { excerpt } from '../errors.js';
import type { Rejection, RejectReason } from '../log/account.js';
import type { Severity } from '../log/finding.js';
import type { Check, Found } from './check.js';
import { counted } from './episodes.js';

/** Reasons that have a check of their own. */
const ELSEWHERE: readonly RejectReason[] = ['clock', 'skipped_hour'];
/** From this share of all readings on, the way of reading is wrong rather than a few lines. */
const SERIOUS_SHARE = 0.01;
const SERIOUS_COUNT = 10;

/** Lines that could not be made into a reading, and cells that hold no number. */
export const unreadable: Check = {
  name: 'unreadable',
  looksFor: 'lines that cannot be read, and cells that hold no number',
  method:
    'A line needs as many cells as the others, a time stamp of the style of the file, and quotes that close. ' +
    'A cell needs a number or a word for "missing". Rejected lines are kept verbatim with --rejects.',
  source: 'IOOS QARTOD manual for wind data, test 2 (syntax)',
  advice: 'look at the line in the file: torn lines come from power cuts, odd words from the export',
  *run({ rejections, unreadable: cells, log }) {
    for (const rejection of rejections) {
      if (!ELSEWHERE.includes(rejection.reason)) yield lineFinding(rejection, log.length);
    }
    const kinds = new Map<string, (typeof cells)[number][]>();
    for (const cell of cells) {
      const key = `${cell.quantity} ${cell.source}`;
      const kind = kinds.get(key);
      if (kind === undefined) kinds.set(key, [cell]);
      else kind.push(cell);
    }
    for (const group of kinds.values()) {
      const first = group[0]!;
      yield {
        finding: {
          check: 'unreadable',
          severity: severityOf(group.length, log.length),
          quantity: first.quantity,
          from: null,
          until: null,
          count: group.length,
          source: first.source,
          lines: [first.line, group.at(-1)!.line],
          message: `${counted(group.length, 'cell')} without a number, the first is "${excerpt(first.text, 30)}"`,
          confidence: 'certain',
        },
        marks: [],
      };
    }
  },
};

const REASONS: Readonly<Record<RejectReason, string>> = {
  cells: 'with a wrong number of cells',
  quotes: 'with quotes that do not close',
  cut: 'cut off at the end of the file',
  time: 'without a time that can be read',
  clock: 'stamped by a clock that was not set',
  skipped_hour: 'stamped in an hour that did not exist',
  logger: 'without the name of a logger',
};

function lineFinding(rejection: Rejection, readings: number): Found {
  const { reason, count, example, detail } = rejection;
  return rejectionFinding('unreadable', rejection, severityOf(count, readings), {
    message: `${counted(count, 'line')} ${REASONS[reason]}${detail === null ? '' : ` (${detail})`}: "${excerpt(example, 40)}"`,
  });
}

/** A finding about rejected lines, which have no row in the log. */
export function rejectionFinding(
  check: 'unreadable' | 'clock' | 'daylight_saving',
  { source, count, firstLine, lastLine, from, until }: Rejection,
  severity: Severity,
  { message }: { message: string },
): Found {
  return {
    finding: {
      check,
      severity,
      quantity: 'time',
      from,
      until,
      count,
      source,
      lines: [firstLine, lastLine],
      message,
      confidence: 'certain',
    },
    marks: [],
  };
}

function severityOf(count: number, readings: number): Severity {
  return count >= SERIOUS_COUNT && count > SERIOUS_SHARE * readings ? 'error' : 'warning';
}
