import { formatDuration } from '../calendar/print.js';
import type { Confidence } from '../log/finding.js';
import { Flag } from '../log/flag.js';
import { pieceAt, pieceOf, rowAt } from '../log/pieces.js';
import { rowsWithin } from '../log/span.js';
import { vapourPressure } from '../psychrometry/vapourPressure.js';
import { HOUR, type Kelvin, type Milliseconds, type Percent } from '../units.js';
import { type AuditInput, type Check, type Found, fewOf, findingOn, partOf, partsOf } from './check.js';
import { LIMITS } from './limits.js';
import { judgement, type Points, partnerAt, pointsOf, rowsOfRuns, timeAt, valueAt } from './points.js';
import { quantile } from './robust.js';
import type { Run } from './runs.js';

/** From here on humidity lies at the upper rail, and up to here at the lower. */
const WET: Percent = 99.5;
const DRY: Percent = 1;
/** A sensor that is stuck wet lets go for moments; within so long it is the same stretch. */
const LETS_GO: Milliseconds = 1 * HOUR;
/** Real air that warms by this much dries: 3 K take saturated air to 83 %, if no water comes in. */
const WARMS: Kelvin = 3;
/** A morning; in more time another air mass brings its own water. */
const SOON: Milliseconds = 8 * HOUR;
/** The vapour in the air of this log rises by more in so long only once in two hundred hours (own choice). */
const SELDOM = 0.995;
/** What a log must show of drier air before it can say what is seldom. */
const LEAST_HOURS = 100;
/** Warming at the rail counts from here on where it cannot [ratio of vapour pressures]: 3 K at 5 °C. */
const MUCH = 1.22;
/** Another logger of the run that reads so much for most of the time says that it was wet indeed. */
const WET_BESIDE: Percent = 97;
const MOST = 0.8;
/** A log that is at the rail for so much of its other time, too, stands in a damp place: what is said of it is less sure. */
const DAMP_PLACE = 0.1;
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
    `follow or come before within ${TROUBLE / HOUR} h; not where another logger of the run reads ${WET_BESIDE} % and more meanwhile. In a log that is at that end for more than ${DAMP_PLACE * 100} % of its other time, too, ` +
    `only where saturated air would have had to gain more vapour within ${SOON / HOUR} h than the air of this log does in 199 of 200 h. Humidity of ${DRY} % and less for ${LIMITS.saturation.dryDuration / HOUR} h. ` +
    'Questionable (flag 3): condensation counted on such values did not happen, or cannot be told from it. A sensor that reads a few per cent high after long wetness cannot be told ' +
    'from damp air by its log alone; neighbour may see it where other loggers stand beside.',
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
    const { wet, dry } = stretchesOf(points, input.cadence);
    const confidence = isDampPlace(points, wet) ? 'possible' : 'likely';
    const troubles = troublesOf(input, points, wet);
    yield* fewOf(
      input,
      troubles.flatMap((trouble) => told(input, points, trouble, `${WET} % or more`, confidence)),
      (count) => `humidity stays at ${WET} % or more for days, ${count} times`,
    );
    const long = dry.filter((run) => lasts(points, run) >= LIMITS.saturation.dryDuration);
    yield* fewOf(
      input,
      long.flatMap((run) => told(input, points, [run], `${DRY} % or less`, 'likely')),
      (count) => `humidity stays at ${DRY} % or less for hours, ${count} times`,
    );
  },
};

const lasts = (points: Points, { first, last }: Run): Milliseconds =>
  timeAt(points, last) - timeAt(points, first);

/** Stretches at either rail, over the moments in which it lets go. */
function stretchesOf(points: Points, cadence: Milliseconds): { readonly wet: Run[]; readonly dry: Run[] } {
  const reach = Math.max(LETS_GO, JOINS_CADENCES * cadence);
  const stretches = {
    wet: [] as { first: number; last: number }[],
    dry: [] as { first: number; last: number }[],
  };
  for (let at = nextAtRail(points, 0); at < points.count; at = nextAtRail(points, at + 1)) {
    const own = valueAt(points, at) >= WET ? stretches.wet : stretches.dry;
    const open = own.at(-1);
    if (open !== undefined && timeAt(points, at) - timeAt(points, open.last) <= reach) open.last = at;
    else own.push({ first: at, last: at });
  }
  return stretches;
}

function nextAtRail({ count, rows, values }: Points, from: number): number {
  if (from >= count) return count;
  let row = rowAt(rows, from);
  for (let piece = pieceOf(rows, from); piece < rows.firsts.length; row = rows.firsts[++piece]!) {
    const { from: first, to } = pieceAt(rows, piece);
    const found = rowAtRail(values, row, to);
    if (found < to) return rows.starts[piece]! + found - first;
  }
  return count;
}

function rowAtRail(humidities: Float64Array, from: number, to: number): number {
  for (let row = from; row < to; row++) if (humidities[row]! >= WET || humidities[row]! <= DRY) return row;
  return to;
}

/** Stretches that are no weather, each with the lesser ones around it. */
function troublesOf(input: AuditInput, points: Points, stretches: readonly Run[]): Run[][] {
  const { cadence, ownLimits } = input;
  const longest = ownLimits?.saturation ?? LIMITS.saturation.duration;
  const stuck = stretches.filter(
    (run) => lasts(points, run) >= longest && warms(points, run) && !isWetBeside(input, points, run),
  );
  if (stuck.length === 0) return [];
  const accused = isDampPlace(points, stretches) ? warmedAtOnce(points, stuck) : stuck;
  const least = Math.max(Math.min(PART, longest), JOINS_CADENCES * cadence!);
  const parts = stretches.filter(
    (part) =>
      accused.includes(part) ||
      (lasts(points, part) >= least &&
        accused.some(
          (run) =>
            timeAt(points, part.first) - timeAt(points, run.last) <= TROUBLE &&
            timeAt(points, run.first) - timeAt(points, part.last) <= TROUBLE,
        )),
  );
  const troubles: Run[][] = [];
  for (const part of parts) {
    const before = troubles.at(-1)?.at(-1);
    if (before !== undefined && timeAt(points, part.first) - timeAt(points, before.last) <= TROUBLE)
      troubles.at(-1)!.push(part);
    else troubles.push([part]);
  }
  return troubles;
}

/** Whether the temperature ranges over so much in this stretch that the air can hardly have stayed saturated. */
function warms(points: Points, { first, last }: Run): boolean {
  let least = Infinity;
  let greatest = -Infinity;
  for (let at = first; at <= last; at++) {
    const partner = partnerAt(points, at);
    // NaN is neither
    if (partner < least) least = partner;
    if (partner > greatest) greatest = partner;
  }
  return greatest - least >= WARMS;
}

/** Whether the log is at its rail for much of its time, its longest stretch left out. */
function isDampPlace(points: Points, wet: readonly Run[]): boolean {
  const lengths = wet.map((run) => lasts(points, run));
  const longest = Math.max(...lengths);
  const total = lengths.reduce((sum, each) => sum + each, 0);
  return total - longest > DAMP_PLACE * (lasts(points, { first: 0, last: points.count - 1 }) - longest);
}

/** The stretches in which saturated air would have had to take up more water in a morning than this log's air does. */
function warmedAtOnce(points: Points, stuck: readonly Run[]): Run[] {
  const vapour = vapourByHour(points);
  const much = seldomRise(points, vapour);
  return stuck.filter((run) => greatestRise(points, vapour, run) > much);
}

/** Whether another logger reads next to saturation for most of a stretch: two sensors seldom lock at once. */
function isWetBeside({ others }: AuditInput, points: Points, { first, last }: Run): boolean {
  return others.some((other) => {
    const { first: from, end } = rowsWithin(other.time, {
      from: timeAt(points, first),
      until: timeAt(points, last),
    });
    const wet = other.humidity.subarray(from, end).filter((humidity) => humidity >= WET_BESIDE).length;
    return wet > 0 && wet >= MOST * (end - from);
  });
}

/** Logarithm of the mean vapour pressure by hour, NaN where there is none, from the hour of the first point on. */
function vapourByHour(points: Points): Float64Array {
  const { count } = points;
  const first = hourAt(points, 0);
  const sums = new Float64Array(hourAt(points, count - 1) - first + 1);
  const counts = new Uint32Array(sums.length);
  for (let at = 0; at < count; at++) {
    const vapour = vapourPressure(partnerAt(points, at), Math.min(valueAt(points, at), 100));
    if (Number.isNaN(vapour)) continue;
    const hour = hourAt(points, at) - first;
    sums[hour]! += vapour;
    counts[hour]!++;
  }
  return sums.map((sum, hour) => Math.log(sum / counts[hour]!));
}

const hourAt = (points: Points, at: number) => Math.floor(timeAt(points, at) / HOUR);

/** By how much the vapour has risen at an hour, of the hours since `from` that lie shortly before it. */
function riseAt(vapour: Float64Array, hour: number, from: number): number {
  let rise = NaN;
  for (let before = Math.max(from, hour - SOON / HOUR); before < hour; before++) {
    const each = vapour[hour]! - vapour[before]!;
    if (!(each <= rise)) rise = Number.isNaN(each) ? rise : each;
  }
  return rise;
}

/** What vapour rises by only seldom while the humidity is not at its end. */
function seldomRise(points: Points, vapour: Float64Array): number {
  const first = hourAt(points, 0);
  const drier = new Uint8Array(vapour.length);
  for (let at = 0; at < points.count; at++)
    if (valueAt(points, at) < WET) drier[hourAt(points, at) - first] = 1;
  const rises: number[] = [];
  for (let hour = 1; hour < vapour.length; hour++) {
    const rise = drier[hour] === 1 ? riseAt(vapour, hour, 0) : NaN;
    if (!Number.isNaN(rise)) rises.push(rise);
  }
  if (rises.length < LEAST_HOURS) return Math.log(MUCH);
  return quantile(
    rises.sort((a, b) => a - b),
    SELDOM,
  );
}

function greatestRise(points: Points, vapour: Float64Array, { first, last }: Run): number {
  const start = hourAt(points, 0);
  const from = hourAt(points, first) - start;
  const to = hourAt(points, last) - start;
  let greatest = 0;
  for (let hour = from + 1; hour <= to; hour++) {
    const rise = riseAt(vapour, hour, from);
    if (rise > greatest) greatest = rise;
  }
  return greatest;
}

function told(
  input: AuditInput,
  points: Points,
  runs: readonly Run[],
  where: string,
  confidence: Confidence,
): Found[] {
  const rows = rowsOfRuns(points, input.log, runs);
  const total = runs.reduce((sum, run) => sum + lasts(points, run), 0);
  const often = runs.length === 1 ? '' : ` in ${runs.length} stretches`;
  return partsOf(rows, input.asked).map((part) => ({
    finding: findingOn(input.log, part, {
      check: 'saturation',
      severity: 'warning',
      quantity: 'relative_humidity',
      message: `humidity stays at ${where} for ${formatDuration(total)}${often}${partOf(part, rows)}`,
      confidence,
    }),
    marks: [judgement(input.log, 'relative_humidity', part, Flag.questionable)],
  }));
}
