import type { Celsius, Percent } from '../units.js';
import type { Log } from './log.js';

type Values = Pick<Log, 'temperature' | 'humidity' | 'length'>;

/** Steps in which most sensors tell: a tenth of a kelvin and of a percent. */
const STEPS_PER_UNIT = 10;
/** What a memory of both is laid out for [°C, %]: more than air has. It takes 5 MB, of which a log touches a part. */
const COLDEST = -40;
const HOTTEST = 60;
const DAMPEST = 104;

const ROW = STEPS_PER_UNIT * DAMPEST + 1;
const ROWS = STEPS_PER_UNIT * (HOTTEST - COLDEST) + 1;

/** Fewer readings than this are worked out in less time than it takes to look which are alike. */
const WORTHWHILE = 10_000;

/**
 * For each reading the first one of the log that carries the same temperature and the same humidity, often itself:
 * what hangs on the two alone needs to be worked out there only. A year of readings in tenths has some 60,000
 * pairs of values. A reading that is not in tenths, or of no usual air, counts as the first of its kind.
 */
export function firstAlike({ temperature, humidity, length }: Values): Uint32Array {
  const first = new Uint32Array(length);
  if (length < WORTHWHILE) {
    for (let i = 0; i < length; i++) first[i] = i;
    return first;
  }
  const met = new Uint32Array(ROWS * ROW); // row + 1 of the first, 0 where none
  for (let i = 0; i < length; i++) {
    first[i] = i;
    const t = Math.round(temperature[i]! * STEPS_PER_UNIT);
    const u = Math.round(humidity[i]! * STEPS_PER_UNIT);
    if (t / STEPS_PER_UNIT !== temperature[i] || u / STEPS_PER_UNIT !== humidity[i]) continue;
    if (!(temperature[i]! >= COLDEST && temperature[i]! <= HOTTEST)) continue;
    if (!(humidity[i]! >= 0 && humidity[i]! <= DAMPEST)) continue;
    const place = (t - STEPS_PER_UNIT * COLDEST) * ROW + u;
    if (met[place]! > 0) first[i] = met[place]! - 1;
    else met[place] = i + 1;
  }
  return first;
}

/**
 * What hangs on temperature and humidity alone, for each reading; readings that are alike share one answer.
 *
 * @param first of the same log, from `firstAlike`
 */
export function columnOf(
  { temperature, humidity, length }: Values,
  first: Uint32Array,
  of: (temperature: Celsius, humidity: Percent) => number,
): Float64Array {
  const values = new Float64Array(length);
  for (let i = 0; i < length; i++) {
    const like = first[i]!;
    values[i] = like < i ? values[like]! : of(temperature[i]!, humidity[i]!);
  }
  return values;
}
