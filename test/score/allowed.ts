import type { CheckName } from '../../src/log/finding.js';

/** What other checks may say of a fault, because it is true. */
export interface Allowed {
  /** Names of kinds of fault. */
  readonly kinds: readonly string[];
  readonly also: readonly CheckName[];
  /** Whether it is enough that they say it. */
  readonly instead: boolean;
  readonly reason: string;
}

export const ALLOWED: readonly Allowed[] = [
  {
    kinds: ['lost point'],
    also: ['gross_range', 'sensor_range'],
    instead: true,
    reason: 'ten times a value is often more than air can have: bad (flag 4) whoever says it',
  },
  {
    kinds: ['lost point'],
    also: ['sentinel'],
    instead: true,
    reason: 'ten times 99.9 is 999, which is a code',
  },
  {
    kinds: ['lost point'],
    also: ['spike', 'rate_of_change', 'inconsistent'],
    instead: false,
    reason: 'it leaves the values around it and comes back',
  },
  {
    kinds: ['impossible value', 'code for no value'],
    also: ['spike', 'gross_range', 'sensor_range', 'sentinel', 'rate_of_change', 'inconsistent'],
    instead: false,
    reason: 'some of these numbers are on the list of codes as well as beyond the limits',
  },
  {
    kinds: ['impossible value', 'bit error'],
    also: ['decimal_shift'],
    instead: true,
    reason: 'now and then such a number is ten times the true one, and nobody can tell which it was',
  },
  {
    kinds: ['locked at 0 or 1 %'],
    also: ['sentinel'],
    instead: false,
    reason: 'with frost the pair 0 and 0 comes up by itself',
  },
  {
    kinds: ['exchanged columns', 'copied column'],
    also: ['sentinel'],
    instead: false,
    reason: 'a temperature of -1 °C in the column of the humidity is the code of a driver',
  },
  {
    kinds: ['bit error'],
    also: ['rate_of_change', 'inconsistent', 'sensor_range'],
    instead: false,
    reason: 'a step, a pair that does not belong together, or more than 100 % by a little',
  },
  {
    kinds: ['level jump'],
    also: ['spike', 'inconsistent', 'neighbour', 'gross_range', 'unit_change'],
    instead: false,
    reason: 'the same hours seen as a departure that returns, or beside the other loggers',
  },
  {
    kinds: ['hung', 'hung, whole degrees', 'frozen humidity', 'frozen temperature'],
    also: ['rate_of_change', 'spike', 'neighbour', 'inconsistent', 'saturation'],
    instead: false,
    reason: 'the step at its end, the other loggers that went on, or a value held at a rail',
  },
  {
    kinds: ['frozen humidity'],
    also: ['saturation'],
    instead: true,
    reason: 'frozen at 99.9 % it cannot be told from a lock there',
  },
  {
    kinds: ['locked at 100 %', 'locked at 0 or 1 %'],
    also: ['flat_line', 'rate_of_change', 'spike', 'neighbour', 'inconsistent', 'gross_range'],
    instead: false,
    reason: 'a humidity that does not move is a flat line too, and leaves its neighbours',
  },
  {
    kinds: ['°C to °F', 'per cent to fraction'],
    also: [
      'gross_range',
      'sensor_range',
      'rate_of_change',
      'spike',
      'neighbour',
      'inconsistent',
      'saturation',
      'flat_line',
    ],
    instead: false,
    reason: 'the foreign stretch is beyond limits in places, steps at its ends and leaves the neighbours',
  },
  {
    kinds: ['exchanged columns', 'copied column'],
    also: [
      'gross_range',
      'sensor_range',
      'rate_of_change',
      'spike',
      'neighbour',
      'unit_change',
      'flat_line',
      'saturation',
    ],
    instead: false,
    reason: 'a humidity for a temperature breaks nearly every rule',
  },
  {
    kinds: ['warm wall', 'biased humidity'],
    also: ['rate_of_change', 'spike', 'saturation', 'inconsistent'],
    instead: false,
    reason: 'the step at which it begins or ends',
  },
  {
    kinds: ['above 100 %'],
    also: ['saturation', 'rate_of_change', 'spike'],
    instead: false,
    reason: 'hours at the rail, and the step up to it',
  },
  {
    kinds: ['torn line', 'garbage', 'odd stamp', 'run together', 'clock never set', 'clock reset'],
    also: ['gap'],
    instead: false,
    reason: 'a line without its time leaves a hole',
  },
  {
    kinds: ['odd word'],
    also: ['missing_value'],
    instead: false,
    reason: 'a reading without a value is left',
  },
  {
    kinds: ['overlapping exports'],
    also: ['disorder'],
    instead: false,
    reason: 'the second export begins before the end of the first',
  },
  {
    kinds: ['clock reset'],
    also: ['disorder'],
    instead: false,
    reason: 'older stamps behind newer ones',
  },
  {
    kinds: ['clock jump'],
    also: ['cadence'],
    instead: true,
    reason: 'with nothing but the stamps, a clock put right by part of a cadence and a restart look the same',
  },
  {
    kinds: ['clock jump'],
    also: ['gap', 'disorder', 'conflict', 'duplicate', 'repeat_submission'],
    instead: false,
    reason: 'a clock put forward leaves a hole, one put back has an hour twice',
  },
  {
    kinds: ['phase shift'],
    also: ['clock'],
    instead: true,
    reason: 'as for a clock jump',
  },
  {
    kinds: ['stamped on arrival'],
    also: ['gap', 'conflict', 'duplicate', 'repeat_submission', 'cadence'],
    instead: false,
    reason:
      'the hole in front of it is true, and readings of one second with equal or unequal values are there',
  },
  {
    kinds: ['clock drift'],
    also: ['cadence', 'neighbour'],
    instead: false,
    reason:
      'the intervals are not those of the nominal cadence, and the course lags behind the other loggers',
  },
  {
    kinds: ['fixed time', 'refused hour'],
    also: ['gap'],
    instead: false,
    reason: 'an hour is not there',
  },
  {
    kinds: ['fixed time'],
    also: ['clock', 'neighbour'],
    instead: false,
    reason: 'half the log is an hour beside the others',
  },
  {
    kinds: ['other cadence'],
    also: ['gap'],
    instead: false,
    reason: 'the one interval across the change',
  },
];

/** Checks that may speak of a kind, and whether that is enough. */
export function allowedFor(kind: string): ReadonlyMap<CheckName, boolean> {
  const found = new Map<CheckName, boolean>();
  for (const { kinds, also, instead } of ALLOWED) {
    if (!kinds.includes(kind)) continue;
    for (const check of also) found.set(check, instead || found.get(check) === true);
  }
  return found;
}
