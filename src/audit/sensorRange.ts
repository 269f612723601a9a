import { Flag } from '../log/flag.js';
import { type Measured, valuesOf } from '../log/log.js';
import type { Range } from '../log/sensor.js';
import { type AuditInput, type Check, findingOn } from './check.js';
import { episodesIn, times } from './episodes.js';
import { furthest, rowsOutside, unitOf } from './range.js';
import { RANGE_UNITS, rangesInForce } from './stated.js';

/** No sensor of relative humidity is stated for more than saturation. */
export const HUMIDITY_SPAN: Range = [0, 100];

/** Values that the sensor is not made for. */
export const sensorRange: Check = {
  name: 'sensor_range',
  looksFor: 'values beyond what the sensor can measure',
  method:
    'Outside the range that the site file states for the sensor; for humidity ' +
    `${HUMIDITY_SPAN.join(' to ')} % where it states none. ` +
    'Within the accuracy of the sensor beyond its range a value is questionable (flag 3), further out it is bad (flag 4). ' +
    'Not evaluated for temperature without a stated range.',
  source: 'IOOS QARTOD, test 4 (sensor span: fail); the band of one accuracy is our own',
  advice:
    'compare with the data sheet of the sensor; a wet humidity sensor reads above 100 % until it has dried',
  limits: ({ sensorRange: stated, accuracy }) =>
    rangesInForce(
      stated,
      { airTemperature: null, relativeHumidity: HUMIDITY_SPAN },
      (quantity) => `sensor.${quantity}_range_${RANGE_UNITS[quantity]}`,
    ).map((each) => {
      const band = each.key.includes('temperature') ? `${accuracy.temperature} K` : `${accuracy.humidity} %`;
      return each.isStated ? { ...each, value: `${each.value}, questionable up to ${band} beyond` } : each;
    }),
  learns: true,
  cannot: ({ sensorRange: { airTemperature } }) =>
    airTemperature === null ? [{ quantity: 'air_temperature', reason: 'no range stated' }] : [],
  *run(input) {
    const { accuracy, sensorRange: stated } = input;
    yield* beyond(input, 'air_temperature', stated.airTemperature, accuracy.temperature);
    const humidity = stated.relativeHumidity;
    // without a stated range only the physical limit is known, and gross_range says where bad begins
    yield* beyond(
      input,
      'relative_humidity',
      humidity ?? HUMIDITY_SPAN,
      humidity === null ? Infinity : accuracy.humidity,
    );
  },
};

function* beyond(input: AuditInput, quantity: Measured, range: Range | null, tolerance: number) {
  if (range === null) return;
  const values = valuesOf(input.log, quantity);
  const [least, greatest] = range;
  for (const episode of episodesIn(input, rowsOutside(input, quantity, range))) {
    const isBad = (row: number) => values[row]! < least - tolerance || values[row]! > greatest + tolerance;
    const bad = episode.filter(isBad);
    const questionable = episode.filter((row) => !isBad(row));
    const worst = furthest(values, episode, range);
    const limit = worst < least ? `below the ${least}` : `above the ${greatest}`;
    yield {
      finding: findingOn(input.log, episode, {
        check: 'sensor_range',
        severity: bad.length > 0 ? 'warning' : 'note',
        quantity,
        message: `${worst} ${unitOf(quantity)} is ${limit} ${unitOf(quantity)} that the sensor can measure${times(episode.length)}`,
      }),
      marks: [
        { quantity, rows: bad, flag: Flag.bad },
        { quantity, rows: questionable, flag: Flag.questionable },
      ],
    };
  }
}
