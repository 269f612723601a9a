import { formatDuration } from '../calendar/print.js';
import { Flag } from '../log/flag.js';
import { HOUR, type Milliseconds, type Percent } from '../units.js';
import { type AuditInput, type Check, type Found, fewOf, findingOn, partOf, partsOf } from './check.js';
import { LIMITS } from './limits.js';
import { judgement, type Points, pointsOf, rowsAt } from './points.js';
import type { Run } from './runs.js';

/** From here on humidity lies at the upper rail, and up to here at the lower. */
const WET: Percent = 99.5;
const DRY: Percent = 1;
/** A sensor that is stuck wet lets go for moments; within so long it is the same stretch. */
const LETS_GO: Milliseconds = 1 * HOUR;
/** Real air that warms by this much dries: 3 K take saturated air to 83 %, if no water comes in. */
const WARMS = 3;
const JOINS_CADENCES = 3;
/** Within so long after a stretch at the rail another one belongs to the same trouble. */
const TROUBLE: Milliseconds = 72 * HOUR;
/** And what is such a stretch: a night of fog is shorter than this, more often than not. */
const PART: Milliseconds = 6 * HOUR;

/** Humidity that stays at an end of its scale. */
export const saturation: Check = {
  name: 'saturation',
  looksFor: 'humidity that stays at 100 % or at 0 % although the temperature changes',
  method:
    `Humidity of ${WET} % and more for ${LIMITS.saturation.duration / HOUR} h while the temperature ranges over ${WARMS} K, with the stretches of ${PART / HOUR} h and more that ` +
    `follow or come before within ${TROUBLE / HOUR} h; humidity of ${DRY} % and less for ${LIMITS.saturation.dryDuration / HOUR} h. Questionable (flag 3): condensation counted on such values did not ` +
    'happen, or cannot be told from it.',
  source:
    'reports of users of such sensors, which lock after condensation; durations are our own, long enough for fog',
  advice: 'dry the sensor out in a warm dry room; if it does not come back, it is done for',
  limits: ({ ownLimits }) => [
    {
      limit: `at ${WET} % and more`,
      value: formatDuration(ownLimits?.saturation ?? LIMITS.saturation.duration),
      isStated: (ownLimits?.saturation ?? null) !== null,
      key: 'limits.saturation.questionable_after',
    },
  ],
  learns: true,
  *run(input) {
    if (input.cadence === null) return;
    const points = pointsOf(input, 'relative_humidity');
    const wet = stretchesOf(points, input.cadence, (humidity) => humidity >= WET);
    const troubles = troublesOf(points, wet, input);
    yield* fewOf(
      input,
      troubles.flatMap((trouble) => told(input, points, trouble, `${WET} % or more`)),
      (count) => `humidity stays at ${WET} % or more for days, ${count} times`,
    );
    const dry = stretchesOf(points, input.cadence, (humidity) => humidity <= DRY).filter(
      (run) => lasts(points, run) >= LIMITS.saturation.dryDuration,
    );
    yield* fewOf(
      input,
      dry.flatMap((run) => told(input, points, [run], `${DRY} % or less`)),
      (count) => `humidity stays at ${DRY} % or less for hours, ${count} times`,
    );
  },
};

const lasts = ({ time }: Points, { first, last }: Run): Milliseconds => time[last]! - time[first]!;

/** Stretches at a rail, over the moments in which it lets go. */
function stretchesOf(
  { count, time, value }: Points,
  cadence: Milliseconds,
  isAt: (humidity: Percent) => boolean,
) {
  const reach = Math.max(LETS_GO, JOINS_CADENCES * cadence);
  const stretches: { first: number; last: number }[] = [];
  for (let at = 0; at < count; at++) {
    if (!isAt(value[at]!)) continue;
    const open = stretches.at(-1);
    if (open !== undefined && time[at]! - time[open.last]! <= reach) open.last = at;
    else stretches.push({ first: at, last: at });
  }
  return stretches;
}

/** Stretches that are too long for weather, each with the lesser ones around it. */
function troublesOf(points: Points, stretches: readonly Run[], { cadence, ownLimits }: AuditInput): Run[][] {
  const { time } = points;
  const parts = stretches.filter(
    (run) =>
      lasts(points, run) >=
      Math.max(Math.min(PART, ownLimits?.saturation ?? PART), JOINS_CADENCES * cadence!),
  );
  const troubles: Run[][] = [];
  for (const part of parts) {
    const before = troubles.at(-1)?.at(-1);
    if (before !== undefined && time[part.first]! - time[before.last]! <= TROUBLE)
      troubles.at(-1)!.push(part);
    else troubles.push([part]);
  }
  const longest = ownLimits?.saturation ?? LIMITS.saturation.duration;
  return troubles.filter((trouble) =>
    trouble.some((run) => lasts(points, run) >= longest && warms(points, run)),
  );
}

/** Whether the temperature ranges over so much in this stretch that the air cannot have stayed saturated. */
function warms({ partner }: Points, { first, last }: Run): boolean {
  let least = Infinity;
  let greatest = -Infinity;
  for (let at = first; at <= last; at++) {
    // NaN is neither
    if (partner[at]! < least) least = partner[at]!;
    if (partner[at]! > greatest) greatest = partner[at]!;
  }
  return greatest - least >= WARMS;
}

function told(input: AuditInput, points: Points, runs: readonly Run[], where: string): Found[] {
  const places = runs.flatMap(({ first, last }) =>
    Array.from({ length: last - first + 1 }, (_, i) => first + i),
  );
  const rows = rowsAt(points, input.log, places);
  const total = runs.reduce((sum, run) => sum + lasts(points, run), 0);
  const often = runs.length === 1 ? '' : ` in ${runs.length} stretches`;
  return partsOf(rows, input.asked).map((part) => ({
    finding: findingOn(input.log, part, {
      check: 'saturation',
      severity: 'warning',
      quantity: 'relative_humidity',
      message: `humidity stays at ${where} for ${formatDuration(total)}${often}${partOf(part, rows)}`,
      confidence: 'likely',
    }),
    marks: [judgement(input.log, 'relative_humidity', part, Flag.questionable)],
  }));
}
