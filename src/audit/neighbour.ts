import { formatDuration } from '../calendar/print.js';
import { Flag, isUsable } from '../log/flag.js';
import { flagsOf, type Measured } from '../log/log.js';
import { DAY, HOUR } from '../units.js';
import { type AuditInput, type Check, type Found, findingOn, partOf, partsOf } from './check.js';
import { at, type Hourly, hourlyOf, STILL } from './hourly.js';
import { judgement } from './points.js';
import { nameOf, QUANTITIES } from './range.js';
import { medianOf, sampled, spreadOf } from './robust.js';

const HOURS = DAY / HOUR;
/** Common hours that make a history: two weeks with several others, eight with a single one. */
const HISTORY = 14 * HOURS;
const LONG_HISTORY = 56 * HOURS;
/** Loggers follow each other when their changes from one day to the next correlate by this. */
const FOLLOWS = 0.8;
/** Off by so many robust standard deviations of the difference to the other logger, for hours on end. */
const SPREADS = 4;
/** And by so much: less is no finding between sensors of 1 K and 5 %, each off by as much (own arithmetic) [K, %]. */
const LEAST = { air_temperature: 2, relative_humidity: 8 } as const;
/** Off by this share of the limit for as long, hours are suspected: they do not say what is usual between the two. */
const SUSPECTED = 0.5;
/** A log with more suspected hours than this share does not show what is usual. */
const MOST_SUSPECTED = 0.4;
/** A window or a heater is over by then. */
const LASTS = 24;
/** Hours in which it is not off, in between. */
const LETS_GO = 3;
/** Of the loggers that follow, so many must say the same, if there is more than one. */
const AGREE = 2 / 3;
/** Who is vaguer than the second best by this factor is not asked: it would not see what the best see. */
const VAGUE = 1.5;

/** A logger that leaves those that it has always followed. */
export const neighbour: Check = {
  name: 'neighbour',
  looksFor: 'a logger that leaves the other loggers of the run which it has always followed',
  method:
    'Hourly means. Two loggers follow each other where their changes from one day to the next correlate robustly by ' +
    `${FOLLOWS} and more. Off is a difference, freed of its daily cycle, of more than ${SPREADS} robust standard deviations and ${LEAST.air_temperature} K or ${LEAST.relative_humidity} %, ` +
    `from two thirds of at least two such loggers (of those that follow closest), to the same side, for ${LASTS} h; two weeks of common history. ` +
    `Between two loggers, hours off by ${SUSPECTED} of that for as long do not count towards the spread, and hours in which one of them stands still for ${STILL} h are not compared. With a single other logger, eight weeks, and it cannot be told which of the two is off. ` +
    'Questionable (flag 3).',
  source: 'IOOS QARTOD, test 11 (neighbour), the idea; the limits are our own',
  advice:
    'hang the loggers side by side for a day; was this one moved, or has its surroundings been changed?',
  learns: true,
  cannot: ({ others }) =>
    others.length === 0 ? QUANTITIES.map((quantity) => ({ quantity, reason: 'no other logger' })) : [],
  *run(input) {
    if (input.others.length === 0 || input.log.length === 0) return;
    for (const quantity of QUANTITIES) yield* departuresOf(input, quantity);
  },
};

/** What another logger says. */
interface Opinion {
  /** What is too far off. */
  readonly limit: number;
  /** By hour: how far off this logger is, in units of that; NaN where nothing is known. */
  readonly off: Float64Array;
}

function* departuresOf(input: AuditInput, quantity: Measured): Generator<Found> {
  const own = hourlyOf(input.log, quantity, flagsOf(input.flags, quantity));
  const followed = input.others
    .map((other) => hourlyOf(other, quantity))
    .filter((other) => follows(own, other));
  const opinions = followed.map((other) => opinionOf(own, other, LEAST[quantity]));
  const single = opinions.length === 1;
  if (opinions.length === 0 || (single && historyOf(opinions[0]!.off) < LONG_HISTORY)) return;
  for (const hours of stretchesOf(verdicts(opinions))) {
    const rows = rowsIn(input, quantity, new Set(hours.map((hour) => hour + own.first)));
    const off = medianOf(hours.map((hour) => medianOf(opinions.map(({ off }) => off[hour]!))));
    for (const part of partsOf(rows, input.asked)) {
      yield {
        finding: findingOn(input.log, part, {
          check: 'neighbour',
          severity: 'warning',
          quantity,
          message:
            `${nameOf(quantity)} lies ${off > 0 ? 'above' : 'below'} what ${single ? 'the other logger lets' : `${opinions.length} other loggers let`} expect ` +
            `for ${formatDuration((hours.at(-1)! - hours[0]! + 1) * HOUR)}${partOf(part, rows)}`,
          confidence: single ? 'possible' : 'likely',
        }),
        marks: [judgement(input.log, quantity, part, Flag.questionable)],
      };
    }
  }
}

const historyOf = (off: Float64Array) => off.reduce((sum, each) => (Number.isNaN(each) ? sum : sum + 1), 0);

/** What is usual between the two is told anew without the stretches that are suspected, until none is added. */
function opinionOf(own: Hourly, other: Hourly, least: number): Opinion {
  const difference = differenceOf(own, other);
  const usual = difference.slice();
  let opinion = measured(difference, usual, least);
  for (let left = 0; ; ) {
    const sides = opinion.off.map((off) => (Math.abs(off) > SUSPECTED ? Math.sign(off) : 0));
    const suspected = stretchesOf(sides).flat();
    if (suspected.length <= left || suspected.length > MOST_SUSPECTED * historyOf(difference)) return opinion;
    left = suspected.length;
    for (const hour of suspected) usual[hour] = NaN;
    opinion = measured(difference, usual, least);
  }
}

/** How far off a difference is, by what is usual: its daily cycle, and its spread about that. */
function measured(difference: Float64Array, usual: Float64Array, least: number): Opinion {
  const cycle = Array.from({ length: HOURS }, (_, hour) =>
    medianOf(usual.filter((_, i) => i % HOURS === hour)),
  );
  const spread = spreadOf(
    sampled(usual.length, (hour) => Math.abs(usual[hour]! - cycle[hour % HOURS]!)).sort(),
  );
  const limit = Math.max(least, SPREADS * spread);
  return { limit, off: difference.map((value, hour) => (value - cycle[hour % HOURS]!) / limit) };
}

const differenceOf = (own: Hourly, other: Hourly) =>
  own.mean.map((value, hour) => value - at(other, own.first + hour));

/**
 * Whether the two have enough in common, and their changes from one day to the next correlate: robustly, from the spreads of sum and difference of
 * the two, each in units of its own spread (Gnanadesikan and Kettenring 1972, from memory).
 */
function follows(own: Hourly, other: Hourly): boolean {
  if (historyOf(differenceOf(own, other)) < HISTORY) return false;
  const { first, mean } = own;
  const mine = mean.map((value, hour) => value - (mean[hour - HOURS] ?? NaN));
  const theirs = mean.map((_, hour) => at(other, first + hour) - at(other, first + hour - HOURS));
  const sizes = (values: (hour: number) => number) =>
    spreadOf(sampled(mean.length, (hour) => Math.abs(values(hour))).sort());
  const a = sizes((hour) => mine[hour]! + 0 * theirs[hour]!);
  const b = sizes((hour) => theirs[hour]! + 0 * mine[hour]!);
  const sum = sizes((hour) => mine[hour]! / a + theirs[hour]! / b) ** 2;
  const difference = sizes((hour) => mine[hour]! / a - theirs[hour]! / b) ** 2;
  return (sum - difference) / (sum + difference) >= FOLLOWS;
}

/** By hour: 1 where the others say that it is too high, -1 too low, else 0. */
function verdicts(opinions: readonly Opinion[]): Int8Array {
  const need = Math.min(2, opinions.length);
  const closest = opinions.toSorted((a, b) => a.limit - b.limit);
  return Int8Array.from(opinions[0]!.off, (_, hour) => {
    let high = 0;
    let low = 0;
    let asked = 0;
    let most = Infinity;
    for (const { limit, off } of closest) {
      const said = off[hour]!;
      if (Number.isNaN(said)) continue;
      if (limit > most) break;
      asked++;
      if (asked === need) most = VAGUE * limit;
      if (said > 1) high++;
      if (said < -1) low++;
    }
    if (high >= need && high >= AGREE * asked) return 1;
    return low >= need && low >= AGREE * asked ? -1 : 0;
  });
}

/** The hours off of each stretch that lasts, to one side. */
function stretchesOf(off: ArrayLike<number>): number[][] {
  const stretches: number[][] = [];
  for (let hour = 0; hour < off.length; hour++) {
    if (off[hour] === 0) continue;
    const before = stretches.at(-1)?.at(-1);
    if (before !== undefined && hour - before <= LETS_GO + 1 && off[before] === off[hour])
      stretches.at(-1)!.push(hour);
    else stretches.push([hour]);
  }
  return stretches.filter((hours) => hours.length >= LASTS);
}

function rowsIn({ log, flags }: AuditInput, quantity: Measured, hours: ReadonlySet<number>): number[] {
  const flag = flagsOf(flags, quantity);
  const rows: number[] = [];
  for (let row = 0; row < log.length; row++)
    if (isUsable(flag[row]!) && hours.has(Math.floor(log.time[row]! / HOUR))) rows.push(row);
  return rows;
}
