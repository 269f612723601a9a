import type { Period } from '../calendar/period.js';
import type { Accuracy } from '../log/sensor.js';
import { type Celsius, DAY, HOUR, type Instant, type Milliseconds, type Percent } from '../units.js';
import {
  boundsOf,
  type ClimateSteps,
  climateSteps,
  END,
  FIELDS,
  humidityOf,
  KNOWN,
  START,
  temperatureOf,
} from './climateSteps.js';
import type { MouldClass } from './surface.js';
import type { SurfaceCourse } from './surfaceCourse.js';

// Hukka & Viitanen 1999, with the material classes of Ojanen et al. 2010. Formulas read in a thesis that quotes
// both papers; classes and decline in two independent research codes, which agree.

/** What a material does to the growth of mould on it. */
export interface MouldMaterial {
  /** Growth relative to the slowest-growing case below index 1. */
  readonly growthBelow1: number;
  /** The same from index 1 on; null: from the two response times, as for the wood of 1999. */
  readonly growthFrom1: number | null;
  /** Greatest index = a + b x − c x², x being how far the humidity is from critical (0) to 100 % (1). */
  readonly a: number;
  readonly b: number;
  readonly c: number;
  /** Critical humidity is no lower than this [%]. */
  readonly lowestCritical: Percent;
  /** In the response times: 0 pine, 1 spruce. */
  readonly species: number;
  /** In the response times: 0 as sawn, 1 kiln-dried. */
  readonly surfaceQuality: number;
}

/** The classes are relative to the response times of sawn pine. */
const PINE = { species: 0, surfaceQuality: 0 } as const;

/**
 * The classes, with examples from memory: untreated pine sapwood; planed spruce and paper-faced board; concrete
 * and mineral wool; glass and metal.
 */
export const MOULD_MATERIALS: Readonly<Record<MouldClass, MouldMaterial>> = {
  'very sensitive': { growthBelow1: 1, growthFrom1: 2, a: 1, b: 7, c: 2, lowestCritical: 80, ...PINE },
  sensitive: { growthBelow1: 0.578, growthFrom1: 0.386, a: 0.3, b: 6, c: 1, lowestCritical: 80, ...PINE },
  'medium resistant': {
    growthBelow1: 0.072,
    growthFrom1: 0.097,
    a: 0,
    b: 5,
    c: 1.5,
    lowestCritical: 85,
    ...PINE,
  },
  resistant: { growthBelow1: 0.033, growthFrom1: 0.014, a: 0, b: 3, c: 1, lowestCritical: 85, ...PINE },
};

/** The wood that the model of 1999 was fitted to. */
export function wood1999(species: 'pine' | 'spruce', surface: 'sawn' | 'kiln-dried'): MouldMaterial {
  return {
    growthBelow1: 1,
    growthFrom1: null,
    a: 1,
    b: 7,
    c: 2,
    lowestCritical: 80,
    species: species === 'spruce' ? 1 : 0,
    surfaceQuality: surface === 'kiln-dried' ? 1 : 0,
  };
}

/** No growth at or below the one, or at or above the other. */
const FREEZING: Celsius = 0;
const TOO_HOT: Celsius = 50;
/** From here on the critical humidity no longer depends on temperature. */
const WARM: Celsius = 20;

/**
 * The humidity at a surface from which mould can grow [%]. Between 0 and 50 °C; NaN outside, where none does.
 *
 * @param lowest never below this [%]: the bare cubic dips to 79.9 at 17 °C
 * @example criticalHumidity(10) // 82.03
 */
export function criticalHumidity(temperature: Celsius, lowest: Percent = 80): Percent {
  const t = temperature;
  if (!(t > FREEZING && t < TOO_HOT)) return Number.NaN;
  if (t > WARM) return lowest;
  return Math.max(lowest, ((-0.00267 * t + 0.16) * t - 3.13) * t + 100);
}

/**
 * Weeks in a steady climate to index 1, the first growth under a microscope. Fitted at 5 to 40 °C and 75 to
 * 100 %; endless at 0 °C, NaN below.
 *
 * @param temperature, humidity at the surface [°C, %]
 * @param species, surfaceQuality as in `MouldMaterial`
 * @example weeksToFirstGrowth(20, 97) // 1.48
 */
export function weeksToFirstGrowth(
  temperature: Celsius,
  humidity: Percent,
  species = 0,
  surfaceQuality = 0,
): number {
  return Math.exp(
    -0.68 * Math.log(temperature) -
      13.9 * Math.log(humidity) +
      0.14 * species -
      0.33 * surfaceQuality +
      66.02,
  );
}

/**
 * Weeks in a steady climate to index 3, growth that can be seen. Arguments and range as above.
 * @example weeksToVisibleGrowth(20, 97) // 2.98
 */
export function weeksToVisibleGrowth(temperature: Celsius, humidity: Percent, species = 0): number {
  return Math.exp(-0.74 * Math.log(temperature) - 12.72 * Math.log(humidity) + 0.06 * species + 61.5);
}

/**
 * The index that growth comes to in the end in a steady climate, from the critical humidity up; NaN where
 * mould does not grow at any humidity.
 * @example greatestIndex(20, 97, MOULD_MATERIALS['very sensitive']) // 5.50
 */
export function greatestIndex(temperature: Celsius, humidity: Percent, material: MouldMaterial): number {
  return greatestFrom(criticalHumidity(temperature, material.lowestCritical), humidity, material);
}

function greatestFrom(critical: Percent, humidity: Percent, { a, b, c }: MouldMaterial): number {
  const x = (critical - humidity) / (critical - 100);
  return a + b * x - c * x * x;
}

/**
 * Growth of the index per day, 0 where the climate does not allow any: below the critical humidity, at 0 °C
 * and below, at 50 °C and above.
 *
 * @param index present mould index, 0 to 6
 * @param temperature, humidity at the surface [°C, %]
 */
export function mouldGrowth(
  index: number,
  temperature: Celsius,
  humidity: Percent,
  material: MouldMaterial,
): number {
  const critical = criticalHumidity(temperature, material.lowestCritical);
  return humidity >= critical ? growthFrom(critical, index, temperature, humidity, material) : 0;
}

function growthFrom(
  critical: Percent,
  index: number,
  temperature: Celsius,
  humidity: Percent,
  material: MouldMaterial,
): number {
  const k2 = 1 - Math.exp(2.3 * (index - greatestFrom(critical, humidity, material)));
  // At a hair over 0 °C nothing but saturation is critical, and the greatest index not a number.
  if (!(k2 > 0)) return 0;
  const { species, surfaceQuality, growthBelow1, growthFrom1 } = material;
  const first = weeksToFirstGrowth(temperature, humidity, species, surfaceQuality);
  let k1 = growthBelow1;
  if (index >= 1) k1 = growthFrom1 ?? 2 / (weeksToVisibleGrowth(temperature, humidity, species) / first - 1);
  return (k1 * k2) / (7 * first);
}

/** The index falls by 0.032 a day for 6 h after growth has stopped, not at all up to 24 h, then by 0.016 a day. */
const EARLY_DECLINE = 0.032 / DAY; // per ms
const EARLY: Milliseconds = 6 * HOUR;
const LATE_DECLINE = 0.016 / DAY;
const LATE: Milliseconds = 24 * HOUR;

/**
 * How far the index of the reference wood has fallen a time after growth has stopped.
 * @param dry [ms], 0 or more
 * @example mouldDecline(48 * HOUR) // 0.024
 */
export function mouldDecline(dry: Milliseconds): number {
  return EARLY_DECLINE * Math.min(dry, EARLY) + LATE_DECLINE * Math.max(0, dry - LATE);
}

/** Mould on a surface in a period. `known + unknown` is its length. */
export interface MouldSummary {
  readonly period: Period;
  /** Mould index at the end of the period; NaN where nothing was known up to then. */
  readonly index: number;
  /** Lowest and highest index at the end if the humidity was off by its accuracy throughout, either way. */
  readonly lowest: number;
  readonly highest: number;
  /** Greatest index in the period, as measured. */
  readonly greatest: number;
  /** Time in which mould could grow: surface above 0 and below 50 °C and at or above critical humidity [ms]. */
  readonly favourable: Milliseconds;
  readonly known: Milliseconds;
  readonly unknown: Milliseconds;
  /** Unknown time from the first known instant to the end of the period [ms]; if any, read "at least". */
  readonly held: Milliseconds;
}

export interface MouldOptions {
  readonly material: MouldMaterial;
  /**
   * Decline relative to that of pine, 0 to 1. Published fits used 0.25; 1, 0.5 and 0.1 are the other classes,
   * and which material is in which is not certain.
   */
  readonly decline: number;
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  readonly accuracy: Accuracy;
}

/**
 * Mould index of a surface by the model of Hukka & Viitanen: 0 nothing, 1 first growth under a microscope, 2
 * clear growth there, 3 first that can be seen, 4 on 10 to 50 % of the surface, 5 on more, 6 on nearly all.
 *
 * Explicit steps of at most a quarter of an hour with the mean temperature and humidity of their known time.
 * In unknown time the index is held; it neither grows nor declines, and no time since growth passes. The index
 * starts at 0 with the course, so readings from before the first period count.
 *
 * An index, not a forecast: made for 5 to 40 °C, 75 to 100 % and dry spells up to 14 days; fitted parameters of
 * new materials fall outside the classes (Berger et al., arXiv 1804.02992). The accuracy of the humidity
 * outweighs the rest, which is why every index comes with two more. They are the least and the greatest of the
 * runs with the humidity as measured, lowered and raised: since decline has a memory, a damper run may end lower.
 *
 * @param periods in order of time, none overlapping another
 */
export function mould(
  course: SurfaceCourse,
  periods: readonly Period[],
  options: MouldOptions,
): MouldSummary[] {
  return mouldFrom(climateSteps(course, boundsOf(periods), options.bridge), periods, options);
}

/** The same where the steps are at hand, cut at the bounds of the periods. */
export function mouldFrom(
  steps: ClimateSteps,
  periods: readonly Period[],
  options: Omit<MouldOptions, 'bridge'>,
): MouldSummary[] {
  const { count, records } = steps;
  const account = open(periods, options);
  for (let step = 0; step < count; step++) {
    const at = FIELDS * step;
    closePeriods(account, records[at + START]!);
    takeStep(
      account,
      records[at + END]!,
      records[at + KNOWN]!,
      temperatureOf(steps, step),
      humidityOf(steps, step),
    );
  }
  closePeriods(account, Number.POSITIVE_INFINITY);
  return account.summaries;
}

/** One history of the index. */
interface Run {
  /** Added to the humidity as measured [%]. */
  readonly error: Percent;
  index: number;
  /** Known time since growth stopped [ms]. */
  dry: Milliseconds;
}

interface Account {
  readonly periods: readonly Period[];
  readonly material: MouldMaterial;
  readonly decline: number;
  readonly measured: Run;
  readonly lowered: Run;
  readonly raised: Run;
  readonly summaries: MouldSummary[];
  /** When anything was first known, and how much since. */
  first: Instant;
  total: Milliseconds;
  /** Of the period that is next to end. */
  greatest: number;
  favourable: Milliseconds;
  knownInPeriod: Milliseconds;
}

function open(
  periods: readonly Period[],
  { material, decline, accuracy }: Omit<MouldOptions, 'bridge'>,
): Account {
  return {
    periods,
    material,
    decline,
    measured: { error: 0, index: 0, dry: 0 },
    lowered: { error: -accuracy.humidity, index: 0, dry: 0 },
    raised: { error: accuracy.humidity, index: 0, dry: 0 },
    summaries: [],
    first: Number.NaN,
    total: 0,
    greatest: 0,
    favourable: 0,
    knownInPeriod: 0,
  };
}

/** Closes the periods that end up to `from`, where a step starts. */
function closePeriods(account: Account, from: Instant): void {
  const { periods, summaries } = account;
  while (summaries.length < periods.length && periods[summaries.length]!.end <= from) closePeriod(account);
  if (Number.isNaN(account.first)) account.first = from;
}

/** Takes the step up to `end` with the means of its known time. */
function takeStep(
  account: Account,
  end: Instant,
  known: Milliseconds,
  temperature: Celsius,
  humidity: Percent,
): void {
  const { material, decline, measured, lowered, raised } = account;
  const next = account.periods[account.summaries.length];
  const inPeriod = next !== undefined && end > next.start;

  const critical = criticalHumidity(temperature, material.lowestCritical);
  const before = measured.index;
  advance(measured, critical, temperature, humidity, known, material, decline);
  advance(lowered, critical, temperature, humidity, known, material, decline);
  advance(raised, critical, temperature, humidity, known, material, decline);

  account.total += known;
  if (inPeriod) {
    account.knownInPeriod += known;
    if (humidity >= critical) account.favourable += known;
    account.greatest = Math.max(account.greatest, before, measured.index);
  }
}

/** Carries a run on over a time with this mean climate. */
function advance(
  run: Run,
  critical: Percent,
  temperature: Celsius,
  measured: Percent,
  duration: Milliseconds,
  material: MouldMaterial,
  decline: number,
): void {
  const humidity = Math.min(measured + run.error, 100);
  if (humidity >= critical) {
    run.index += growthFrom(critical, run.index, temperature, humidity, material) * (duration / DAY);
    run.dry = 0;
  } else {
    const fall = mouldDecline(run.dry + duration) - mouldDecline(run.dry);
    run.index = Math.max(0, run.index - decline * fall);
    run.dry += duration;
  }
}

function closePeriod(account: Account): void {
  const { measured, lowered, raised, summaries } = account;
  const period = account.periods[summaries.length]!;
  const started = account.total > 0;
  summaries.push({
    period,
    index: started ? measured.index : Number.NaN,
    lowest: started ? Math.min(measured.index, lowered.index, raised.index) : Number.NaN,
    highest: started ? Math.max(measured.index, lowered.index, raised.index) : Number.NaN,
    greatest: started ? Math.max(account.greatest, measured.index) : Number.NaN,
    favourable: account.favourable,
    known: account.knownInPeriod,
    unknown: period.end - period.start - account.knownInPeriod,
    held: started ? period.end - account.first - account.total : 0,
  });
  account.greatest = 0;
  account.favourable = 0;
  account.knownInPeriod = 0;
}
