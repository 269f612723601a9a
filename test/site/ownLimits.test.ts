import { describe, expect, it } from 'vitest';
import { NOTHING_STATED } from '../../src/audit/limits.js';
import { explain, InputError } from '../../src/errors.js';
import { parseSite } from '../../src/site/load.js';
import { loggerOf } from '../../src/site/site.js';

const HOUR = 3_600_000;

const SITE = `
[limits.spike]
air_temperature_K = 4
[limits.rate_of_change]
relative_humidity_pct = 60
[limits.flat_line]
questionable_after = "PT6H"
bad_after = "P2D"
[limits.saturation]
questionable_after = "PT6H"

[[logger]]
id = "boat-hall"
files = []
[logger.limits.spike]
relative_humidity_pct = 30
[logger.limits.flat_line]
questionable_after = "PT1H"

[[logger]]
id = "sail-loft"
files = []
`;

const mistakeIn = (text: string) => {
  try {
    parseSite(text, 'club.toml');
  } catch (error) {
    if (error instanceof InputError) return explain(error);
    throw error;
  }
  throw new Error('no mistake was found');
};

describe('limits of the checks that compare values', () => {
  const site = parseSite(SITE, 'club.toml');
  const ofSite = {
    spike: { airTemperature: 4, relativeHumidity: null },
    step: { airTemperature: null, relativeHumidity: 60 },
    flatLine: { questionable: 6 * HOUR, bad: 48 * HOUR },
    saturation: 6 * HOUR,
  };

  it('are those of the site, for every logger that states none', () => {
    expect(loggerOf(site, 'sail-loft').ownLimits).toEqual(ofSite);
    expect(loggerOf(site, 'porch').ownLimits).toEqual(ofSite);
  });

  it('are those of the logger, one by one, where it states them', () => {
    expect(loggerOf(site, 'boat-hall').ownLimits).toEqual({
      ...ofSite,
      spike: { airTemperature: 4, relativeHumidity: 30 },
      flatLine: { questionable: HOUR, bad: 48 * HOUR },
    });
  });

  it('are none where none are stated', () => {
    expect(parseSite('', 'club.toml').ownLimits).toEqual(NOTHING_STATED);
  });

  it.each([
    [
      'limits.spike.air_temperature_K = 0',
      'limits.spike.air_temperature_K must be a number from 0.1 to 100 K: 0',
    ],
    ['limits.spike.questionable_after = "PT1H"', 'limits.spike.questionable_after is not a known key'],
    [
      'limits.saturation.questionable_after = "PT0S"',
      'limits.saturation.questionable_after must be longer than nothing',
    ],
    ['limits.flat_line.bad_after = "2 days"', 'limits.flat_line.bad_after is wrong'],
  ])('%s is a mistake', (text, says) => {
    expect(mistakeIn(`${text}\n`)).toContain(`club.toml:1:1: ${says}`);
  });
});
