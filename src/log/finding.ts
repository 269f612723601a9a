import type { Instant } from '../units.js';
import type { Measured } from './log.js';

export const SEVERITIES = ['note', 'warning', 'error'] as const;
export type Severity = (typeof SEVERITIES)[number];
export type Confidence = 'certain' | 'likely' | 'possible';

/** Every name that a finding may carry. Part of the output contract. */
export const CHECK_NAMES = [
  'unreadable',
  'missing_value',
  'sentinel',
  'gap',
  'duplicate',
  'conflict',
  'repeat_submission',
  'disorder',
  'clock',
  'daylight_saving',
  'cadence',
  'gross_range',
  'sensor_range',
  'rate_of_change',
  'spike',
  'flat_line',
  'saturation',
  'unit_change',
  'decimal_shift',
  'inconsistent',
  'neighbour',
] as const;
export type CheckName = (typeof CHECK_NAMES)[number];

/** Something worth telling about a stretch of one log. */
export interface Finding {
  readonly check: CheckName;
  readonly severity: Severity;
  readonly quantity: 'time' | Measured;
  /** First and last instant concerned; null where the finding has no time. */
  readonly from: Instant | null;
  readonly until: Instant | null;
  /** How often it was met. */
  readonly count: number;
  /** The input that holds the lines, and the first and last of them; null where nothing was there. */
  readonly source: string | null;
  readonly lines: readonly [first: number, last: number] | null;
  /** One sentence in plain words, without a full stop. */
  readonly message: string;
  readonly confidence: Confidence;
}
