import { describe, expect, it } from 'vitest';
import { parseSite } from '../../src/site/load.js';
import { defaultSite, loggerOf } from '../../src/site/site.js';
import { FULL_SITE } from './fullSite.js';

describe('loggerOf', () => {
  const site = parseSite(FULL_SITE, 'club.toml');

  it('gives the logger of that id', () => {
    expect(loggerOf(site, 'sail-loft')).toBe(site.loggers[1]);
  });

  it('gives a strange logger the defaults and the limits of the site', () => {
    expect(loggerOf(site, 'porch')).toMatchObject({
      id: 'porch',
      files: [],
      limits: { airTemperature: [-60, 50], relativeHumidity: [0, 103] },
      accuracy: { temperature: 0.5, humidity: 3 },
      accuracySource: 'assumed',
      surfaces: [{ name: 'air', model: 'air' }],
    });
  });

  it('has the same defaults without a site file as with a logger that states nothing', () => {
    const [bare] = parseSite('[[logger]]\nid = "porch"\nfiles = []\n', 'club.toml').loggers;
    expect(loggerOf(defaultSite, 'porch')).toEqual(bare);
  });
});
