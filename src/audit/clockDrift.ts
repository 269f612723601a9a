import { formatDuration } from '../calendar/print.js';
import { DAY, HOUR, MINUTE, type Milliseconds, SECOND } from '../units.js';
import { type AuditInput, type Found, findingOn, partOf } from './check.js';
import { ALIKE, type LagCourse, LEAST_TOTAL, lagCourseOf } from './lagCourse.js';
import { LEAST_DAYS } from './likeness.js';
import { medianOf } from './robust.js';

/** Rates to one side within this factor of their median agree: a jump in one of the other clocks moves them, too. */
const AGREES = 2;
/** So many others show whose clock it is. */
const SEVERAL = 2;

export const DRIFT_METHOD =
  `Drift: temperature and humidity without their slow changes, compared with each other logger day by day. Where both move ` +
  `alike (correlation ${ALIKE} and more, ${LEAST_DAYS} days and more) along a lag that grows evenly by ${LEAST_TOTAL / MINUTE} min and more in all, ` +
  'better than with a lag that stays or jumps once, one of the two clocks drifts; it is the one that does so against several. ' +
  'Reliable from about 2 h in all: 7 min a day in two weeks, half a minute a day in a year.';

/**
 * A clock that runs fast or slow beside the clocks of the other loggers. A day shows nothing of it: it is looked for in
 * all the readings there are, and told of those that were asked for.
 */
export function* clockDrift({ log, around, others }: AuditInput): Generator<Found> {
  if (log.length === 0) return;
  const compared = others.flatMap((other) => {
    const course = other.length === 0 ? null : lagCourseOf(around, other);
    return course === null ? [] : [{ logger: other.logger, ...course }];
  });
  const drifting = compared.filter(({ kind }) => kind === 'drift');
  const middle = medianOf(drifting.map(({ rate }) => rate));
  const against = drifting.filter(({ rate }) => rate / middle >= 1 / AGREES && rate / middle <= AGREES);
  const unlike = compared.filter((each) => each.kind !== 'unknown' && !against.includes(each)).length;
  const isAlone = compared.length === 1 && against.length === 1;
  if (!isAlone && (against.length < SEVERAL || against.length <= unlike)) return;
  const isLikely = !isAlone && unlike === 0;
  const { from, until } = longestOf(against);
  const rows: number[] = [];
  // what is left of a last day is too little to compare, but the clock is the same
  for (let row = 0; row < log.length; row++)
    if (log.time[row]! >= from && log.time[row]! < until + DAY) rows.push(row);
  if (rows.length === 0) return;
  const rate = medianOf(against.map((each) => each.rate));
  const than = isAlone ? `that of ${against[0]!.logger}` : `those of ${against.length} other loggers`;
  yield {
    finding: findingOn(log, rows, {
      check: 'clock',
      severity: 'warning',
      quantity: 'time',
      message:
        `the clock runs ${rate > 0 ? 'faster' : 'slower'} than ${than}, by about ${rounded(Math.abs(rate) * DAY)} a day, ` +
        `${rounded(Math.abs(rate) * (until - from))} in ${formatDuration(until - from)}: ` +
        (isLikely
          ? 'stamps can be put right in proportion from a moment at which it was right'
          : 'which of them is wrong cannot be told') +
        partOf(log.time, around.time),
      confidence: isLikely ? 'likely' : 'possible',
    }),
    marks: [],
  };
}

function longestOf<Course extends LagCourse>(courses: readonly Course[]): Course {
  return courses.reduce((a, b) => (b.until - b.from > a.until - a.from ? b : a));
}

/** A drift is told no finer than this: the lag is looked at in half hours. */
function rounded(duration: Milliseconds): string {
  const grain = duration < MINUTE ? SECOND : duration < HOUR ? 10 * SECOND : 10 * MINUTE;
  return formatDuration(Math.round(duration / grain) * grain);
}
