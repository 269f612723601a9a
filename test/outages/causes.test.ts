import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HOUR, MINUTE } from '../../src/units.js';
import { at, causes, device, type Stretch, said } from './beating.js';

const NIGHT: Stretch = [at(2), at(6)];
const quiet = { silent: [NIGHT] };
const gone = { missing: [NIGHT] };
const restarted = { ...quiet, shift: [at(6), 47] as const };

// The rows of the table of causes in the reference (section 8), by their numbers there.
describe('one logger among others that are fine', () => {
  const other = device('other', {}, {});
  it.each([
    ['1: beats and readings', {}, {}, []],
    ['2: rows without a value', {}, { empty: [NIGHT] }, ['loft sensor']],
    ['3: beats, no rows', {}, gone, ['loft sensor']],
    ['5: readings, no beats', quiet, {}, ['loft heartbeat']],
    ['7: nothing, and another second of the minute after it', restarted, gone, ['loft power']],
    ['7: nothing, and the power-on value after it', quiet, { ...gone, powerOn: at(6) }, ['loft power']],
    ['7: nothing, and a mark', { ...quiet, starts: [at(6)] }, gone, ['loft power']],
    ['8: nothing, and the readings came later', quiet, { late: [NIGHT] }, ['loft link']],
    ['9: nothing, and the same second as before', quiet, gone, ['loft link']],
    ['17: nothing, and the numbers of the rows skip', { ...quiet, deleted: true }, gone, ['loft deleted']],
    ['19: a value that does not move', {}, { stuck: [NIGHT] }, ['loft sensor']],
    ['20: no heartbeats at all', null, gone, ['loft undecided']],
    ['21: one reading missed', {}, { missing: [[at(2), at(2, 10)]] as Stretch[] }, []],
    ['readings held back while the beats go on', {}, { late: [NIGHT] }, ['loft late_upload']],
    ['a restart with hardly a beat missed', { shift: [at(3), 41] as const }, {}, ['loft restart']],
    ['no readings to compare with', restarted, null, ['loft power']],
  ])('%s', (_, heart, readings, expected) => {
    expect(causes([device('loft', heart, readings), other])).toEqual(expected);
  });

  it('takes readings that come all at once after a hole for held back', () => {
    const loft = device('loft', {}, { missing: [[at(2), at(3)]] });
    const time = Float64Array.from([...loft.arrivals!.time, at(3) + 1000, at(3) + 2000, at(3) + 3000]).sort();
    const [first] = said([{ ...loft, arrivals: { ...loft.arrivals!, time } }, other]);
    expect(first).toMatchObject({ cause: 'late_upload', lateReadings: 4, missedReadings: 6, dataDown: true });
  });

  it('says that a restart may have come back at the same second, unless the logger says no', () => {
    const alternatives = (starts: number[] | null) =>
      said([device('loft', { ...quiet, starts }, gone), other])[0]!.alternatives;
    expect(alternatives(null)).toEqual(['power']);
    expect(alternatives([])).toEqual([]);
  });

  it('10: single beats lost over hours are a weak link, and no outages', () => {
    const silent: Stretch[] = [];
    for (let minute = 0; minute < 180; minute += 4) silent.push([at(2, minute), at(2, minute + 2)]);
    const [weak, ...more] = said([device('loft', { silent }, {}), other]);
    expect(more).toEqual([]);
    expect(weak).toMatchObject({ cause: 'weak_link', from: at(2), until: at(5), deviceDown: false });
    expect(weak!.message).toContain('50 %');
  });
});

describe('several loggers', () => {
  const three = (heart: object, readings: object, last: object = heart, lastReadings: object = readings) => [
    device('hall', { second: 5, ...heart }, readings),
    device('loft', { second: 25, ...heart }, readings),
    device('shed', { second: 45, ...last }, lastReadings),
  ];
  const all = (cause: string) => ['hall', 'loft', 'shed'].map((logger) => `${logger} ${cause}`);

  it.each([
    ['4: beats of all, readings of none', three({}, gone), all('readings_path')],
    ['6: readings of all, beats of none', three(quiet, {}), all('heartbeat')],
    ['11: all silent, none restarted', three(quiet, gone), all('server')],
    ['12: all silent, and readings came later', three(quiet, { late: [NIGHT] }), all('server')],
    ['13: all silent, all restarted', three({ ...quiet, starts: [at(6)] }, gone), all('power')],
    [
      '15: two of three restarted together',
      three({ ...quiet, starts: [at(6)] }, gone, {}, {}),
      ['hall power', 'loft power'],
    ],
    ['15: two of three, none restarted', three(quiet, gone, {}, {}), ['hall link', 'loft link']],
  ])('%s', (_, devices, expected) => {
    expect(causes(devices)).toEqual(expected);
  });

  it('says how many of how many', () => {
    const outages = said(three(quiet, gone, {}, {}));
    expect(outages.map(({ together, watched }) => [together, watched])).toEqual([
      [['hall', 'loft'], 3],
      [['hall', 'loft'], 3],
    ]);
    expect(outages[0]!.message).toContain('2 of 3');
  });

  it('does not call a server what began five minutes apart', () => {
    const devices = [
      device('hall', quiet, gone),
      device('loft', { silent: [[at(2, 5), at(6)]] }, { missing: [[at(2, 5), at(6)]] }),
    ];
    expect(causes(devices)).toEqual(['hall link', 'loft link']);
  });

  it('cannot tell power from server where beats keep to the full minute', () => {
    const devices = three({ ...quiet, second: 0 }, gone);
    expect(causes(devices)).toEqual(all('undecided'));
    expect(said(devices)[0]!.alternatives).toEqual(expect.arrayContaining(['power', 'server']));
  });
});

describe('edges', () => {
  it('gives the bounds of an outage: the last sign before it and the first after', () => {
    const [outage] = said([device('loft', quiet, gone)]);
    expect(outage).toMatchObject({
      lastSign: at(1, 59) + 20_000,
      from: at(2) + 20_000,
      nextSign: at(6) + 20_000,
      until: at(6) + 20_000,
      step: MINUTE,
      missedBeats: 240,
      missedReadings: 24,
      censored: null,
    });
  });

  const ended = (isAsked: boolean, reach: number | null) =>
    said(
      [
        { ...device('loft', { until: at(12) }, { missing: [[at(12), at(24)]] }), beatsReach: reach },
        device('hall', {}, {}),
      ],
      { from: at(0), until: at(24), isAsked },
    )[0];

  it('18: is no outage where an export ends', () => {
    expect(ended(false, null)).toMatchObject({ cause: 'censored', deviceDown: false, severity: 'note' });
  });

  it('is one where the same export goes on for other loggers', () => {
    expect(ended(false, at(24))).toMatchObject({ cause: 'undecided', deviceDown: true, censored: 'end' });
  });

  it('is an alarm where that time was asked for', () => {
    expect(ended(true, null)).toMatchObject({ deviceDown: true, censored: 'end', severity: 'error' });
  });

  it('is told, but harmless, where only the heartbeats end', () => {
    const devices = [device('loft', { until: at(12) }, {}), device('hall', {}, {})];
    const [outage] = said(devices, { from: at(0), until: at(24), isAsked: false });
    expect(outage).toMatchObject({ cause: 'censored', deviceDown: false, dataDown: false });
  });

  it('tells a sensor that gave up from an export of the readings that ends, by the other loggers', () => {
    const watch = { from: at(0), until: at(24), isAsked: false };
    const ends = { missing: [[at(12), at(24)]] as Stretch[] };
    const alone = said([device('loft', {}, ends), device('hall', {}, ends)], watch);
    expect(alone[0]).toMatchObject({ cause: 'censored', alternatives: ['sensor'], dataDown: false });
    const among = said([device('loft', {}, ends), device('hall', {}, {})], watch);
    expect(among[0]).toMatchObject({ cause: 'sensor', alternatives: ['censored'], dataDown: true });
    expect(said([device('loft', {}, ends)])[0]).toMatchObject({ cause: 'sensor', censored: 'end' });
  });

  it('leaves out what lies outside the time that is looked at', () => {
    const watch = { from: at(8), until: at(24), isAsked: true };
    expect(said([device('loft', quiet, null)], watch)).toEqual([]);
    const across = said([device('loft', quiet, null)], { ...watch, from: at(4) });
    expect(across[0]).toMatchObject({ from: at(4), until: at(6) + 20_000, censored: 'start' });
  });

  it('grows an error at three hours', () => {
    const severity = (hours: number) => {
      const silent: Stretch[] = [[at(2), at(2) + hours * HOUR]];
      return said([device('loft', { silent }, { missing: silent })])[0]!.severity;
    };
    expect([severity(2.9), severity(3.1)]).toEqual(['warning', 'error']);
  });
});

describe('whatever happens', () => {
  const stretch = fc
    .tuple(fc.integer({ min: 0, max: 1400 }), fc.integer({ min: 1, max: 400 }))
    .map(([from, length]): Stretch => [at(0, from), at(0, from + length)]);
  const stretches = fc.array(stretch, { maxLength: 4 });

  it('the times in which a logger is down lie apart, and within what is looked at', () => {
    fc.assert(
      fc.property(stretches, stretches, stretches, fc.boolean(), (silent, missing, late, isAsked) => {
        const loft = device('loft', { silent }, { missing, late });
        const watch = { from: at(1), until: at(23), isAsked };
        const down = said([loft, device('hall', {}, {})], watch).filter(({ deviceDown }) => deviceDown);
        down.forEach(({ from, until }, i) => {
          expect(from).toBeGreaterThanOrEqual(i === 0 ? watch.from : down[i - 1]!.until);
          expect(until).toBeGreaterThan(from);
          expect(until).toBeLessThanOrEqual(watch.until);
        });
      }),
    );
  });

  it('a reading that is missing is down once at most', () => {
    fc.assert(
      fc.property(stretches, stretches, (silent, missing) => {
        const outages = said([device('loft', { silent }, { missing })]);
        const lost = outages.reduce((sum, { missedReadings }) => sum + (missedReadings ?? 0), 0);
        const gone = 144 - device('loft', null, { missing }).arrivals!.time.length;
        expect(lost).toBeLessThanOrEqual(gone);
      }),
    );
  });
});
