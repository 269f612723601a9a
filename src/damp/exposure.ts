import type { Period } from '../calendar/period.js';
import type { CleanLog } from '../log/log.js';
import { columnOf } from '../log/pairs.js';
import type { Accuracy } from '../log/sensor.js';
import { effectiveHumidity } from '../psychrometry/relativeHumidity.js';
import type { Milliseconds, Percent } from '../units.js';
import { type BoardSummary, boardFrom } from './board.js';
import { boundsOf, climateSteps, merged } from './climateSteps.js';
import type { Companion } from './companion.js';
import { type CondensationSummary, condensationAt, type WetTimes } from './condensation.js';
import { type DepositPoints, depositPoints, depositPointsFor } from './depositPoint.js';
import { MOULD_MATERIALS, type MouldSummary, mouldFrom } from './mould.js';
import { type StandingDamp, standingDampFrom, windowBounds } from './runningMean.js';
import type { Surface } from './surface.js';
import { meanSaturation, type SurfaceSteps, surfaceSteps } from './surfaceHumidity.js';
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

/** The air of a log, and what all surfaces in it share. */
export interface ExposingAir {
  readonly log: CleanLog;
  readonly deposits: DepositPoints;
  /** Of each reading, without enhancement [hPa]. */
  readonly vapourPressure: Float64Array;
  readonly periods: readonly Period[];
  /** The civil days of the whole span, for the 30-day criterion. */
  readonly days: readonly Period[];
  /** Bridging limit [ms]. */
  readonly bridge: Milliseconds;
  /** Bounds of the periods and of the windows of the 30-day criterion. */
  readonly cuts: Float64Array;
  /** The air away from surfaces. */
  readonly air: SurfaceSteps;
}

/**
 * What has a memory (wood, mould, a mass) begins with the first reading of the log, so `log` should reach
 * back before the periods as far as it can.
 *
 * @param log cleaned: one reading per instant, NaN where a value is missing or bad
 * @param periods in order of time, none overlapping another
 */
export function exposingAir(
  log: CleanLog,
  accuracy: Accuracy,
  periods: readonly Period[],
  days: readonly Period[],
  bridge: Milliseconds,
): ExposingAir {
  const deposits = depositPoints(log, accuracy);
  const cuts = merged(boundsOf(periods), windowBounds(days));
  const { time, temperature } = log;
  const steps = climateSteps(
    { time, temperature, humidity: log.humidity.map(effectiveHumidity) },
    cuts,
    bridge,
  );
  const air: SurfaceSteps = { steps, saturation: meanSaturation(steps, deposits.formula) };
  const vapourPressure = columnOf(deposits.pairs, deposits.vapourPressure);
  return { log, deposits, vapourPressure, periods, days, bridge, cuts, air };
}

/** All models on one surface. */
export function exposureOf(
  { log, deposits, vapourPressure, periods, days, bridge, cuts, air }: ExposingAir,
  surface: Surface,
  companion: Companion | null,
): Exposure {
  const temperature = surfaceTemperature(log, surface, bridge, companion);
  // A surface as warm as the air has the air's humidity, to the last digit.
  const { steps, saturation } =
    surface.model === 'air'
      ? air
      : surfaceSteps(log.time, vapourPressure, temperature.values, cuts, bridge, deposits.formula);
  // A humidity that is wrong by u in the air is wrong by u e(T)/e(Ts) at a surface that is colder or warmer.
  const share = air.saturation / saturation;
  const accuracy: Accuracy = {
    ...deposits.accuracy,
    humidity: deposits.accuracy.humidity * (share > 0 ? share : 1),
  };
  const ends = depositPointsFor(surface, deposits);
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
