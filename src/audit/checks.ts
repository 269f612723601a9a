import type { Check } from './check.js';
import { clock } from './clock.js';
import { conflict } from './conflict.js';
import { daylightSaving } from './daylightSaving.js';
import { disorder } from './disorder.js';
import { duplicate } from './duplicate.js';
import { gap } from './gap.js';
import { grossRange } from './grossRange.js';
import { missingValue } from './missingValue.js';
import { sensorRange } from './sensorRange.js';
import { sentinel } from './sentinel.js';
import { unreadable } from './unreadable.js';

/**
 * Every check, in the order in which they run: what was read, then time, then values, each check of values
 * seeing only those that the checks before it left standing.
 */
export const CHECKS: readonly Check[] = [
  unreadable,
  clock,
  daylightSaving,
  gap,
  duplicate,
  conflict,
  disorder,
  missingValue,
  sentinel,
  grossRange,
  sensorRange,
];
