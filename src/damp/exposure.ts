import type { Period } from '../calendar/period.js';
import { inBlocks } from '../log/blocks.js';
import type { Log } from '../log/log.js';
import type { Accuracy } from '../log/sensor.js';
import type { Milliseconds, Percent } from '../units.js';
import { type BoardSummary, boardFrom } from './board.js';
import { boundsOf, climateSteps, merged } from './climateSteps.js';
import type { Companion } from './companion.js';
import { type CondensationSummary, condensationAt, type WetTimes } from './condensation.js';
import { type DepositPoints, depositPointsFor } from './depositPoint.js';
import { MOULD_MATERIALS, type MouldSummary, mouldFrom } from './mould.js';
import { type StandingDamp, standingDampFrom, windowBounds } from './runningMean.js';
import type { Surface } from './surface.js';
import { type SurfaceCourse, surfaceHumidities } from './surfaceHumidity.js';
import { surfaceTemperature } from './surfaceTemperature.js';

/** What the air did to one surface, period by period. */
export interface Exposure {
  readonly surface: Surface;
  readonly condensation: readonly CondensationSummary[];
  /** When it was wet, in the periods and a little beyond. */
  readonly times: WetTimes;
  /** Moisture of its wood as measured, and for a sensor at both ends of its accuracy; null without wood. */
  readonly wood: WoodExposure | null;
  readonly mould: readonly MouldSummary[];
  /** The 30-day criterion of ASHRAE 160, day by day. */
  readonly standing: StandingDamp;
}

export interface WoodExposure {
  readonly expected: readonly BoardSummary[];
  readonly drier: readonly BoardSummary[];
  readonly damper: readonly BoardSummary[];
}

export interface ExposureOptions {
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  readonly companion: Companion | null;
  /** The civil days of the whole span, for the 30-day criterion. */
  readonly days: readonly Period[];
}

/**
 * All models on one surface.
 *
 * What has a memory (wood, mould, a mass) begins with the first reading of the log, so `log` should reach
 * back before the periods as far as it can.
 *
 * @param log cleaned: one reading per instant, NaN where a value is missing or bad
 * @param deposits of this log, shared by its surfaces
 * @param periods in order of time, none overlapping another
 */
export function exposureOf(
  log: Log,
  deposits: DepositPoints,
  surface: Surface,
  periods: readonly Period[],
  { bridge, companion, days }: ExposureOptions,
): Exposure {
  const temperature = surfaceTemperature(log, surface, bridge, companion);
  const course: SurfaceCourse = {
    time: log.time,
    temperature: temperature.values,
    humidity: surfaceHumidities(log, deposits.saturation, temperature.values, deposits.formula),
  };
  const steps = climateSteps(course, merged(boundsOf(periods), windowBounds(days)), bridge);
  const accuracy = atTheSurface(deposits.accuracy, log, course);
  const ends = depositPointsFor(surface, log, deposits);
  const { summaries, times } = condensationAt(log.time, temperature, ends, periods, bridge);
  const { board: wood, mould: traits } = surface;
  const boards = (error: Percent) =>
    boardFrom(steps, periods, { timeConstant: wood!.timeConstant, bridge, error });
  return {
    surface,
    condensation: summaries,
    times,
    wood:
      wood === null
        ? null
        : {
            expected: boards(0),
            drier: boards(-accuracy.humidity),
            damper: boards(accuracy.humidity),
          },
    mould: mouldFrom(steps, periods, {
      material: MOULD_MATERIALS[traits.class],
      decline: traits.decline,
      accuracy,
    }),
    standing: standingDampFrom(steps, days, bridge),
  };
}

/**
 * A humidity that is wrong by u in the air is wrong by u e(T)/e(Ts) at a surface that is colder or warmer:
 * the mean of that over the log.
 */
function atTheSurface({ temperature, humidity }: Accuracy, log: Log, course: SurfaceCourse): Accuracy {
  const sums = new Float64Array(2);
  inBlocks(log.length, (from, until) => sumUp(sums, log.humidity, course.humidity, from, until));
  const [air, surface] = [sums[0]!, sums[1]!];
  return { temperature, humidity: air > 0 ? humidity * (surface / air) : humidity };
}

/** Adds up both, where the surface is not saturated: there the quotient is not to be had. */
function sumUp(
  sums: Float64Array,
  air: Float64Array,
  surface: Float64Array,
  from: number,
  until: number,
): void {
  for (let i = from; i < until; i++) {
    if (!(surface[i]! < 100)) continue;
    sums[0]! += air[i]!;
    sums[1]! += surface[i]!;
  }
}
