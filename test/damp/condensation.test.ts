import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CondensationSummary, condensation } from '../../src/damp/condensation.js';
import { exposingAir, exposureOf } from '../../src/damp/exposure.js';
import { sunAltitude } from '../../src/damp/sun.js';
import type { ModelledSurface } from '../../src/damp/surface.js';
import type { Log } from '../../src/log/log.js';
import { dewPoint, frostPoint } from '../../src/psychrometry/dewPoint.js';
import { HOUR, MINUTE, SECOND } from '../../src/units.js';
import { hours, logOf, minutes, type Row, sampled, tiles } from '../period/logOf.js';
import { randomLog, randomPeriods } from '../period/randomLog.js';
import { humidityFor } from './humidityFor.js';

const air: ModelledSurface = { name: 'air', model: 'air' };
const mass = (timeConstant: number): ModelledSurface => ({
  name: 'slipway winch',
  model: 'mass',
  timeConstant,
});
const measured = (accuracy: number): ModelledSurface => ({
  name: 'hull',
  model: 'measured',
  thermometer: { logger: 'hull' },
  accuracy,
  accuracySource: 'site',
});
const between = (temperatureFactor: number, outsideAccuracy: number): ModelledSurface => ({
  name: 'pane',
  model: 'between',
  outside: 'north-wall',
  temperatureFactor,
  outsideAccuracy,
  accuracySource: 'site',
});
const position = { latitude: 54.4, longitude: -3 };
const nightSky = (drop: number): ModelledSurface => ({ name: 'roof', model: 'night-sky', drop, position });
const exact = { temperature: 0, humidity: 0 };

function only(
  log: Log,
  surface: ModelledSurface,
  until: number,
  accuracy = exact,
  bridge = HOUR,
): CondensationSummary {
  return condensation(log, surface, [{ start: 0, end: until }], { bridge, accuracy })[0]!;
}

describe('a surface after a temperature that no air has', () => {
  // some of these would be another number in 32 bits
  it.each([-1e6, -3e5, -2.5e5, -1e5, -3e4, 3e4, 1e5, 2.5e5, 3e5, 1e6])(
    'is as wet as %d °C make it',
    (wild) => {
      const rows: Row[] = Array.from({ length: 61 }, (_, i): Row => [i * minutes(10), 10, 90]);
      rows[30] = [30 * minutes(10), wild, NaN];
      const period = { start: 31 * minutes(10), end: 31 * minutes(10) + hours(2) };
      const [summary] = condensation(logOf(rows), mass(HOUR), [period], { bridge: HOUR, accuracy: exact });
      expect(summary).toMatchObject({ expected: wild < 0 ? hours(2) : 0, unknown: 0 });
    },
  );
});

describe('a surface at air temperature', () => {
  it.each([
    { why: 'saturated air wets it', t: 10, u: 100, wet: 1, ice: 0 },
    { why: 'a sensor at 104 % is a saturated one', t: 10, u: 104, wet: 1, ice: 0 },
    { why: 'at 99.9 % it is dry', t: 10, u: 99.9, wet: 0, ice: 0 },
    { why: 'hoar frost from air over-saturated for ice', t: -5, u: 97, wet: 1, ice: 1 },
    { why: 'at -5 °C and 93 % there is none', t: -5, u: 93, wet: 0, ice: 0 },
    { why: 'exactly 0 °C is not below', t: 0, u: 100, wet: 1, ice: 0 },
  ])('$why', ({ t, u, wet, ice }) => {
    const summary = only(
      sampled(0, HOUR, minutes(10), () => [t, u]),
      air,
      HOUR,
    );
    expect(summary).toMatchObject({
      expected: wet * HOUR,
      dry: (1 - wet) * HOUR,
      ice: ice * HOUR,
      unknown: 0,
    });
  });

  it('in saturated air has a margin of nothing, not of rounding', () => {
    for (let t = 0; t < 30; t += 0.1) {
      const summary = only(
        logOf([
          [0, t, 100],
          [HOUR, t + 3, 100],
        ]),
        air,
        HOUR,
      );
      expect(summary).toMatchObject({ expected: HOUR, marginMin: 0, marginMinTime: 0 });
    }
  });

  it('ices from the instant at which the line of frost points meets it', () => {
    const [before, after] = [-5 - frostPoint(-5, 90), -5 - frostPoint(-5, 100)];
    const summary = only(
      logOf([
        [0, -5, 90],
        [HOUR, -5, 100],
      ]),
      air,
      HOUR,
    );
    const dry = Math.round((HOUR * before) / (before - after));
    expect(summary).toMatchObject({ dry, expected: HOUR - dry, ice: HOUR - dry, spells: 1 });
    expect(summary).toMatchObject({ marginMin: after, marginMinTime: HOUR });
  });

  it('counts as ice only what is deposited below 0 °C', () => {
    const summary = only(
      logOf([
        [0, -1, 100],
        [HOUR, 3, 100],
      ]),
      air,
      HOUR,
    );
    expect(summary).toMatchObject({ expected: HOUR, ice: HOUR / 4 });
  });

  it('uses temperatures that were read without a humidity', () => {
    // Cooled to the dew point half-way, while the humidity was not read.
    const dew = dewPoint(10, 80);
    const log = logOf([
      [0, 10, 80],
      [minutes(30), dew - 1, NaN],
      [minutes(60), 10, 80],
    ]);
    const share = 1 / (10 - dew + 1);
    const summary = only(log, air, HOUR);
    expect(summary.expected).toBeCloseTo(HOUR * share, -1);
    expect(summary.marginMin).toBeCloseTo(-1, 9);
    expect(summary).toMatchObject({ marginMinTime: minutes(30), unknown: 0, spells: 1 });
  });
});

describe('a mass', () => {
  it('is unknown until it has settled', () => {
    const summary = only(
      sampled(0, hours(8), minutes(30), () => [10, 80]),
      mass(HOUR),
      hours(9),
    );
    expect(summary).toMatchObject({ unsettled: hours(3), unknown: hours(4), dry: hours(5), expected: 0 });
  });

  it('settles within a piece', () => {
    const summary = only(
      sampled(0, hours(2), HOUR, () => [10, 80]),
      mass(minutes(30)),
      hours(2),
    );
    expect(summary).toMatchObject({ unsettled: minutes(90), unknown: minutes(90), dry: minutes(30) });
  });

  it('is carried over an hour and a half that is itself unknown', () => {
    const rows = [...sampled(0, hours(12), minutes(10), () => [10, 80]).time]
      .filter((time) => time <= hours(6) || time >= hours(7.5))
      .map((time): Row => [time, 10, 80]);
    const summary = only(logOf(rows), mass(HOUR), hours(12), exact, minutes(20));
    expect(summary).toMatchObject({ unsettled: hours(3), unknown: hours(4.5), dry: hours(7.5) });
  });

  it('starts anew after a longer hole', () => {
    const rows = [...sampled(0, hours(14), minutes(10), () => [10, 80]).time]
      .filter((time) => time <= hours(6) || time >= hours(9))
      .map((time): Row => [time, 10, 80]);
    const summary = only(logOf(rows), mass(HOUR), hours(14), exact, minutes(20));
    expect(summary).toMatchObject({ unsettled: hours(6), unknown: hours(9), dry: hours(5) });
  });

  it('has its smallest margin between readings, where the course turns', () => {
    // Cold mass under warming air: the margin falls while the dew point rises faster than the mass.
    const rows: Row[] = [];
    for (let time = 0; time <= hours(24); time += HOUR) rows.push([time, 5, humidityFor(5, 2)]);
    rows.push([hours(24) + 1, 15, humidityFor(15, 2)], [hours(26), 15, humidityFor(15, 12)]);
    const summary = condensation(logOf(rows), mass(hours(2)), [{ start: hours(24), end: hours(26) }], {
      bridge: hours(2),
      accuracy: exact,
    })[0]!;
    // Ts = 15 − 10 exp(−t/τ), dew point 2 + 5 t/h: turns where (10/τ) exp(−t/τ) = 5 — at the very start.
    expect(summary.marginMin).toBeCloseTo(15 - 10 * Math.exp(-1) - 12, 2);

    const slower: Row[] = [
      ...rows.slice(0, -1),
      [hours(26), 15, humidityFor(15, 2)],
      [hours(28), 22, humidityFor(22, 12)],
    ];
    const start = 15 - 10 * Math.exp(-1);
    const surface = (t: number) => 15 + 3.5 * t - 7 + (start - 15 + 7) * Math.exp(-t / 2);
    const margins = Array.from(
      { length: 7201 },
      (_, second) => surface(second / 3600) - (2 + (5 * second) / 3600),
    );
    const lowest = Math.min(...margins);
    const turned = condensation(logOf(slower), mass(hours(2)), [{ start: hours(26) + 1, end: hours(28) }], {
      bridge: hours(2),
      accuracy: exact,
    })[0]!;
    expect(turned.marginMin).toBeCloseTo(lowest, 4);
    expect(Math.abs(turned.marginMinTime! - hours(26) - margins.indexOf(lowest) * SECOND)).toBeLessThan(
      MINUTE,
    );
  });
});

describe('spells', () => {
  const wetAt = (wet: (time: number) => boolean, until = hours(6)) =>
    sampled(0, until, minutes(10), (time) => [10, wet(time) ? 100 : 80]);

  it('run on over the end of a period, and count in both', () => {
    const [first, second] = condensation(
      wetAt(() => true),
      air,
      tiles(0, hours(2), hours(6)),
      {
        bridge: HOUR,
        accuracy: exact,
      },
    );
    expect(first).toMatchObject({ spells: 1, longestSpell: hours(2) });
    expect(second).toMatchObject({ spells: 1, longestSpell: hours(4) });
  });

  it('end when it dries, be it for an instant between readings', () => {
    expect(
      only(
        wetAt((time) => time !== hours(2)),
        air,
        hours(6),
      ),
    ).toMatchObject({ spells: 2, longestSpell: hours(6) - minutes(130) });
  });

  it('are broken by unknown time', () => {
    const rows = [...wetAt(() => true).time]
      .filter((time) => time <= hours(1) || time >= hours(3))
      .map((time): Row => [time, 10, 100]);
    expect(only(logOf(rows), air, hours(6), exact, minutes(20))).toMatchObject({
      spells: 2,
      longestSpell: hours(3),
      unknown: hours(2),
    });
  });

  it('without length are none', () => {
    expect(
      only(
        wetAt((time) => time === hours(2)),
        air,
        hours(6),
      ),
    ).toMatchObject({ spells: 0, expected: 0, marginMin: 0 });
  });
});

describe('certain and possible', () => {
  const steady = (t: number, u: number) => sampled(0, HOUR, minutes(10), () => [t, u]);

  it.each([
    {
      why: 'near saturation it may be wet',
      u: 98,
      accuracy: { temperature: 0.5, humidity: 3 },
      hoursOf: [0, 0, 1],
    },
    { why: 'out of reach it is not', u: 96, accuracy: { temperature: 0.5, humidity: 3 }, hoursOf: [0, 0, 0] },
    {
      why: 'at saturation it need not be',
      u: 100,
      accuracy: { temperature: 0.5, humidity: 3 },
      hoursOf: [0, 1, 1],
    },
    {
      why: 'a thermometer error moves air and surface alike',
      u: 100,
      accuracy: { temperature: 5, humidity: 0 },
      hoursOf: [1, 1, 1],
    },
    {
      why: 'far above saturation no error makes it dry',
      u: 103,
      accuracy: { temperature: 0.5, humidity: 3 },
      hoursOf: [1, 1, 1],
    },
  ])('$why', ({ u, accuracy, hoursOf }) => {
    const { certain, expected, possible } = only(steady(10, u), air, HOUR, accuracy);
    expect([certain, expected, possible].map((time) => time / HOUR)).toEqual(hoursOf);
  });

  const accuracies = fc.record({
    temperature: fc.integer({ min: 0, max: 20 }).map((tenths) => tenths / 10),
    humidity: fc.integer({ min: 0, max: 50 }).map((tenths) => tenths / 10),
  });
  const surfaces = fc.oneof(
    fc.constant(air),
    fc.integer({ min: 5, max: 400 }).map((tau) => mass(tau * MINUTE)),
    fc.integer({ min: 0, max: 10 }).map((tenths) => measured(tenths / 10)),
    fc
      .tuple(fc.integer({ min: 0, max: 10 }), fc.integer({ min: 0, max: 10 }))
      .map(([factor, tenths]) => between(factor / 10, tenths / 10)),
    fc.integer({ min: 0, max: 10 }).map(nightSky),
  );

  it('enclose what is expected, and no millisecond is left out', () => {
    fc.assert(
      fc.property(
        randomLog,
        randomLog,
        randomPeriods,
        surfaces,
        accuracies,
        (log, other, periods, surface, accuracy) => {
          const options = { bridge: HOUR, accuracy, companion: { log: other, bridge: HOUR } };
          for (const summary of condensation(log, surface, periods, options)) {
            const { period, certain, expected, possible, dry, unknown, unsettled, ice } = summary;
            const { near1, near3 } = summary;
            expect(expected + dry + unknown).toBe(period.end - period.start);
            expect(certain).toBeLessThanOrEqual(expected);
            expect(expected).toBeLessThanOrEqual(possible);
            expect(possible).toBeLessThanOrEqual(expected + dry);
            expect(Math.min(certain, dry, unknown, ice)).toBeGreaterThanOrEqual(0);
            expect(unsettled).toBeLessThanOrEqual(unknown);
            expect(ice).toBeLessThanOrEqual(expected);
            expect(near1).toBeGreaterThanOrEqual(0);
            expect(near1).toBeLessThanOrEqual(near3);
            expect(near3).toBeLessThanOrEqual(dry);
            if (near3 > near1) expect(summary.marginMin).toBeLessThan(3);
            expect(summary.longestSpell).toBeLessThanOrEqual(expected);
            if (expected > 0) expect(summary.marginMin).toBeLessThanOrEqual(0);
          }
        },
      ),
      { numRuns: 400 },
    );
  });

  it('enclose the wet time of every log that is off by a constant within accuracy', () => {
    const part = fc.double({ min: -1, max: 1, noNaN: true });
    fc.assert(
      fc.property(
        randomLog,
        randomLog,
        randomPeriods,
        surfaces,
        accuracies,
        fc.tuple(part, part, part),
        (log, other, periods, surface, accuracy, [partT, partU, partS]) => {
          let apart = 0;
          if (surface.model === 'measured') apart = surface.accuracy;
          // An error of the thermometer inside that lies within its accuracy may tell a little more than both
          // of its ends, where frost turns to dew; so there the ends are tried.
          if (surface.model === 'between') {
            apart = surface.outsideAccuracy;
            partT = Math.sign(partT);
          }
          const shifted: Log = {
            ...log,
            temperature: log.temperature.map((t) => t + accuracy.temperature * partT),
            humidity: log.humidity.map((u) => Math.min(100, Math.max(0, u + accuracy.humidity * partU))),
          };
          const options = { bridge: HOUR, accuracy, companion: { log: other, bridge: HOUR } };
          const moved = { ...other, temperature: other.temperature.map((t) => t + apart * partS) };
          const truths = condensation(shifted, surface, periods, {
            ...options,
            companion: { log: moved, bridge: HOUR },
          });
          condensation(log, surface, periods, options).forEach(({ certain, possible }, p) => {
            // Each of the bounds of at most 40 pieces is rounded to a millisecond.
            expect(truths[p]!.expected).toBeGreaterThanOrEqual(certain - 80);
            expect(truths[p]!.expected).toBeLessThanOrEqual(possible + 80);
          });
        },
      ),
      { numRuns: 300 },
    );
  });
});

describe('unknown time', () => {
  it('of four days is neither wet nor dry', () => {
    const rows = [...sampled(0, hours(24 * 8), minutes(30), () => [10, 80]).time]
      .filter((time) => time < hours(48) || time >= hours(144))
      .map((time): Row => [time, 10, 80]);
    const days = tiles(...Array.from({ length: 9 }, (_, day) => hours(24 * day)));
    for (const surface of [air, mass(HOUR)]) {
      const summaries = condensation(logOf(rows), surface, days, { bridge: HOUR, accuracy: exact });
      for (const day of summaries.slice(2, 6)) {
        expect(day).toMatchObject({
          unknown: hours(24),
          unsettled: 0,
          dry: 0,
          expected: 0,
          possible: 0,
          spells: 0,
        });
        expect(day).toMatchObject({ marginMin: NaN, marginMinTime: null });
      }
      expect(summaries[7]).toMatchObject({ unknown: 0, dry: hours(24) });
    }
  });

  it('is all there is of an empty log', () => {
    expect(only(logOf([]), mass(HOUR), HOUR)).toMatchObject({ unknown: HOUR, marginMin: NaN, spells: 0 });
  });

  it('surrounds a lonely reading, which still has its margin', () => {
    const summary = only(logOf([[minutes(30), 10, 80]]), air, HOUR);
    expect(summary).toMatchObject({
      unknown: HOUR,
      marginMin: 10 - dewPoint(10, 80),
      marginMinTime: minutes(30),
    });
  });
});

describe('condensation hours and the cadence', () => {
  // A daily wave; from hour 74.37 the air warms and dampens within 1.84 h and stays so.
  const [tau, frontStart, frontEnd] = [4, 74.37, 76.21] as const;
  const omega = (2 * Math.PI) / 24;
  const ramp = (h: number) => Math.min(Math.max((h - frontStart) / (frontEnd - frontStart), 0), 1);
  const airAt = (h: number) => 6 + 2 * Math.sin(omega * h) + 8 * ramp(h);
  const dewAt = (h: number) => 2 + 9 * ramp(h);

  /** The mass's own answer to the wave, settled, and to the ramp: both in closed form. */
  const gain = 1 / Math.hypot(1, omega * tau);
  const response = (h: number) => (h <= 0 ? 0 : h - tau * (1 - Math.exp(-h / tau)));
  const massAt = (h: number) =>
    6 +
    2 * gain * Math.sin(omega * h - Math.atan(omega * tau)) +
    (8 * (response(h - frontStart) - response(h - frontEnd))) / (frontEnd - frontStart);

  let wetSeconds = 0;
  for (let second = 48 * 3600; second < 120 * 3600; second++) {
    if (massAt((second + 0.5) / 3600) <= dewAt((second + 0.5) / 3600)) wetSeconds++;
  }

  it('are there to be found', () => {
    expect(wetSeconds).toBeGreaterThan(2 * 3600);
  });

  // 2 %: what a line between readings 30 min apart makes of a front that starts between two of them.
  it.each([1, 10, 30])('a reading every %d min finds them within 2 %', (cadence) => {
    const log = sampled(0, hours(120), minutes(cadence), (time) => {
      const h = time / HOUR;
      return [airAt(h), humidityFor(airAt(h), dewAt(h))];
    });
    const [summary] = condensation(log, mass(hours(tau)), [{ start: hours(48), end: hours(120) }], {
      bridge: HOUR,
      accuracy: exact,
    });
    expect(summary!.unknown).toBe(0);
    expect(Math.abs(summary!.expected / SECOND / wetSeconds - 1)).toBeLessThan(0.02);
  });
});

describe('against the obvious way', () => {
  const STEP = 5 * SECOND;

  /** Every instant on its own: the surface is followed from the last restart to it, wet time is a count of steps. */
  function obvious(
    log: Log,
    surface: ModelledSurface,
    start: number,
    end: number,
    bridge: number,
    companion: Log,
  ) {
    const rows = [...log.time].map((time, i) => ({ time, t: log.temperature[i]!, u: log.humidity[i]! }));
    const temperatures = rows.filter(({ t }) => !Number.isNaN(t));
    const points = rows
      .filter(({ t, u }) => !Number.isNaN(t + u))
      .map(({ time, t, u }) => ({
        time,
        value: Number.isNaN(frostPoint(t, u)) ? dewPoint(t, u) : frostPoint(t, u),
      }));
    const lag = surface.model === 'mass' ? surface.timeConstant : 0;
    const carried = Math.max(2 * HOUR, lag / 2, bridge);

    const lagging = (at: number): number | null => {
      let state = NaN;
      let settled = NaN;
      for (let k = 0; k < temperatures.length; k++) {
        const { time, t } = temperatures[k]!;
        const before = temperatures[k - 1];
        if (before === undefined || time - before.time > carried) {
          state = t;
          settled = time + 3 * lag;
        }
        const next = temperatures[k + 1];
        if (next === undefined) return null;
        const slope = (next.t - t) / (next.time - time);
        const length = Math.min(at, next.time) - time;
        const decay = lag === 0 ? 0 : Math.exp(-length / lag);
        state = t + slope * length - slope * lag + (state - t + slope * lag) * decay;
        if (at <= next.time) return at < settled ? null : state;
      }
      return null;
    };
    const others = [...companion.time]
      .map((time, i) => ({ time, t: companion.temperature[i]! }))
      .filter(({ t }) => !Number.isNaN(t));
    const otherAt = (at: number): number => {
      const before = others.findLast(({ time }) => time <= at);
      const after = others.find(({ time }) => time >= at);
      if (before === undefined || after === undefined || after.time - before.time > bridge) return NaN;
      const share = after === before ? 0 : (at - before.time) / (after.time - before.time);
      return before.t + share * (after.t - before.t);
    };
    const sampledRows = rows
      .map(({ time, t }) => {
        const other = otherAt(time);
        const factor = surface.model === 'between' ? surface.temperatureFactor : 0;
        return { time, value: surface.model === 'between' ? other + factor * (t - other) : other };
      })
      .filter(({ value }) => !Number.isNaN(value));
    const beside = (at: number): number | null => {
      const k = sampledRows.findIndex(({ time }) => time >= at);
      const [before, after] = [sampledRows[k - 1], sampledRows[k]];
      if (before === undefined || after === undefined) return null;
      const hole = others.some(({ time }, o) => {
        const next = others[o + 1];
        return (
          next !== undefined && next.time - time > bridge && time < after.time && next.time > before.time
        );
      });
      if (hole) return null;
      return before.value + ((after.value - before.value) * (at - before.time)) / (after.time - before.time);
    };
    const surfaceAt = (at: number): number | null => {
      if (surface.model === 'measured' || surface.model === 'between') return beside(at);
      const followed = lagging(at);
      if (followed === null || surface.model !== 'night-sky') return followed;
      return sunAltitude(surface.position, at) < -50 / 60 ? followed - surface.drop : followed;
    };
    const depositAt = (at: number): number | null => {
      const k = points.findIndex(({ time }) => time >= at);
      const [before, after] = [points[k - 1], points[k]];
      if (before === undefined || after === undefined || after.time - before.time > bridge) return null;
      return before.value + ((after.value - before.value) * (at - before.time)) / (after.time - before.time);
    };

    let [wet, dry, ice, near1, near3, changes] = [0, 0, 0, 0, 0, 0];
    let [margin, last] = [NaN, ''];
    for (let at = start + STEP / 2; at < end; at += STEP) {
      const deposit = depositAt(at);
      const temperature = deposit === null ? null : surfaceAt(at);
      let now = 'unknown';
      if (deposit !== null && temperature !== null) {
        const isWet = temperature - deposit < 1e-9;
        if (isWet) wet += STEP;
        else dry += STEP;
        if (isWet && temperature < 0) ice += STEP;
        if (!isWet && temperature - deposit < 1) near1 += STEP;
        if (!isWet && temperature - deposit < 3) near3 += STEP;
        now = `${isWet} ${temperature < 0} ${temperature - deposit < 1} ${temperature - deposit < 3}`;
        if (!(temperature - deposit >= margin)) margin = temperature - deposit;
      }
      if (now !== last) changes++;
      last = now;
    }
    return { wet, dry, ice, near1, near3, changes, margin };
  }

  it('gives the same for random logs with gaps', () => {
    const surfaces = fc.constantFrom(
      air,
      mass(7 * MINUTE),
      mass(50 * MINUTE),
      mass(3 * HOUR),
      measured(0),
      between(0.7, 0),
      nightSky(3),
    );
    const bounds = fc.tuple(fc.integer({ min: 0, max: 600 }), fc.integer({ min: 1, max: 600 }));
    fc.assert(
      fc.property(randomLog, randomLog, bounds, surfaces, (log, other, [first, length], surface) => {
        const [start, middle] = [first * MINUTE, (first + length) * MINUTE];
        const bridge = 45 * MINUTE;
        const options = { bridge, accuracy: exact, companion: { log: other, bridge } };
        for (const summary of condensation(log, surface, tiles(start, middle, middle + 2 * HOUR), options)) {
          const slow = obvious(log, surface, summary.period.start, summary.period.end, bridge, other);
          // Half a step for each change that was seen, a whole one for the few that fit between two steps.
          const tolerance = (slow.changes / 2 + 2) * STEP;
          expect(Math.abs(summary.expected - slow.wet)).toBeLessThanOrEqual(tolerance);
          expect(Math.abs(summary.dry - slow.dry)).toBeLessThanOrEqual(tolerance);
          expect(Math.abs(summary.ice - slow.ice)).toBeLessThanOrEqual(tolerance);
          expect(Math.abs(summary.near1 - slow.near1)).toBeLessThanOrEqual(tolerance);
          expect(Math.abs(summary.near3 - slow.near3)).toBeLessThanOrEqual(tolerance);
          if (!Number.isNaN(slow.margin)) expect(summary.marginMin).toBeLessThanOrEqual(slow.margin + 1e-8);
        }
      }),
      { numRuns: 120 },
    );
  });

  it('gives the same for one surface as for several that share the deposit points', () => {
    fc.assert(
      fc.property(randomLog, randomPeriods, (log, periods) => {
        const accuracy = { temperature: 0.5, humidity: 3 };
        const shared = exposingAir(log, accuracy, periods, [], HOUR);
        for (const timeConstant of [HOUR, 3 * HOUR]) {
          const surface = {
            ...mass(timeConstant),
            board: null,
            mould: { class: 'sensitive', decline: 1 } as const,
          };
          expect(exposureOf(shared, surface, null).condensation).toEqual(
            condensation(log, surface, periods, { bridge: HOUR, accuracy }),
          );
        }
      }),
      { numRuns: 20 },
    );
  });
});
