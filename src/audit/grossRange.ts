import { Flag } from '../log/flag.js';
import { valuesOf } from '../log/log.js';
import type { Range } from '../log/sensor.js';
import { type Check, findingOn } from './check.js';
import { episodesIn, times } from './episodes.js';
import { furthest, QUANTITIES, rowsOutside, unitOf } from './range.js';
import { RANGE_UNITS, rangesInForce } from './stated.js';

/**
 * What no air can be. Temperature: plausible values of the WMO guideline on quality control for automatic
 * weather stations (Zahumenský 2004; from memory). Humidity: up to 104 % is accepted and counted as 100 %
 * (practice of the Austrian weather service, WMO ET-AWS-1 Doc 9(2), 2002).
 */
export const DEFAULT_LIMITS: { readonly airTemperature: Range; readonly relativeHumidity: Range } = {
  airTemperature: [-80, 60],
  relativeHumidity: [0, 104],
};

/** Values that no air can have. */
export const grossRange: Check = {
  name: 'gross_range',
  looksFor: 'values that no air can have',
  method:
    `Outside ${DEFAULT_LIMITS.airTemperature.join(' to ')} °C or ${DEFAULT_LIMITS.relativeHumidity.join(' to ')} %, ` +
    'unless the site file states other limits. Such values are bad (flag 4).',
  source:
    'WMO guideline on quality control for automatic weather stations, Zahumenský 2004 (temperature; from memory); ' +
    'WMO ET-AWS-1 Doc 9(2), 2002 (104 %); IOOS QARTOD, test 4 (outcome)',
  advice:
    'a disturbed transmission if it is one value; a wrong unit or column if it is many (--temperature-unit)',
  limits: ({ limits }) =>
    rangesInForce(limits, DEFAULT_LIMITS, (quantity) => `limits.${quantity}_${RANGE_UNITS[quantity]}`),
  learns: true,
  *run(input) {
    for (const quantity of QUANTITIES) {
      const range =
        quantity === 'air_temperature' ? input.limits.airTemperature : input.limits.relativeHumidity;
      const rows = rowsOutside(input, quantity, range);
      for (const episode of episodesIn(input, rows)) {
        const worst = furthest(valuesOf(input.log, quantity), episode, range);
        yield {
          finding: findingOn(input.log, episode, {
            check: 'gross_range',
            severity: 'error',
            quantity,
            message: `${worst} ${unitOf(quantity)} is impossible for air${times(episode.length)}`,
          }),
          marks: [{ quantity, rows: episode, flag: Flag.bad }],
        };
      }
    }
  },
};
