import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { availabilityOf, reliabilityOf, siteAvailability } from '../../src/outages/availability.js';
import { downTimes, type Outage } from '../../src/outages/outage.js';
import { HOUR, MINUTE } from '../../src/units.js';
import { at, device, said, WATCH } from './beating.js';

function outage(from: number, until: number, censored: Outage['censored'] = null): Outage {
  return {
    logger: 'loft',
    cause: 'power',
    alternatives: [],
    together: ['loft'],
    watched: 1,
    lastSign: from - MINUTE,
    nextSign: until,
    from,
    until,
    step: MINUTE,
    censored,
    deviceDown: true,
    dataDown: true,
    missedBeats: 1,
    missedReadings: 1,
    lateReadings: 0,
    restarted: true,
    severity: 'warning',
    confidence: 'certain',
    message: '',
  };
}

describe('the figures of reliability', () => {
  it('follow their definitions: two outages of 2 h and 4 h in 24 h', () => {
    const figures = reliabilityOf([outage(at(2), at(4)), outage(at(10), at(14))], WATCH, 0);
    expect(figures).toMatchObject({
      observed: 24 * HOUR,
      down: 6 * HOUR,
      availability: 0.75,
      outages: 2,
      longest: 4 * HOUR,
      mtbf: 9 * HOUR,
      mttr: 3 * HOUR,
      mtbfLowerBound: null,
    });
    // steady state: MUT / (MUT + MDT)
    expect(figures.mtbf! / (figures.mtbf! + figures.mttr!)).toBe(figures.availability);
  });

  it('have a lower bound of T / 3.0 without an outage', () => {
    expect(reliabilityOf([], WATCH, 0)).toMatchObject({ mtbf: null, mttr: null, mtbfLowerBound: 8 * HOUR });
  });

  it('leave a cut-off outage out of the time to restore, not out of the availability', () => {
    const figures = reliabilityOf([outage(at(2), at(4)), outage(at(20), at(24), 'end')], WATCH, 0);
    expect(figures).toMatchObject({ outages: 2, mttr: 2 * HOUR, availability: 0.75 });
  });

  it('leave unobserved time out of both sides', () => {
    expect(reliabilityOf([outage(at(2), at(5))], WATCH, 12 * HOUR).availability).toBe(0.75);
  });

  it('keep least ≤ expected ≤ most', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 1e8 }),
        fc.constantFrom(null, 'start', 'end', 'both'),
        (length, edge) => {
          const { least, expected, most } = downTimes(
            outage(at(0), at(0) + length, edge as Outage['censored']),
          );
          expect(least).toBeLessThanOrEqual(expected);
          expect(expected).toBeLessThanOrEqual(most);
          expect(least).toBeGreaterThanOrEqual(0);
        },
      ),
    );
  });
});

describe('availability of a logger', () => {
  it('keeps device and data apart', () => {
    const silent = [[at(2), at(6)]] as const;
    const loft = device('loft', { silent }, { missing: silent, empty: [[at(10), at(12)]] });
    const figures = availabilityOf(loft, said([loft]), WATCH);
    expect(figures.device).toMatchObject({ outages: 1, down: 4 * HOUR });
    expect(figures.data).toMatchObject({ outages: 2, due: 144, valid: 144 - 24 - 12 });
    expect(figures.data!.availability).toBe(0.75);
  });

  it('has no figures of what was not there', () => {
    const loft = device('loft', null, {});
    expect(availabilityOf(loft, [], WATCH).device).toBeNull();
  });

  it('adds up by cause to all the time down', () => {
    const loft = device(
      'loft',
      { silent: [[at(2), at(6)]], shift: [at(6), 50] },
      { missing: [[at(2), at(6)]] },
    );
    const { device: figures } = availabilityOf(loft, said([loft]), WATCH);
    expect([...figures!.byCause.values()].reduce((a, b) => a + b)).toBe(figures!.down);
  });

  it('counts a time in which all were silent once for the site', () => {
    const silent = [[at(2), at(6)]] as const;
    const devices = ['hall', 'loft'].map((id) => device(id, { silent }, { missing: silent }));
    const outages = said(devices);
    const site = siteAvailability(
      devices.map((each) => availabilityOf(each, outages, WATCH)),
      outages,
    );
    expect(site).toMatchObject({ loggers: 2, outages: 2, commonOutages: 1, commonDown: 4 * HOUR });
    expect(site.deviceAvailability).toBeCloseTo(20 / 24, 12);
  });
});
