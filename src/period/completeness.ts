import type { PeriodKind } from '../calendar/period.js';
import { HOUR } from '../units.js';
import type { Known, PeriodSummary, QuantitySummary } from './summary.js';

/**
 * complete: extremes and mean stand as they are; usable: they stand, with a mark; bounded: the maximum
 * is a lower bound, the minimum an upper bound, the mean is withheld; empty: nothing is known.
 */
export type Completeness = 'complete' | 'usable' | 'bounded' | 'empty';

export interface Judged {
  readonly completeness: Completeness;
}

/** A summary whose means are NaN wherever too little is known to give one. */
export interface JudgedSummary extends PeriodSummary {
  readonly airTemperature: QuantitySummary & Judged;
  readonly relativeHumidity: QuantitySummary & Judged;
  readonly both: Known & Judged;
}

/**
 * Hour and day: project rule, checked by simulation. On a sine-shaped day of 8 K amplitude, the worst
 * placed hole of 1 h shifts the mean by 0.35 K, one of 3 h by 1.1 K, one of 6 h by 2.4 K: a percentage
 * alone, without a limit on the longest hole, would let the last one pass as 75 % known.
 */
const COMPLETE = { coverage: 0.9, hole: HOUR };
const USABLE = { coverage: 0.75, hole: 3 * HOUR };

/** How many parts may be missing in all and in a row. A part is missing unless complete or usable. */
interface PartsRule {
  readonly part: PeriodKind;
  readonly inAll: number;
  readonly inARow: number;
}

const PARTS_RULES: Partial<Record<PeriodKind, PartsRule>> = {
  /** Project rule: the month's 5 days of 30, scaled to 7 and rounded. */
  week: { part: 'day', inAll: 1, inARow: 1 },
  /**
   * The strict 3/5 rule of the WMO, read second-hand (Utah Climate Center; Environment and Climate
   * Change Canada): a month is withheld if more than 3 days in a row or more than 5 in all are missing.
   */
  month: { part: 'day', inAll: 5, inARow: 3 },
  /** Project rule: a mean over fewer than all twelve months leans to the seasons that are there. */
  year: { part: 'month', inAll: 0, inARow: 0 },
};

/** The kind of shorter period by whose completeness a period of `kind` is judged; null if by its own. */
export function partOf(kind: PeriodKind): PeriodKind | null {
  return PARTS_RULES[kind]?.part ?? null;
}

/**
 * Tells how far each summary can be relied on, and withholds the means that cannot.
 *
 * Hours and days are judged by their known time: complete from 90 % with no hole over 1 h, usable from
 * 75 % with no hole over 3 h, bounded below that. A week, month or year is complete if none of its parts
 * is missing, usable if no more are missing than the rule of its kind allows, bounded otherwise. A hole is
 * time that is not bridged, so a slow but steady cadence makes none.
 *
 * @param kind what the summaries' periods are
 * @param parts judged summaries of the periods of kind `partOf(kind)` that tile them, in order of time;
 *   not looked at where that is null
 */
export function judge(
  kind: PeriodKind,
  summaries: readonly PeriodSummary[],
  parts: readonly JudgedSummary[],
): JudgedSummary[] {
  const rule = PARTS_RULES[kind];
  let next = 0;
  return summaries.map((summary) => {
    const { start, end } = summary.period;
    while (next < parts.length && parts[next]!.period.start < start) next++;
    const first = next;
    while (next < parts.length && parts[next]!.period.end <= end) next++;
    const own = parts.slice(first, next);

    const verdict = (known: Known, knownPart: (part: JudgedSummary) => Judged): Completeness => {
      if (known.readings === 0 && known.covered === 0) return 'empty';
      return rule === undefined ? byKnownTime(known) : byParts(rule, own.map(knownPart));
    };
    const airTemperature = verdict(summary.airTemperature, (part) => part.airTemperature);
    const relativeHumidity = verdict(summary.relativeHumidity, (part) => part.relativeHumidity);
    const both = verdict(summary.both, (part) => part.both);
    return {
      ...summary,
      airTemperature: withheld(summary.airTemperature, airTemperature),
      relativeHumidity: withheld(summary.relativeHumidity, relativeHumidity),
      both: { ...summary.both, completeness: both },
      dewPointMean: hasMean(both) ? summary.dewPointMean : Number.NaN,
    };
  });
}

function byKnownTime({ coverage, longestHole }: Known): Completeness {
  if (coverage >= COMPLETE.coverage && longestHole <= COMPLETE.hole) return 'complete';
  if (coverage >= USABLE.coverage && longestHole <= USABLE.hole) return 'usable';
  return 'bounded';
}

function byParts({ inAll, inARow }: PartsRule, parts: readonly Judged[]): Completeness {
  // Nothing speaks for a period none of whose parts were looked at.
  if (parts.length === 0) return 'bounded';
  let missing = 0;
  let run = 0;
  let longestRun = 0;
  for (const { completeness } of parts) {
    if (hasMean(completeness)) {
      run = 0;
      continue;
    }
    missing++;
    run++;
    longestRun = Math.max(longestRun, run);
  }
  if (missing === 0) return 'complete';
  return missing <= inAll && longestRun <= inARow ? 'usable' : 'bounded';
}

function hasMean(completeness: Completeness): boolean {
  return completeness === 'complete' || completeness === 'usable';
}

function withheld(summary: QuantitySummary, completeness: Completeness): QuantitySummary & Judged {
  return { ...summary, completeness, mean: hasMean(completeness) ? summary.mean : Number.NaN };
}
