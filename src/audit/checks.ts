import { cadence } from './cadence.js';
import type { Check } from './check.js';
import { clock } from './clock.js';
import { conflict } from './conflict.js';
import { daylightSaving } from './daylightSaving.js';
import { decimalShift } from './decimalShift.js';
import { disorder } from './disorder.js';
import { duplicate } from './duplicate.js';
import { flatLine } from './flatLine.js';
import { gap } from './gap.js';
import { grossRange } from './grossRange.js';
import { inconsistent } from './inconsistent.js';
import { missingValue } from './missingValue.js';
import { neighbour } from './neighbour.js';
import { rateOfChange } from './rateOfChange.js';
import { repeatSubmission } from './repeatSubmission.js';
import { saturation } from './saturation.js';
import { sensorRange } from './sensorRange.js';
import { sentinel } from './sentinel.js';
import { spike } from './spike.js';
import { unitChange } from './unitChange.js';
import { unreadable } from './unreadable.js';

/**
 * Every check, in the order in which they run: what was read, then time, then values, each check of values
 * seeing only those that the checks before it left standing.
 */
export const CHECKS: readonly Check[] = [
  unreadable,
  clock,
  daylightSaving,
  cadence,
  gap,
  duplicate,
  repeatSubmission,
  conflict,
  disorder,
  missingValue,
  sentinel,
  unitChange,
  decimalShift,
  inconsistent,
  grossRange,
  sensorRange,
  spike,
  rateOfChange,
  flatLine,
  saturation,
  neighbour,
];
