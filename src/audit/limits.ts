import { formatDuration } from '../calendar/print.js';
import type { Measured } from '../log/log.js';
import { HOUR, type Kelvin, MINUTE, type Milliseconds, type Percent } from '../units.js';

/** Limits by the time between two readings: pairs of minutes and limit, in between linear in the logarithm of time. */
export type ByInterval = readonly (readonly [minutes: number, limit: number])[];

/**
 * From where on the checks of values ask questions. Where no other source stands beside a figure it is our own: between
 * the published anchors for one minute and one hour (WMO guideline on quality control for automatic weather
 * stations, Zahumenský 2004, from memory; Austrian weather service, WMO ET-AWS-1 Doc 9(2), 2002; EPA
 * meteorological monitoring guidance; NWS Techniques Specification Package 88-21-R2, by way of MADIS),
 * chosen so that published logs of nine rooms, an office and three airports stay quiet. Each is a floor: the log's own unrest
 * raises it.
 */
export const LIMITS = {
  step: {
    /** Out of doors; air indoors moves less, but a logger carried through a door does not [K]. */
    airTemperature: [
      [1, 3],
      [5, 5],
      [10, 6],
      [15, 7],
      [30, 8],
      [60, 10],
    ],
    /** [%] */
    relativeHumidity: [
      [1, 15],
      [5, 20],
      [10, 25],
      [15, 30],
      [30, 40],
      [60, 50],
    ],
  },
  spike: {
    /** 0.6 of what is a questionable step indoors [K]. */
    airTemperature: [
      [1, 1.2],
      [5, 1.8],
      [10, 2.4],
      [30, 3],
      [60, 3.6],
    ],
    /** As for temperature [%]. */
    relativeHumidity: [
      [1, 9],
      [5, 15],
      [10, 18],
      [15, 21],
      [30, 24],
      [60, 27],
    ],
  },
  /** What no air does: 10 K in a minute (valid step of a reference probe, ARM), 35 °F in an hour (MADIS). */
  impossible: {
    airTemperature: [
      [1, 10],
      [5, 10],
      [10, 12],
      [15, 13],
      [30, 15],
      [60, 19.4],
    ],
    relativeHumidity: [
      [1, 60],
      [10, 60],
      [15, 70],
      [30, 80],
      [60, 80],
    ],
  },
  /**
   * Both quantities unchanged, by resolution. Longest innocent stretch in simulations of a quiet cellar: 1.5 h
   * in tenths, 3.5 h with whole percent, 7.5 h with whole degrees too; doubled, and six times and more for bad.
   */
  flatLine: {
    fine: { questionable: 3 * HOUR, bad: 12 * HOUR },
    mixed: { questionable: 7 * HOUR, bad: 24 * HOUR },
    coarse: { questionable: 15 * HOUR, bad: 48 * HOUR },
    /** One quantity alone, while the other moves as it always does. */
    alone: 24 * HOUR,
  },
  saturation: {
    /** Fog and long rain keep the air saturated for a night and a day. */
    duration: 24 * HOUR,
    /** At the dry end there is no such weather. */
    dryDuration: 6 * HOUR,
  },
} as const satisfies Record<string, Record<string, ByInterval | Milliseconds | object>>;

/**
 * The limit for readings this far apart; nearer than the first interval of the table counts as the first,
 * further than the last as the last.
 */
export function limitAt(table: ByInterval, interval: Milliseconds): number {
  const minutes = interval / MINUTE;
  const [least, first] = table[0]!;
  if (minutes <= least) return first;
  for (let i = 1; i < table.length; i++) {
    const [before, low] = table[i - 1]!;
    const [after, high] = table[i]!;
    if (minutes > after) continue;
    return low + ((high - low) * Math.log(minutes / before)) / Math.log(after / before);
  }
  return table.at(-1)![1];
}

/** What a site states in place of the limits above, null where it states nothing. The log's own unrest raises these too. */
export interface OwnLimits {
  /** At every interval. */
  readonly spike: LimitPair;
  readonly step: LimitPair;
  /** Whatever the resolution. */
  readonly flatLine: { readonly questionable: Milliseconds | null; readonly bad: Milliseconds | null };
  /** At the upper end. */
  readonly saturation: Milliseconds | null;
}

interface LimitPair {
  readonly airTemperature: Kelvin | null;
  readonly relativeHumidity: Percent | null;
}

const NONE: LimitPair = { airTemperature: null, relativeHumidity: null };

export const NOTHING_STATED: OwnLimits = {
  spike: NONE,
  step: NONE,
  flatLine: { questionable: null, bad: null },
  saturation: null,
};

/** The limits of a quantity by interval: what is stated, else the table. */
export function tableFor(
  kind: 'spike' | 'step' | 'impossible',
  quantity: Measured,
  stated: OwnLimits = NOTHING_STATED,
): ByInterval {
  const key = quantity === 'air_temperature' ? 'airTemperature' : 'relativeHumidity';
  const limit = kind === 'impossible' ? null : stated[kind][key];
  return limit === null ? LIMITS[kind][key] : [[1, limit]];
}

/** Intervals at which limits are told to people [min]. */
const TOLD_AT = [1, 10, 60];

/** The limits of a quantity as people read them: what is stated, else the table at a few intervals. */
export function limitsText(kind: 'spike' | 'step', quantity: Measured, stated?: OwnLimits): string {
  const table = tableFor(kind, quantity, stated);
  const unit = quantity === 'air_temperature' ? 'K' : '%';
  if (table.length === 1) return `${table[0]![1]} ${unit} at every interval`;
  return TOLD_AT.map((minutes) => {
    const limit = limitAt(table, minutes * MINUTE);
    return `${Number(limit.toFixed(1))} ${unit} at ${formatDuration(minutes * MINUTE)}`;
  }).join(', ');
}
