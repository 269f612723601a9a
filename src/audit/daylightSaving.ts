import { formatDuration } from '../calendar/print.js';
import { offsetText, type Zone, zoneNamed } from '../calendar/zone.js';
import type { Rejection } from '../log/account.js';
import type { Milliseconds } from '../units.js';
import { type ChangedHour, changedHourIn, LEAST_MISSED } from './changedHour.js';
import { type AuditInput, type Check, linesOf } from './check.js';
import { counted } from './episodes.js';
import { gapsOf } from './gap.js';
import { rejectionFinding } from './unreadable.js';

/** From this share of the readings due in the skipped hour on, the logger went on through it (project rule). */
const WENT_ON = 0.6;

/** Times at which the clocks of the zone were changed, and the log was not, or not as they were. */
export const daylightSaving: Check = {
  name: 'daylight_saving',
  looksFor:
    'stamps in the hour that daylight saving time skips, and holes that are just an hour it skips or repeats',
  method:
    'A stamp without offset is local to the zone of the log. One that the clocks of that zone never showed cannot be placed: ' +
    'the line is rejected and kept verbatim with --rejects. Where such lines are at least ' +
    `${WENT_ON} of those due in the hour, the logger keeps fixed time. A hole from the reading before the hour that is skipped, ` +
    `or the first or second pass of the one that comes twice, to the reading after it, ${LEAST_MISSED} readings or more, is that hour. ` +
    'So is one from the same hour by the numbers in UTC, which a table of local times takes for the skipped one.',
  source: 'IANA time zone data, as the runtime carries them; the shares are our own',
  advice:
    'let the logger and the table keep UTC; read a logger that keeps fixed time with its offset, such as --zone +00:00',
  *run(input) {
    const skipped = input.rejections.filter(({ reason }) => reason === 'skipped_hour');
    for (const rejection of skipped) {
      yield rejectionFinding('daylight_saving', rejection, 'error', {
        message:
          `${counted(rejection.count, 'line')} stamped in an hour that did not exist in ${rejection.detail}; ` +
          advised(rejection, input.cadence),
      });
    }
    yield* changedHours(input, skipped.length > 0);
  },
};

/** What to do about lines in a skipped hour. */
function advised(rejection: Rejection, cadence: Milliseconds | null): string {
  const fixed = fixedTime(rejection, cadence);
  return fixed === null
    ? 'if the logger keeps fixed time, read it with a fixed offset (--zone)'
    : `the logger keeps fixed time, all stamps of the summer are ${formatDuration(fixed.shift)} off: read it with --zone ${fixed.offset}`;
}

/** The offset that a logger keeps which went on through a skipped hour at its pace; null where that is not clear. */
function fixedTime(
  { count, detail, from, until }: Rejection,
  cadence: Milliseconds | null,
): { offset: string; shift: Milliseconds } | null {
  if (cadence === null || detail === null || from === null || until === null) return null;
  const zone: Zone = zoneNamed(detail);
  const change = zone.changeBetween(from, until);
  if (change === null) return null;
  const before = zone.offsetAt(change - 1);
  const shift = zone.offsetAt(change) - before;
  if (!(shift > 0) || count < Math.max(LEAST_MISSED, (WENT_ON * shift) / cadence)) return null;
  return { offset: offsetText(before), shift };
}

const SAID: Readonly<Record<ChangedHour['kind'], string>> = {
  skipped: 'no reading in the hour that the clocks skip: a table of local times has no place for it',
  mistaken:
    'no reading in the hour in UTC that reads like the one that the clocks skip: a table of local times refused stamps in UTC',
  first:
    'no reading in the first pass of the hour that came twice: in a table with one row for each local time the second took its place',
  second:
    'no reading in the second pass of the hour that came twice: refused by a table with one row for each local time, or the logger keeps fixed time',
};

function* changedHours({ log, cadence, zone }: AuditInput, keepsFixedTime: boolean) {
  if (cadence === null) return;
  for (const hole of gapsOf(log.time, cadence, null, null)) {
    const hour = changedHourIn(hole, hole.cadence, zone);
    if (hour === null) continue;
    yield {
      finding: {
        check: 'daylight_saving' as const,
        severity: 'warning' as const,
        quantity: 'time' as const,
        from: hole.from,
        until: hole.until,
        count: 1,
        ...linesOf(log, [hole.before, hole.after]),
        message:
          keepsFixedTime && hour.kind === 'second'
            ? 'no reading in the second pass of the hour that came twice: the logger keeps fixed time'
            : SAID[hour.kind],
        confidence: hour.kind === 'mistaken' ? ('possible' as const) : ('likely' as const),
      },
      marks: [],
    };
  }
}
