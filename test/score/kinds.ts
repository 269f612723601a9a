import type { CheckName } from '../../src/log/finding.js';
import type { Kind } from './fault.js';
import { garbage, oddStamp, oddWord, runTogether, torn } from './lineFaults.js';
import {
  arrival,
  drift,
  exportCut,
  fixedTime,
  jump,
  lateBlock,
  loopDelay,
  lostReadings,
  otherCadence,
  otherValues,
  outage,
  overlap,
  phaseShift,
  refusedHour,
  resetClock,
  retry,
  sentAgain,
  unsetClock,
} from './timeFaults.js';
import {
  aboveSaturation,
  biasedHumidity,
  bitError,
  code,
  copied,
  exchanged,
  fahrenheit,
  fraction,
  frozenHumidity,
  frozenTemperature,
  hung,
  hungWhole,
  impossible,
  levelJump,
  lockedHigh,
  lockedLow,
  lostPoint,
  missingWord,
  warmWall,
} from './valueFaults.js';

/**
 * Every kind of fault, in the order in which they are laid into a log: those that change the clock of all
 * later rows first, then long ones, for which there is room as long as the log is empty.
 */
export const KINDS: readonly Kind[] = [
  drift,
  fixedTime,
  refusedHour,
  otherCadence,
  phaseShift,
  warmWall,
  biasedHumidity,
  lockedHigh,
  lockedLow,
  fahrenheit,
  fraction,
  frozenHumidity,
  frozenTemperature,
  hung,
  hungWhole,
  jump,
  outage,
  exchanged,
  copied,
  overlap,
  lateBlock,
  resetClock,
  unsetClock,
  arrival,
  levelJump,
  aboveSaturation,
  lostReadings,
  retry,
  otherValues,
  sentAgain,
  missingWord,
  code,
  impossible,
  bitError,
  lostPoint,
  torn,
  garbage,
  oddStamp,
  oddWord,
  runTogether,
  exportCut,
  loopDelay,
];

/** Of these a site has only one: they are told apart by the loggers that have none of them. */
export const ONE_A_SITE: readonly Kind[] = [drift, warmWall, biasedHumidity];

/** Of these no logger has more than two: they last for days, and a log that is mostly false is thrown away. */
export const LASTING: readonly Kind[] = [
  warmWall,
  biasedHumidity,
  lockedHigh,
  lockedLow,
  fahrenheit,
  fraction,
  frozenHumidity,
  frozenTemperature,
  hung,
  hungWhole,
];
export const MOST_LASTING = 2;

export interface Goal {
  readonly recall: number;
  readonly precision: number;
}

const SURE: Goal = { recall: 0.98, precision: 0.98 };
const GOOD: Goal = { recall: 0.95, precision: 0.95 };
const FAIR: Goal = { recall: 0.85, precision: 0.95 };

/** What a check is to reach; none for those that only ask a question. */
export const GOALS: Readonly<Partial<Record<CheckName, Goal>>> = {
  gap: SURE,
  duplicate: SURE,
  conflict: SURE,
  repeat_submission: SURE,
  disorder: SURE,
  sentinel: SURE,
  missing_value: SURE,
  unreadable: SURE,
  gross_range: SURE,
  clock: SURE,
  spike: GOOD,
  flat_line: GOOD,
  unit_change: GOOD,
  decimal_shift: GOOD,
  daylight_saving: GOOD,
  saturation: FAIR,
  cadence: FAIR,
  neighbour: FAIR,
};

/** Recall of kinds that are harder to see than the others of their check; null: none is asked for. */
export const KIND_GOALS: Readonly<Record<string, number | null>> = {
  'clock drift': 0.85,
  'clock jump': null,
};
