import type { Confidence, Severity } from '../log/finding.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';

/** Why a logger, or its data, was not there. Part of the output contract. */
export const CAUSES = [
  'power', // no supply, or crashed: it started anew
  'link', // the way from logger to server
  'server', // server, database or the network of all loggers
  'sensor', // beats, but no reading or no value
  'readings_path', // all loggers beat, and no reading of any arrives
  'heartbeat', // readings, but no beats: the logger was up
  'weak_link', // many single beats lost over hours
  'restart', // started anew with hardly a beat missed
  'late_upload', // readings held back and sent in a burst
  'artefact', // made by the stamps, not by the logger
  'deleted', // rows taken out of the table
  'censored', // where an export begins or ends
  'undecided', // what is there does not tell
] as const;
export type Cause = (typeof CAUSES)[number];

/** Something that kept a logger or its data away, or looks as if it did. */
export interface Outage {
  readonly logger: string;
  readonly cause: Cause;
  /** What it may have been as well. */
  readonly alternatives: readonly Cause[];
  /** The loggers that fell silent together, this one among them, and how many were watched then. */
  readonly together: readonly string[];
  readonly watched: number;
  /** The last sign before and the first after: the true edges lie within one step of them. Null past the ends. */
  readonly lastSign: Instant | null;
  readonly nextSign: Instant | null;
  /** The first sign that did not come, and the first that came again; cut off at the ends of what is looked at. */
  readonly from: Instant;
  readonly until: Instant;
  /** Time between signs: how far either edge may be off. */
  readonly step: Milliseconds;
  readonly censored: 'start' | 'end' | 'both' | null;
  /** Whether the logger counts as down in it, and whether its data does. */
  readonly deviceDown: boolean;
  readonly dataDown: boolean;
  readonly missedBeats: number | null;
  readonly missedReadings: number | null;
  readonly lateReadings: number;
  /** Whether it ended with a start of the logger; null where nothing tells. */
  readonly restarted: boolean | null;
  readonly severity: Severity;
  readonly confidence: Confidence;
  /** One sentence in plain words, without a full stop. */
  readonly message: string;
}

/** Outages of this length spoil a day (quality rule for days: usable up to 3 h). */
const SERIOUS: Milliseconds = 3 * HOUR;
/** Nothing was down in these. */
const HARMLESS: ReadonlySet<Cause> = new Set(['restart', 'late_upload', 'artefact', 'deleted']);

export function severityOf(cause: Cause, length: Milliseconds, isDown: boolean, isAsked: boolean): Severity {
  if (HARMLESS.has(cause)) return 'note';
  if (cause === 'censored') return !isAsked ? 'note' : length >= SERIOUS ? 'error' : 'warning';
  return isDown && length >= SERIOUS ? 'error' : 'warning';
}

/** How long it was down: at least, most likely, at most. */
export function downTimes({ from, until, step, censored }: Outage): {
  readonly least: Milliseconds;
  readonly expected: Milliseconds;
  readonly most: Milliseconds;
} {
  const expected = Math.max(0, until - from);
  // cut off by the end of what is looked at, that edge is exact
  const edges = censored === 'both' ? 0 : censored === null ? 2 : 1;
  const loose = edges === 2 ? step : (edges * step) / 2;
  return { least: Math.max(0, expected - loose), expected, most: expected + loose };
}
